import { describe, expect, test } from "vitest";
import { FRESH_CONDUCTIVITY, readConductivity } from "../../controller/signals/conductivity.ts";
import { FRESH_PROBE } from "../../controller/signals/probe.ts";
import { readSourceWater } from "../../controller/signals/source-water.ts";
import {
  FRESH_THERMOMETER,
  forgive,
  ROOM_THERMOMETER,
  readThermometer,
  type ThermometerScene,
  WATER_THERMOMETER,
} from "../../controller/signals/thermometer.ts";
import type { Signal } from "../../shared/contract/index.ts";
import { elapsed } from "../elapsed.ts";

const HOUR_MS = 3_600_000;
/** A scan a second, so that six hours are few. */
const SCENE: ThermometerScene = {
  elapsed: elapsed(1_000),
  rateMeansNothing: false,
  heaterSwitched: false,
  fullKPerMs: 1.26 / HOUR_MS,
  isOut: false,
};

function thermometer(
  hours: number,
  valueAt: (ms: number) => number,
  change: Partial<ThermometerScene> = {},
  kind = WATER_THERMOMETER,
) {
  let memory = FRESH_THERMOMETER;
  let signal = readThermometer(memory, null, kind, SCENE).signal;
  for (let ms = 0; ms < hours * HOUR_MS; ms += 1_000) {
    const scene = { ...SCENE, ...change, heaterSwitched: change.heaterSwitched === true && ms === HOUR_MS };
    const reading = { value: valueAt(ms), fault: null, ageMs: 100, sample: ms };
    ({ memory, signal } = readThermometer(memory, reading, kind, scene));
  }
  return signal;
}

describe("a water thermometer at 25 °C for hours", () => {
  test("6.1 h, heater switched meanwhile: bad, stuck", () => {
    expect(thermometer(6.1, () => 25, { heaterSwitched: true })).toMatchObject({ quality: "bad", doubt: "stuck" });
  });
  test("6.1 h, heater never switched: good", () => {
    expect(thermometer(6.1, () => 25)).toMatchObject({ quality: "good" });
  });
  test("5.9 h, or a step of 0.07 K in 8 h, heater switched: good", () => {
    expect(thermometer(5.9, () => 25, { heaterSwitched: true }).quality).toBe("good");
    expect(thermometer(8, (ms) => (ms < 3 * HOUR_MS ? 25 : 25.07), { heaterSwitched: true }).quality).toBe("good");
  });
  test("room thermometer, 8 h, heater switched: good", () => {
    expect(thermometer(8, () => 22, { heaterSwitched: true }, ROOM_THERMOMETER).quality).toBe("good");
  });
});

describe("a water thermometer that stands still", () => {
  test("6 h and 1 s: good; 6 h and 2 s: bad", () => {
    expect(thermometer(6 + 1 / 3600, () => 25, { heaterSwitched: true }).quality).toBe("good");
    expect(thermometer(6 + 2 / 3600, () => 25, { heaterSwitched: true }).quality).toBe("bad");
  });
  test("heater switched while it still moved, then 7 h still: good", () => {
    const movesForAnHour = (ms: number) => (ms <= HOUR_MS ? 25 + (ms % 2_000) / 10_000 : 25);
    expect(thermometer(8, movesForAnHour, { heaterSwitched: true }).quality).toBe("good");
  });
});

describe("a thermometer at the ends of its range", () => {
  const at = (value: number, kind = WATER_THERMOMETER) => thermometer(0.001, () => value, {}, kind);
  test("water: 0 °C good, −3 and 46 °C out-of-range", () => {
    expect(at(0)).toMatchObject({ value: 0, quality: "good", uncertainty: 0.2 });
    expect(at(-3)).toMatchObject({ value: null, doubt: "out-of-range" });
    expect(at(46)).toMatchObject({ value: null, doubt: "out-of-range" });
  });
  test("room: −15 and 59 °C good, −21 °C bad", () => {
    expect(at(-15, ROOM_THERMOMETER).quality).toBe("good");
    expect(at(59, ROOM_THERMOMETER).quality).toBe("good");
    expect(at(-21, ROOM_THERMOMETER).quality).toBe("bad");
  });
  test("no answer after a rate fault: no-answer; not fitted: memory as fresh", () => {
    const fast = { ...FRESH_THERMOMETER, rateFault: true };
    const silent = { value: null, fault: "no-answer", ageMs: 100, sample: 1 } as const;
    expect(readThermometer(fast, silent, WATER_THERMOMETER, SCENE).signal).toMatchObject({
      quality: "bad",
      doubt: "no-answer",
    });
    expect(readThermometer(fast, null, WATER_THERMOMETER, SCENE)).toMatchObject({
      memory: { rateFault: false, agreeMs: 0, heaterMoved: false },
      signal: { value: null, quality: "bad", doubt: "not-fitted", uncertainty: null },
    });
  });
});

