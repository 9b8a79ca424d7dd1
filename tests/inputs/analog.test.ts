import { describe, expect, it } from "vitest";
import type { Boards, Heard, PinBoard } from "../../controller/boards/index.ts";
import { textConductivityReading } from "../../controller/inputs/conductivity.ts";
import { supervisedReading } from "../../controller/inputs/contact.ts";
import { inputSentences, readInputs, readSensed } from "../../controller/inputs/index.ts";
import { numberInText } from "../../controller/inputs/text.ts";
import { textThermometerReading, thermistorReading } from "../../controller/inputs/thermometer.ts";
import { sourceWaterFrom } from "../../shared/chemistry/index.ts";
import { INPUT_PARTS, OUTPUT_PARTS, type OutputPart } from "../../shared/contract/parts.ts";
import type { Readings } from "../../shared/contract/reading.ts";
import { CONTACT_STALE_MS, settingsSchema } from "../../shared/settings/index.ts";

const heard = <Value>(value: Value, atMs = 900): Heard<Value> => ({ value, fault: null, atMs, sample: 7 });

describe("a supervised float, 4.7 and 14.7 kΩ to ground", () => {
  const supervision = { pullUpOhms: 10_000, closedOhms: 4700, openOhms: 14_700 };
  const at = (ohms: number) => ohms / (ohms + 10_000);
  const read = (share: number) => supervisedReading(heard(share), { closedWhen: "on" }, supervision, 1000);

  it.each([
    // [what the line measures, value, fault]; the voltage divider is Ohm's law.
    [0, null, "short-circuit"],
    [at(500), null, "short-circuit"],
    [at(4700), true, null],
    [at(4700 * 1.05), true, null],
    [at(4700 * 0.95), true, null],
    [(at(4700) + at(14_700)) / 2, null, "garbled"],
    [at(14_700 * 0.95), false, null],
    [at(14_700), false, null],
    [at(14_700 * 1.05), false, null],
    [at(200_000), null, "open-circuit"],
    [1, null, "open-circuit"],
  ] as const)("%d of the supply: %s, %s", (share, value, fault) => {
    expect(read(share)).toMatchObject({ value, fault });
  });

  it("sample of 100 ms ago: aged 100 ms; board disconnected: disconnected", () => {
    expect(read(at(4700)).ageMs).toBe(100);
    const gone: Heard<number> = { value: null, fault: "disconnected", atMs: 0, sample: 1 };
    expect(supervisedReading(gone, { closedWhen: "on" }, supervision, 1000).fault).toBe("disconnected");
  });

  it("closedWhen off, line at the closed resistance: false", () =>
    expect(supervisedReading(heard(at(4700)), { closedWhen: "off" }, supervision, 1000).value).toBe(false));
});

describe("a thermistor to ground", () => {
  const thermistor = { seriesOhms: 10_000, ohmsAt25C: 10_000, betaK: 3950 };
  const read = (share: number) => thermistorReading(heard(share), thermistor, 1000);

  it("half of the supply: 25 °C; 12.5 kΩ: 20.06 °C by the beta law", () => {
    expect(read(0.5).value).toBeCloseTo(25, 9);
    // 1/T = 1/298.15 + ln(R/R0)/β by hand: ln 1.25 = 0.22314, so 3.35402e-3 + 5.649e-5 = 3.41051e-3, 293.21 K.
    expect(read(12_500 / 22_500).value).toBeCloseTo(20.06, 2);
  });
  it.each([
    [0, "short-circuit"],
    [0.01, "short-circuit"],
    [0.99, "open-circuit"],
    [1, "open-circuit"],
  ] as const)("%d of the supply: no value, a %s", (share, fault) =>
    expect(read(share)).toMatchObject({ value: null, fault }),
  );
});

describe("what an instrument writes", () => {
  it.each([
    ["53.10", 53.1],
    [" -0.5 ", -0.5],
    ["25,04", 25.04],
    ["+5", 5],
    [".5", 0.5],
    ["5.3e1", 53],
    ["", null],
    ["--", null],
    ["1.2.3", null],
    ["1,234.5", null],
    ["NaN", null],
    ["Infinity", null],
    ["0x10", null],
    ["53.1 mS", null],
  ])("%j is %s", (written, value) => expect(numberInText(written)).toBe(value));

  it.each([
    ["53.1", "mS/cm", undefined, 53.1],
    ["53100", "µS/cm", undefined, 53.1],
    ["5.31", "S/m", undefined, 53.1],
    // 0.5 is the factor for sodium chloride, common practice: 50 mg/L are 100 µS/cm.
    ["50", "mg/L TDS", 0.5, 0.1],
    ["50", "mg/L TDS", undefined, null],
    ["ERR", "mS/cm", undefined, null],
  ] as const)("%s %s is %d mS/cm", (written, unit, tdsFactor, value) => {
    const reading = textConductivityReading(heard(written), { unit, tdsFactor }, 1000);
    if (value === null) expect(reading).toMatchObject({ value: null, fault: "not-a-number" });
    else expect(reading.value).toBeCloseTo(value, 12);
  });

  it.each([
    ["25", "°C", 25],
    ["77", "°F", 25],
    ["298.15", "K", 25],
  ] as const)("%s %s is %d °C", (written, unit, value) =>
    expect(textThermometerReading(heard(written), unit, 1000).value).toBeCloseTo(value, 10),
  );
});

