import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, describe, expect, it } from "vitest";
import { listThermometers, type OneWireBus, openOneWireBus, scratchpadIn } from "../../controller/boards/one-wire.ts";
import { oneWireReading } from "../../controller/inputs/thermometer.ts";
import { pause, until } from "../system/rig/until.ts";

const nowMs = () => performance.now();
const DEVICE = "28-0316a2795caa";

/**
 * As the kernel writes them (w1_therm). The bytes of 25.0625 °C are the data sheet's own example; the check sums
 * are the CRC-8 of the eight bytes (Maxim application note 27).
 */
const crc8 = (bytes: readonly number[]): number =>
  bytes.reduce((crc, byte) => {
    let value = crc ^ byte;
    for (let bit = 0; bit < 8; bit += 1) value = value & 1 ? (value >> 1) ^ 0x8c : value >> 1;
    return value;
  }, 0);
const hex = (byte: number) => byte.toString(16).padStart(2, "0");
function slaveFile(eight: readonly number[], { verdict = "YES", spoil = 0 } = {}): string {
  const crc = crc8(eight);
  const bytes = [...eight, crc ^ spoil].map(hex).join(" ");
  return `${bytes} : crc=${hex(crc)} ${verdict}\n${bytes} t=25062\n`;
}
const WARM = [0x91, 0x01, 0x4b, 0x46, 0x7f, 0xff, 0x0c, 0x10];
const POWER_ON = [0x50, 0x05, 0x4b, 0x46, 0x7f, 0xff, 0x0c, 0x10];
const STARVED = [0xff, 0x07, 0x4b, 0x46, 0x7f, 0xff, 0x0c, 0x10];
const ICE = [0x5e, 0xff, 0x4b, 0x46, 0x7f, 0xff, 0x0c, 0x10];
const ZEROS = Array<number>(8).fill(0);

describe("the kernel's file of a thermometer", () => {
  const read = (text: string) => {
    const { bytes, fault } = scratchpadIn(text);
    const heard = bytes === null ? ({ value: null, fault } as const) : ({ value: bytes, fault: null } as const);
    const { value, fault: found } = oneWireReading({ ...heard, atMs: 0, sample: 1 }, 0);
    return [value, found];
  };

  it("whole files: 23.125, 25.0625 and −10.125 °C", () => {
    // As often printed for the kernel's driver (from memory): its check sum was made by a real device.
    expect(read("72 01 4b 46 7f ff 0e 10 57 : crc=57 YES\n72 01 4b 46 7f ff 0e 10 57 t=23125\n")).toEqual([
      23.125,
      null,
    ]);
    expect(read(slaveFile(WARM))).toEqual([25.0625, null]);
    expect(read(slaveFile(ICE))).toEqual([-10.125, null]);
  });
  it.each([
    ["a verdict of NO", slaveFile(WARM, { verdict: "NO" }), "garbled"],
    ["a YES over a wrong check sum", slaveFile(WARM, { spoil: 1 }), "garbled"],
    ["truncated", slaveFile(WARM).slice(0, 20), "garbled"],
    ["garbage", "cat: read error\n", "garbled"],
    ["empty", "", "no-answer"],
    ["only a line end", "\n", "no-answer"],
    ["the power-on value", slaveFile(POWER_ON), "power-on-value"],
    ["zeros, whose check sum passes", slaveFile(ZEROS), "all-zero"],
    ["a supply that collapsed", slaveFile(STARVED), "not-a-number"],
  ])("%s: no temperature, $2", (_, text, fault) => expect(read(text)).toEqual([null, fault]));
});