describe("a thermometer that moves faster than 3 K/h", () => {
  const slope = (kelvinPerHour: number) => (ms: number) => 25 - (kelvinPerHour * ms) / HOUR_MS;
  test("4 K/h for 18 min: no doubt; for 24: uncertain, rate", () => {
    expect(thermometer(0.3, slope(4)).doubt).toBeNull();
    expect(thermometer(0.4, slope(4))).toMatchObject({ quality: "uncertain", doubt: "rate" });
  });
  test("4 K/h upwards for an hour: rate", () => {
    expect(thermometer(1, slope(-4)).doubt).toBe("rate");
  });
  test("4 K/h for 45 min, then still for more than an hour: rate", () => {
    expect(thermometer(2, (ms) => 25 - Math.min(3, (4 * ms) / HOUR_MS))).toMatchObject({ doubt: "rate" });
  });
  test("2.9 K/h for an hour: no doubt", () => {
    expect(thermometer(1, slope(2.9)).doubt).toBeNull();
  });
  test("4 K/h for an hour in a hold: no doubt", () => {
    expect(thermometer(1, slope(4), { rateMeansNothing: true }).doubt).toBeNull();
  });
  test("room thermometer, 4 K/h for an hour: no doubt", () => {
    expect(thermometer(1, slope(4), {}, ROOM_THERMOMETER).doubt).toBeNull();
  });
});

describe("forgiving a rate fault", () => {
  const FAST = { ...FRESH_THERMOMETER, rateFault: true, agreeMs: 598_000 };
  const says = (value: number | null, doubt: Signal["doubt"] = null): Signal => ({
    value,
    quality: value === null ? "bad" : doubt === null ? "good" : "uncertain",
    doubt: value === null ? "no-answer" : doubt,
    ageMs: 100,
    uncertainty: value === null ? null : 0.2,
    lastValue: value,
    lastValueAgeMs: 0,
  });
  const of = (own: Signal) => ({ ...FAST, probe: { ...FAST.probe, value: own.value } });
  const after = (own: Signal, other: Signal) => forgive(forgive(of(own), [other], 1_000), [other], 1_000);

  test("599 s of agreement: still in fault; 600 s: forgiven, rate begins anew", () => {
    expect(forgive(of(says(25)), [says(25.4)], 1_000)).toMatchObject({ rateFault: true, agreeMs: 599_000 });
    expect(after(says(25), says(25.4))).toMatchObject({ rateFault: false, agreeMs: 0, probe: { rate: { bins: [] } } });
  });
  test("0.5 K apart, the other in fault itself or either without a value: not forgiven; the other's spike: forgiven", () => {
    expect(after(says(25), says(25.5))).toMatchObject({ rateFault: true, agreeMs: 0 });
    expect(after(says(25), says(25, "rate")).rateFault).toBe(true);
    expect(after(says(25), says(25, "spike")).rateFault).toBe(false);
    expect(after(says(null), says(0.2)).rateFault).toBe(true);
    expect(after(says(0.2), says(null)).rateFault).toBe(true);
  });
  test("never in fault: the very same memory", () => {
    expect(forgive(FRESH_THERMOMETER, [says(25)], 1_000)).toBe(FRESH_THERMOMETER);
  });
});