describe("source water from conductivity and temperature", () => {
  // By hand: 96 µS/cm at 23 °C are 96 / 0.96 = 100 at 25 °C, which at the factor 0.5 are 50 mg/L.
  it.each([
    [0.096, 23, 100, 50],
    [0.1, 25, 100, 50],
    [0, 25, 0, 0],
  ])("%d mS/cm at %d °C: %d µS/cm at 25 °C, %d mg/L", (conductivityMsPerCm, temperatureC, at25, tds) => {
    const water = sourceWaterFrom({ conductivityMsPerCm, temperatureC });
    expect(water?.conductivityAt25UsPerCm).toBeCloseTo(at25, 9);
    expect(water?.tdsMgPerL).toBeCloseTo(tds, 9);
  });
  it("no temperature or a negative conductivity: null", () => {
    expect(sourceWaterFrom({ conductivityMsPerCm: 0.1, temperatureC: null })).toBeNull();
    expect(sourceWaterFrom({ conductivityMsPerCm: -1, temperatureC: 25 })).toBeNull();
  });
});

describe("inputs told to a person", () => {
  it("wired inputs and a sensed output: one sentence each, faults in words", () => {
    const settings = settingsSchema.parse({
      outputs: {
        "heater-1": { board: "io", pin: 10, energisedLevel: "high", sensed: { board: "io", pin: 7, closedWhen: "on" } },
      },
    });
    const age = { ageMs: 40, sample: 3 };
    const none = Object.fromEntries(INPUT_PARTS.map((part) => [part, null])) as unknown as Readings;
    const readings: Readings = {
      ...none,
      "high-float": { value: true, fault: null, ...age },
      "mains-sensor": { value: true, fault: null, ...age },
      "thermometer-1": { value: null, fault: "power-on-value", ...age },
      "conductivity-probe": { value: { conductivityMsPerCm: 53.1, temperatureC: 25 }, fault: null, ...age },
      "source-probe": { value: { conductivityMsPerCm: 0.096, temperatureC: 23 }, fault: null, ...age },
    };
    const nothingSensed = Object.fromEntries(OUTPUT_PARTS.map((part) => [part, null])) as Record<OutputPart, null>;
    const seen = { ...nothingSensed, "heater-1": false };
    expect(inputSentences(settings, readings, seen)).toEqual([
      "high float: wet, 40 ms ago.",
      "mains sensor: on, 40 ms ago.",
      "thermometer 1: has not measured since its power came on: 85 °C is what it then says.",
      "conductivity probe: 53.10 mS/cm at 25.00 °C, 40 ms ago.",
      "source probe: 0.0960 mS/cm at 23.00 °C, 50.0 mg/L dissolved solids at the factor 0.5, 40 ms ago.",
      "behind the contact of heater: off.",
    ]);
  });
});

describe("power sensed behind the contacts", () => {
  const outputs = settingsSchema.parse({
    outputs: {
      "top-off-pump": {
        board: "io",
        pin: 8,
        energisedLevel: "high",
        sensed: { board: "io", pin: 6, closedWhen: "on" },
      },
      "heater-1": { board: "io", pin: 10, energisedLevel: "high", sensed: { board: "io", pin: 7, closedWhen: "off" } },
    },
  }).outputs;
  const sensed = (contact: Heard<boolean>, nowMs = 1000) => {
    const board = { contact: () => contact } as unknown as PinBoard;
    const boards = { pins: new Map([["io", board]]) } as unknown as Boards;
    return readSensed(outputs, boards, nowMs);
  };

  it("contact closed or open: true or false by its setting; not wired: null", () => {
    expect(sensed(heard(false))).toEqual({
      "top-off-pump": true,
      "heater-1": false,
      "water-guard": null,
      "heat-guard": null,
      "heater-2": null,
      "heat-guard-2": null,
    });
    expect(sensed(heard(true))).toMatchObject({ "top-off-pump": false, "heater-1": true });
  });
  it("stale or disconnected: null", () => {
    expect(sensed(heard(false), 900 + CONTACT_STALE_MS + 1)["top-off-pump"]).toBeNull();
    expect(sensed({ value: null, fault: "disconnected", atMs: 900, sample: 1 })["top-off-pump"]).toBeNull();
  });
});

describe("part on a board that is not open", () => {
  it("thermometer on bus: throws, no such connection", () => {
    const { inputs } = settingsSchema.parse({
      inputs: { "thermometer-1": { board: "bus", device: "28-0316a2795caa" } },
    });
    const none = { pins: new Map(), registers: new Map(), buses: new Map(), texts: new Map() } as unknown as Boards;
    expect(() => readInputs(inputs, none, 0)).toThrow(/no such connection: bus/);
  });
});