describe("a one-wire bus in a folder", () => {
  let folder: string;
  let bus: OneWireBus;
  const device = (name: string, text: string | null) => {
    mkdirSync(join(folder, name), { recursive: true });
    if (text === null) rmSync(join(folder, name), { recursive: true });
    else writeFileSync(join(folder, name, "w1_slave"), text);
  };
  const temperature = () => oneWireReading(bus.scratchpad(DEVICE), nowMs());
  const master = () => join(folder, "w1_bus_master1", "therm_bulk_read");

  beforeEach(() => {
    folder = mkdtempSync(join(tmpdir(), "evenbrine-w1-"));
    mkdirSync(join(folder, "w1_bus_master1"));
    writeFileSync(master(), "0\n");
    device(DEVICE, slaveFile(WARM));
    bus = openOneWireBus("bus", { kind: "one-wire", folder, pollMs: 50 }, [DEVICE], nowMs);
  });
  afterEach(async () => {
    await bus.close();
    rmSync(folder, { recursive: true, force: true });
  });

  it("opened: not-yet; then 25.0625 °C, three more samples, answers", async () => {
    expect(temperature()).toMatchObject({ value: null, fault: "not-yet", sample: 0 });
    await until("a temperature", () => temperature().value === 25.0625);
    const { sample } = temperature();
    await until("more of them", () => temperature().sample >= sample + 3);
    expect(bus.describe()).toEqual([`1-Wire bus bus, ${DEVICE}: answers.`]);
  });

  it("bulk conversion: triggered, read once it is over", async () => {
    await until("it was triggered", () => readFileSync(master(), "utf8") === "trigger\n");
    // What the kernel answers while conversions run; only then the devices are read.
    writeFileSync(master(), "-1\n");
    await until("a temperature", () => temperature().value !== null);
    expect(readFileSync(master(), "utf8")).toMatch(/trigger|-1/);
  });

  it("no bulk conversion: read", async () => {
    rmSync(join(folder, "w1_bus_master1"), { recursive: true });
    const { sample } = temperature();
    await until("more of them", () => temperature().sample >= sample + 3);
  });

  it("check sum wrong: garbled; empty: no-answer; gone: disconnected; each told, then read again", async () => {
    for (const [text, fault, words] of [
      [slaveFile(WARM, { verdict: "NO" }), "garbled", /wrong check sum/],
      ["", "no-answer", /pull-up/],
      [null, "disconnected", /not on the bus/],
    ] as const) {
      device(DEVICE, text);
      await until(fault, () => temperature().fault === fault);
      expect(bus.describe()[0]).toMatch(words);
      device(DEVICE, slaveFile(WARM));
      await until("well again", () => temperature().value === 25.0625);
    }
  });

  it("no bus yet: disconnected, told; there later: read", async () => {
    const later = join(folder, "later");
    const late = openOneWireBus("late", { kind: "one-wire", folder: later, pollMs: 50 }, [DEVICE], nowMs);
    await until("it says so", () => /not on the bus; is it plugged in/.test(late.describe()[0] ?? ""));
    expect(oneWireReading(late.scratchpad(DEVICE), nowMs())).toMatchObject({ value: null, fault: "disconnected" });
    device("later", "");
    device(join("later", DEVICE), slaveFile(WARM));
    await until("a temperature", () => oneWireReading(late.scratchpad(DEVICE), nowMs()).value === 25.0625);
    await late.close();
  });

  it("device gone for 200 ms: disconnected, sample stays, age grows", async () => {
    await until("a temperature", () => temperature().value !== null);
    device(DEVICE, null);
    await until("gone", () => temperature().fault === "disconnected");
    const { sample } = temperature();
    await pause(200);
    expect(temperature()).toMatchObject({ sample, fault: "disconnected" });
    expect(temperature().ageMs).toBeGreaterThan(150);
  });

  it("folder with other devices: lists family 28 only; no folder: none", async () => {
    device("10-000802abcdef", "another family");
    device("28-000000000001", slaveFile(WARM));
    expect(await listThermometers(folder)).toEqual(["28-000000000001", DEVICE]);
    expect(await listThermometers(join(folder, "absent"))).toEqual([]);
  });
});