describe("the cell in the source water, 2 µS/cm as 1 mg/L", () => {
  const reading = (conductivityMsPerCm: number, temperatureC: number | null = 25) =>
    ({ value: { conductivityMsPerCm, temperatureC }, fault: null, ageMs: 100, sample: 1 }) as const;
  const read = (given: Parameters<typeof readSourceWater>[1]) => readSourceWater(FRESH_PROBE, given, elapsed(1_000));

  // Common practice: 1 mg/L is about 2 µS/cm at the factor 0.5.
  test("20 µS/cm: 10 ± 0.5 mg/L; 400: ± 10; 0: ± 0.5; 5 mS/cm: out-of-range", () => {
    expect(read(reading(0.02)).signal).toMatchObject({ quality: "good", uncertainty: 0.5 });
    expect(read(reading(0.02)).signal.value).toBeCloseTo(10, 9);
    expect(read(reading(0.4)).signal.uncertainty).toBeCloseTo(10, 9);
    expect(read(reading(0)).signal).toMatchObject({ value: 0, uncertainty: 0.5 });
    expect(read(reading(5)).signal).toMatchObject({ value: null, doubt: "out-of-range", ageMs: 100 });
  });
  test("no temperature: not-a-number; no answer: no-answer; none: not-fitted", () => {
    expect(read(reading(0.02, null)).signal).toMatchObject({ value: null, doubt: "not-a-number", ageMs: 100 });
    const silent = { value: null, fault: "no-answer", ageMs: 700, sample: 1 } as const;
    expect(read(silent).signal).toMatchObject({ value: null, doubt: "no-answer", ageMs: 700, quality: "bad" });
    for (const none of [null, undefined]) {
      expect(read(none)).toMatchObject({ memory: { sample: -1, doubt: "not-yet" }, signal: { doubt: "not-fitted" } });
    }
  });
});

describe("the conductivity cell", () => {
  function cell(hours: number, noise: number, bubbles = false, own: number | null = 25) {
    let memory = FRESH_CONDUCTIVITY;
    let signals = readConductivity(memory, null, elapsed(1_000), false).signals;
    for (let ms = 0; ms < hours * HOUR_MS; ms += 1_000) {
      const conductivityMsPerCm = 53 + ((ms / 1_000) % 2 === 0 ? noise : -noise);
      const reading = { value: { conductivityMsPerCm, temperatureC: own }, fault: null, ageMs: 100, sample: ms };
      ({ memory, signals } = readConductivity(memory, reading, elapsed(1_000), bubbles));
    }
    return signals;
  }
  test("no noise for 1.01 h: bad, stuck; for 0.99 h, or noise of 0.001 mS/cm for 2 h: good", () => {
    expect(cell(1.01, 0).conductivity).toMatchObject({ quality: "bad", doubt: "stuck" });
    expect(cell(0.99, 0).conductivity.quality).toBe("good");
    expect(cell(2, 0.001).conductivity.quality).toBe("good");
  });
  test("bubbles: uncertain, value kept", () => {
    expect(cell(0.01, 0.01, true).conductivity).toMatchObject({ quality: "uncertain", doubt: "bubbles" });
  });
  test("bubbles and open circuit: open-circuit, no value", () => {
    const silent = { value: null, fault: "open-circuit", ageMs: 100, sample: 1 } as const;
    const { conductivity, temperature } = readConductivity(FRESH_CONDUCTIVITY, silent, elapsed(1_000), true).signals;
    expect(conductivity).toMatchObject({
      value: null,
      quality: "bad",
      doubt: "open-circuit",
      uncertainty: null,
      ageMs: 100,
    });
    expect(temperature).toMatchObject({ value: null, quality: "bad", doubt: "open-circuit", ageMs: 100 });
  });
  test("53 mS/cm: ± 0.106; its thermometer: ± 0.5 K", () => {
    expect(cell(0.001, 0).conductivity.uncertainty).toBeCloseTo(0.106, 12);
    expect(cell(0.001, 0).temperature).toMatchObject({ value: 25, uncertainty: 0.5, quality: "good" });
  });
  test("no noise for 1 h and 1 s: good; 1 h and 2 s: bad", () => {
    expect(cell(1 + 1 / 3600, 0).conductivity.quality).toBe("good");
    expect(cell(1 + 2 / 3600, 0).conductivity.quality).toBe("bad");
  });
  test("not fitted: not-fitted, memory as fresh", () => {
    const read = readConductivity(FRESH_CONDUCTIVITY, null, elapsed(1_000), false);
    expect(read.memory).toEqual(FRESH_CONDUCTIVITY);
    for (const signal of [read.signals.conductivity, read.signals.temperature]) {
      expect(signal).toMatchObject({ value: null, quality: "bad", doubt: "not-fitted" });
    }
  });
  test("no thermometer of its own: conductivity good, temperature not-yet", () => {
    const signals = cell(0.01, 0.01, false, null);
    expect(signals.conductivity.quality).toBe("good");
    expect(signals.temperature).toMatchObject({ value: null, quality: "bad", doubt: "not-yet", ageMs: 100 });
  });
});
