import { afterAll, beforeAll, beforeEach, expect, it } from "vitest";
import {
  type BuiltFirmware,
  buildGuardFirmware,
  GUARD_FIRMWARE_TOOLS,
  GUARD_PINS,
  SECOND_HEATER_PINS,
} from "../system/rig/guard-firmware.ts";
import { describeWith } from "../system/rig/tools.ts";
import {
  type Bench,
  benchWith,
  crc7,
  digital,
  feed,
  queryPin,
  reportIn,
  SYSTEM_RESET,
  sysexIn,
} from "./conversation.ts";

const EVERYTHING_ON = digital(1, 0b1111);
const PUMPING = digital(1, 0b0011);
const HEATING = digital(1, 0b1100);
const OFF = digital(1, 0);
const { pump, waterGuard, heater, heatGuard } = GUARD_PINS;

describeWith(GUARD_FIRMWARE_TOOLS, "the guard firmware on an emulated ATmega328P", () => {
  let built: BuiltFirmware;
  let bench: Bench;
  const isOn = (pin: number) => bench.chip.level(pin) === "high";
  const pulsesWithin = (pin: number, ms: number) => {
    bench.pulses(pin);
    bench.runMs(ms);
    return bench.pulses(pin);
  };
  const report = () => reportIn(bench.heard());
  const nothingIsOn = () => {
    expect([pump, heater].map((pin) => bench.chip.level(pin))).toEqual(["low", "low"]);
    expect([waterGuard, heatGuard].map((pin) => pulsesWithin(pin, 20))).toEqual([0, 0]);
    expect([waterGuard, heatGuard].map((pin) => bench.chip.level(pin))).toEqual(["low", "low"]);
  };

  beforeAll(() => {
    built = buildGuardFirmware();
  });
  beforeEach(() => {
    bench = benchWith(built.hex);
    bench.runMs(20);
  });
  afterAll(() => built.remove());

  it("description sent: its check sum is CRC-7/MMC; nine digits: 0x75", () => {
    // The check value of CRC-7/MMC over the nine digits, as catalogues of check sums have it.
    expect(crc7([..."123456789"].map((digit) => digit.charCodeAt(0)))).toBe(0x75);
    bench.runMs(200);
    expect(report()?.checked).toBe(true);
  });

  it("0.4 ms after power: all low; writes before any feed: nothing on, unarmed", () => {
    const fresh = benchWith(built.hex);
    fresh.runMs(0.4);
    expect([pump, waterGuard, heater, heatGuard].map((pin) => fresh.chip.level(pin))).toEqual(Array(4).fill("low"));
    bench.say(EVERYTHING_ON, [0xf5, pump, 1], [0xf4, pump, 1], [0xe8, 0x7f, 1]);
    bench.runMs(50);
    nothingIsOn();
    expect(report()?.state).toBe("unarmed");
  });

  it("built with the pump resting high: never low after power, low only when told", () => {
    const low = buildGuardFirmware("PUMP_REST=1");
    const seen: string[] = [];
    const other = benchWith(low.hex);
    for (let step = 0; step < 400; step += 1) {
      seen.push(other.chip.level(pump));
      other.runMs(0.01);
    }
    // Before power is up a pin is an input; with its pull-up on it goes over to high, never through low.
    expect([...new Set(seen)]).not.toContain("low");
    expect(other.chip.level(pump)).toBe("high");
    other.feedMs(300);
    other.say(digital(1, 0b0000));
    other.runMs(5);
    expect(other.chip.level(pump)).toBe("low");
    low.remove();
  });

  it("built for a second heater: on pins 12 and 13 with its own guard; not fed: off with the others", () => {
    const two = buildGuardFirmware("SECOND_HEATER=1");
    bench = benchWith(two.hex);
    two.remove();
    const { secondHeater, secondHeatGuard } = SECOND_HEATER_PINS;
    bench.feedMs(300);
    bench.say(digital(1, 0b11_1111));
    bench.runMs(5);
    expect([isOn(heater), isOn(secondHeater)]).toEqual([true, true]);
    expect(pulsesWithin(secondHeatGuard, 100)).toBeGreaterThan(90);
    expect(report()).toMatchObject({ state: "armed", outputs: 0b11_1111 });
    bench.feedMs(100);
    bench.say(digital(1, 0b01_1111));
    bench.runMs(5);
    expect([isOn(secondHeater), pulsesWithin(secondHeatGuard, 50)]).toEqual([true, 0]);
    expect(pulsesWithin(heatGuard, 50)).toBeGreaterThan(45);
    bench.runMs(2_100);
    expect(report()?.state).toBe("tripped");
    expect(bench.chip.level(secondHeater)).toBe("low");
    nothingIsOn();
  });

  it("two feeds of counter 7: nothing on; then 8: on as written, armed", () => {
    bench.say(feed(7), EVERYTHING_ON);
    bench.runMs(20);
    nothingIsOn();
    bench.say(feed(7), EVERYTHING_ON);
    bench.runMs(20);
    nothingIsOn();
    bench.say(feed(8), EVERYTHING_ON);
    bench.runMs(20);
    expect(isOn(pump) && isOn(heater)).toBe(true);
    expect(report()).toMatchObject({ state: "armed", outputs: 0b1111 });
  });

  it("all on: guard contacts pulse once a millisecond, relays do not; off: nothing on", () => {
    bench.feedMs(300);
    bench.say(EVERYTHING_ON);
    bench.runMs(5);
    for (const guard of [waterGuard, heatGuard]) {
      const count = pulsesWithin(guard, 100);
      expect(count).toBeGreaterThan(90);
      expect(count).toBeLessThanOrEqual(101);
    }
    expect(pulsesWithin(pump, 100)).toBe(0);
    bench.say(OFF);
    bench.runMs(5);
    nothingIsOn();
  });

  it.each([
    ["silence", () => undefined],
    ["the same counter again and again", () => bench.say(feed(3))],
    ["a counter that goes back", () => bench.say(feed(2))],
    ["a wrong check sum", () => bench.say([...feed(40).slice(0, -2), (feed(40).at(-2) as number) ^ 1, 0xf7])],
    ["every other byte of the protocol", () => bench.say(queryPin(8), [0xf9], [0xc0, 1], PUMPING, [0xf0, 0x79, 0xf7])],
  ])("2 s of %s: on before, tripped after, nothing on", (_, speak) => {
    bench.feedMs(300);
    bench.say(feed(3), EVERYTHING_ON);
    bench.runMs(5);
    bench.say(feed(4));
    for (let part = 0; part < 19; part += 1) {
      speak();
      bench.runMs(100);
    }
    expect(isOn(pump)).toBe(true);
    speak();
    bench.runMs(150);
    nothingIsOn();
    expect(report()?.state).toBe("tripped");
  });

  it("tripped, then fed and written: nothing on, states say so; after a system reset: on again", () => {
    bench.feedMs(300);
    bench.say(EVERYTHING_ON);
    bench.runMs(2100);
    bench.feedMs(1000);
    bench.heard();
    bench.say(EVERYTHING_ON, ...[pump, waterGuard, heater, heatGuard].map(queryPin));
    bench.runMs(20);
    nothingIsOn();
    const states = sysexIn(bench.heard()).filter(([id]) => id === 0x6e);
    expect(states).toEqual([pump, waterGuard, heater, heatGuard].map((pin) => [0x6e, pin, 1, 0]));
    bench.say(SYSTEM_RESET);
    bench.runMs(20);
    nothingIsOn();
    bench.feedMs(300);
    bench.say(HEATING);
    bench.runMs(5);
    expect(isOn(heater)).toBe(true);
  });

  it("counter wraps to 0 and 1: still fed, on", () => {
    bench.say(feed(0x1ffffe), feed(0x1fffff), feed(0), EVERYTHING_ON);
    bench.runMs(1900);
    bench.say(feed(1));
    bench.runMs(1900);
    expect(isOn(pump)).toBe(true);
  });

  // Built with seconds of 20 ms, so that ten minutes pass in twelve seconds; trip and rates keep their own time.
  it("pump on for 60 s of ten minutes: off and locked, heater stays on; resets: locked still", () => {
    const quick = buildGuardFirmware("SECOND_MS=20");
    bench = benchWith(quick.hex);
    bench.runMs(20);
    bench.feedMs(300);
    bench.say(EVERYTHING_ON);
    bench.feedMs(1100);
    expect(isOn(pump)).toBe(true);
    bench.feedMs(200);
    expect(isOn(pump)).toBe(false);
    expect(isOn(heater)).toBe(true);
    expect(pulsesWithin(waterGuard, 20)).toBe(0);
    expect(pulsesWithin(heatGuard, 20)).toBeGreaterThan(15);
    expect(report()).toMatchObject({ pumpLocked: true, state: "armed" });
    for (const attempt of [() => bench.say(SYSTEM_RESET), () => bench.chip.reset()]) {
      attempt();
      bench.runMs(20);
      bench.feedMs(300);
      bench.say(PUMPING);
      bench.runMs(20);
      expect(isOn(pump)).toBe(false);
    }
    bench.runMs(100);
    expect(report()?.pumpLocked).toBe(true);
    quick.remove();
  });

  it("pump runs of either contact, over resets: added up, forgotten after ten minutes, locked above 60 s", () => {
    const quick = buildGuardFirmware("SECOND_MS=20");
    bench = benchWith(quick.hex);
    bench.runMs(20);
    const run = (levels: number, ms: number) => {
      bench.feedMs(300);
      bench.say(digital(1, levels));
      bench.feedMs(ms);
      bench.say(OFF);
      bench.feedMs(100);
    };
    run(0b01, 500);
    bench.chip.reset();
    bench.runMs(20);
    run(0b10, 500);
    bench.feedMs(12_500);
    run(0b11, 1000);
    expect(report()).toMatchObject({ pumpLocked: false });
    run(0b11, 300);
    expect(report()).toMatchObject({ pumpLocked: true });
    quick.remove();
  });

  it("instructions frozen: no guard pulse; hung: watchdog resets, pump low, hang told", () => {
    bench.feedMs(300);
    bench.say(EVERYTHING_ON);
    bench.runMs(10);
    bench.chip.freeze();
    expect([waterGuard, heatGuard].map((pin) => pulsesWithin(pin, 100))).toEqual([0, 0]);
    const other = benchWith(built.hex);
    other.runMs(20);
    other.feedMs(300);
    other.say(EVERYTHING_ON);
    other.runMs(10);
    other.chip.hang();
    other.runMs(1000);
    expect(other.chip.bites).toBe(1);
    expect(other.chip.level(pump)).toBe("low");
    expect(reportIn(other.heard())).toMatchObject({ state: "unarmed", afterHang: true, outputs: 0 });
  });

  it("1 s: twenty reports, counters in a row; contact flips: told within 8 ms", () => {
    bench.runMs(200);
    bench.heard();
    bench.runMs(1000);
    const reports = sysexIn(bench.heard()).filter(([id, kind]) => id === 0x0e && kind === 3);
    expect(reports).toHaveLength(20);
    const counters = reports.map((bytes) => (bytes[2] as number) | ((bytes[3] as number) << 7));
    for (const [index, counter] of counters.entries()) expect(counter).toBe(((counters[0] as number) + index) & 0x3fff);
    bench.chip.contact(3, true);
    bench.runMs(8);
    expect((report()?.levels[0] as number) & 0b1000).toBe(0);
    bench.chip.contact(3, false);
    bench.runMs(8);
    expect((report()?.levels[0] as number) & 0b1000).toBe(0b1000);
  });

  it("description asked for before and after writes to it: the same; reset: nothing on", () => {
    const describeItself = () => {
      bench.heard();
      bench.say([0xf0, 0x0e, 2, 0xf7]);
      bench.runMs(20);
      return sysexIn(bench.heard()).find(([id, kind]) => id === 0x0e && kind === 2);
    };
    const first = describeItself();
    expect(first?.slice(2, -1)).toEqual([1, 20, 60, 50, 8, 1, 0, 9, 2, 0, 10, 3, 0, 11, 4, 0]);
    bench.say([0xf0, 0x0e, 2, 1, 20, 60, 50, 8, 1, 1, 0xf7], [0xf4, 8, 0], [0xf4, 9, 11], [0xf5, 8, 1]);
    expect(describeItself()).toEqual(first);
    bench.chip.reset();
    bench.runMs(20);
    nothingIsOn();
  });
});
