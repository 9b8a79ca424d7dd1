import { describe, expect, it } from "vitest";
import type { Boards, Heard } from "../../controller/boards/index.ts";
import { conductivityReading } from "../../controller/inputs/conductivity.ts";
import { contactReading } from "../../controller/inputs/contact.ts";
import { readInputs } from "../../controller/inputs/index.ts";
import { thermometerReading } from "../../controller/inputs/thermometer.ts";
import { INPUT_PARTS } from "../../shared/contract/parts.ts";
import type { Reading } from "../../shared/contract/reading.ts";
import { settingsSchema } from "../../shared/settings/index.ts";

const heard = <Value>(value: Value): Heard<Value> => ({ value, fault: null, atMs: 900, sample: 7 });
const said = (value: number, ageMs = 0): Reading<number> => ({ value, fault: null, ageMs, sample: 3 });
const lost = (fault: "no-answer" | "garbled"): Reading<number> => ({ value: null, fault, ageMs: 40, sample: 2 });

describe("a contact", () => {
  it.each([
    // [contact closed to ground, closedWhen, wet]
    [true, "on", true],
    [false, "on", false],
    [true, "off", false],
    [false, "off", true],
  ] as const)("closed %s, closedWhen %s: %s", (closed, closedWhen, wet) => {
    expect(contactReading(heard(!closed), { closedWhen }, 1000)).toEqual({
      value: wet,
      fault: null,
      ageMs: 100,
      sample: 7,
    });
  });

  it("broken wire: true with closedWhen off, false with on", () => {
    const broken = heard(true);
    expect(contactReading(broken, { closedWhen: "off" }, 1000).value).toBe(true);
    expect(contactReading(broken, { closedWhen: "on" }, 1000).value).toBe(false);
  });

  it("board disconnected 600 ms ago: no value, disconnected, aged 600 ms", () => {
    const gone: Heard<boolean> = { value: null, fault: "disconnected", atMs: 400, sample: 9 };
    expect(contactReading(gone, { closedWhen: "on" }, 1000)).toEqual({
      value: null,
      fault: "disconnected",
      ageMs: 600,
      sample: 9,
    });
  });

  it("sample from the future: aged 0; 0.2 ms ago: 1", () => {
    expect(contactReading(heard(true), { closedWhen: "on" }, 899).ageMs).toBe(0);
    expect(contactReading(heard(true), { closedWhen: "on" }, 900.2).ageMs).toBe(1);
  });
});

describe("a thermometer", () => {
  const register = { type: "float32", wordOrder: "high-first", scale: 1, offset: 0 } as const;

  it("registers of 25: 25", () => {
    expect(thermometerReading(heard([0x41c8, 0x0000]), register, 1000).value).toBe(25);
  });

  it("registers of NaN: not-a-number", () => {
    expect(thermometerReading(heard([0x7fc0, 0x0000]), register, 1000)).toEqual({
      value: null,
      fault: "not-a-number",
      ageMs: 100,
      sample: 7,
    });
  });

  it("line without an answer: no-answer", () => {
    const mute: Heard<readonly number[]> = { value: null, fault: "no-answer", atMs: 0, sample: 1 };
    expect(thermometerReading(mute, register, 1000).fault).toBe("no-answer");
  });
});

describe("a conductivity transmitter", () => {
  it("no compensation: conductivity and temperature as read", () => {
    expect(conductivityReading(said(53.1), said(25.2), "none").value).toEqual({
      conductivityMsPerCm: 53.1,
      temperatureC: 25.2,
    });
  });

  it("no thermometer: temperature null", () => {
    expect(conductivityReading(said(53.1), null, "none").value).toEqual({
      conductivityMsPerCm: 53.1,
      temperatureC: null,
    });
  });

  // raw = compensated · (1 + α (t − t_ref)), ISO 7888:1985 linear compensation (formula from memory), worked by hand:
  // 50 · (1 + 0.02 · (28 − 25)) = 53; 50 · (1 + 0.019 · (20 − 25)) = 45.25; at the reference nothing changes.
  it.each([
    [50, 28, { percentPerK: 2, referenceC: 25 }, 53],
    [50, 20, { percentPerK: 1.9, referenceC: 25 }, 45.25],
    [50, 25, { percentPerK: 2, referenceC: 25 }, 50],
    [50, 25, { percentPerK: 2, referenceC: 20 }, 55],
  ])("compensation undone: %d at %d °C", (compensated, temperatureC, compensation, raw) => {
    const reading = conductivityReading(said(compensated), said(temperatureC), compensation);
    expect(reading.value?.conductivityMsPerCm).toBeCloseTo(raw, 10);
  });

  it("compensated, no temperature: not-a-number", () => {
    const reading = conductivityReading(said(50), null, { percentPerK: 2, referenceC: 25 });
    expect(reading.fault).toBe("not-a-number");
  });

  it("conductivity garbled or temperature no-answer: that fault", () => {
    expect(conductivityReading(lost("garbled"), said(25), "none").fault).toBe("garbled");
    expect(conductivityReading(said(50), lost("no-answer"), "none").fault).toBe("no-answer");
  });

  it("values 10 and 700 ms old: 700 ms", () => {
    expect(conductivityReading(said(50, 10), said(25, 700), "none").ageMs).toBe(700);
  });
});

describe("all inputs", () => {
  it("no part wired: null for every part", () => {
    const none: Boards = {
      pins: new Map(),
      registers: new Map(),
      buses: new Map(),
      texts: new Map(),
      describe: () => [],
      close: async () => undefined,
    };
    const readings = readInputs(settingsSchema.parse({}).inputs, none, 0);
    expect(Object.keys(readings).sort()).toEqual([...INPUT_PARTS, "source-probe"].sort());
    expect(Object.values(readings).every((reading) => reading === null)).toBe(true);
  });
});
