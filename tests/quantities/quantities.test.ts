import { describe, expect, test } from "vitest";
import { FRESH_QUANTITIES, type QuantitiesScene, reckonQuantities } from "../../controller/quantities/index.ts";
import { levelFrom } from "../../controller/quantities/level.ts";
import { FRESH_SALINITY, salinityFrom } from "../../controller/quantities/salinity.ts";
import type { Signals } from "../../controller/signals/index.ts";
import { NEAR_NOBODY, NEVER_APART, vote } from "../../controller/signals/vote.ts";
import { followWatched, NOTHING_WATCHED } from "../../controller/signals/watched.ts";
import type { ContactSignal, Doubt, Signal } from "../../shared/contract/index.ts";
import { elapsed } from "../elapsed.ts";
import { Box, SETTINGS } from "../scan/box.ts";

const signal = (value: number | null, doubt: Doubt | null = null): Signal => ({
  value,
  quality: value === null ? "bad" : doubt === null ? "good" : "uncertain",
  doubt: value === null ? (doubt ?? "no-answer") : doubt,
  ageMs: 100,
  uncertainty: 0.1,
  lastValue: value,
  lastValueAgeMs: 0,
});
const contact = (position: ContactSignal["position"], doubt: ContactSignal["doubt"] = null): ContactSignal => ({
  position,
  doubt,
  ageMs: 0,
  chattering: false,
});

describe("salinity", () => {
  const from = (conductivity: Signal, water: Signal, days = 0) =>
    salinityFrom(FRESH_SALINITY, conductivity, water, days, 250, SETTINGS);

  // PSS-78, UNESCO Technical Papers in Marine Science 44 (1983): C(35, 15 °C IPTS-68, 0) = 42.914 mS/cm by definition;
  // 15 °C IPTS-68 is 14.9964 °C ITS-90. The value at 25 °C ITS-90 stands in tests/reference (53.065 mS/cm gives 35.0).
  test("42.914 mS/cm at 15 °C IPTS-68: 35 by definition of PSS-78; 53.065 at 25 °C: 35", () => {
    expect(from(signal(42.914), signal(15 / 1.00024)).salinity.value).toBeCloseTo(35, 4);
    expect(from(signal(53.065), signal(25)).salinity.value).toBeCloseTo(35, 1);
  });

  test("42.914 mS/cm at 15 °C: specific gravity 1.02637 at 25/25 °C, from EOS-80", () => {
    // EOS-80 (UNESCO 44): ρ(35, 25) = 1023.343, ρ(0, 25) = 997.047 kg/m³; their quotient.
    expect(from(signal(42.914), signal(15 / 1.00024)).gravity.value).toBeCloseTo(1.02637, 4);
  });

  test("just calibrated: uncertainty above 0.3; 90 days later: 0.3 more", () => {
    const fresh = from(signal(53.065), signal(25), 0).salinity.uncertainty ?? 0;
    const old = from(signal(53.065), signal(25), 90).salinity.uncertainty ?? 0;
    expect(fresh).toBeGreaterThan(0.3);
    expect(old).toBeGreaterThan(fresh + 0.3);
  });

  const rows: [name: string, conductivity: Signal, water: Signal, quality: string, doubt: string | null][] = [
    ["all good", signal(53), signal(25), "good", null],
    ["probe gone", signal(null, "disconnected"), signal(25), "bad", "disconnected"],
    ["no temperature", signal(53), signal(null, "garbled"), "bad", "garbled"],
    ["bubbles", signal(53, "bubbles"), signal(25), "uncertain", "bubbles"],
    ["temperature in doubt", signal(53), signal(25, "single"), "uncertain", "single"],
  ];
  test.each(rows)("%s: $3, doubt $4", (_name, conductivity, water, quality, doubt) => {
    expect(from(conductivity, water).salinity).toMatchObject({ quality, doubt });
    expect(from(conductivity, water).salinity.value === null).toBe(quality === "bad");
  });

  test("probe gone for 1 s: no value, last value 35 with an age of 1 s", () => {
    const seen = from(signal(53.065), signal(25)).memory;
    let memory = seen;
    let salinity = signal(null);
    for (let scan = 0; scan < 4; scan++)
      ({ memory, salinity } = salinityFrom(memory, signal(null), signal(25), 0, 250, SETTINGS));
    expect(salinity.value).toBeNull();
    expect(salinity.lastValue).toBeCloseTo(35, 1);
    expect(salinity.lastValueAgeMs).toBe(1_000);
  });
});

describe("level: an interval between marks", () => {
  const on = contact("on");
  const off = contact("off");
  const unknown = contact("unknown", "stale");
  const absent = contact("unknown", "not-fitted");
  type Row = [string, ContactSignal, ContactSignal, ContactSignal, number | null, number | null, string];
  // Marks of the reference tank: high +70, low −60, hysteresis 5 mm.
  const rows: Row[] = [
    ["full", on, off, on, -5, 70, "at-mark"],
    ["full, high unknown", on, unknown, on, -5, null, "at-mark"],
    ["full, low not fitted", on, off, absent, -5, 70, "at-mark"],
    ["low", off, off, on, -60, 0, "low"],
    ["low, low float not fitted", off, off, absent, null, 0, "low"],
    ["low-low", off, off, off, null, -60, "low"],
    ["high", on, on, on, 70, null, "high"],
    ["high, working unknown", unknown, on, on, 70, null, "high"],
    ["high with working low", off, on, on, null, null, "contradiction"],
    ["low-low dry with working full", on, off, off, null, null, "contradiction"],
    ["working unknown", unknown, off, on, null, null, "unknown"],
    ["nothing known", unknown, unknown, unknown, null, null, "unknown"],
  ];
  test.each(rows)("%s: $6, from $4 to $5 mm", (_name, working, high, low, fromMm, toMm, state) => {
    const level = levelFrom(working, high, low, 0, SETTINGS);
    expect(level).toMatchObject({ fromMm, toMm, state });
    if (level.estimateMm !== null) {
      expect(level.estimateMm).toBeGreaterThanOrEqual(fromMm ?? -60);
      expect(level.estimateMm).toBeLessThanOrEqual(toMm ?? 70);
    }
  });

  test("0.2 L due over 0.020 m²: 10 mm lower; 9 L: no lower than the interval", () => {
    // 0.2 L over 0.020 m² are 10 mm.
    expect(levelFrom(off, off, on, 200_000, SETTINGS).estimateMm).toBeCloseTo(-10, 9);
    expect(levelFrom(off, off, on, 9_000_000, SETTINGS).estimateMm).toBe(-60);
    expect(levelFrom(on, off, on, 9_000_000, SETTINGS).estimateMm).toBe(-5);
  });
});

describe("trends", () => {
  const SCENE: QuantitiesScene = {
    elapsed: elapsed(5_000),
    rateMeansNothing: false,
    calibrationDays: 0,
    dueUl: 0,
  };
  const rest = Box.atRest();
  function trend(
    minutes: number,
    waterAt: (minute: number) => number,
    change: (minute: number) => Partial<QuantitiesScene> = () => ({}),
    lost = (_minute: number) => false,
  ) {
    let memory = FRESH_QUANTITIES;
    let watching = NOTHING_WATCHED;
    let rate: number | null = null;
    let fall: number | null = null;
    for (let second = 0; second < minutes * 60; second += 5) {
      const water = waterAt(second / 60);
      const first = signal(lost(second / 60) ? null : water);
      const all = {
        first: { who: "first", signal: first, answer: "unknown" },
        second: { who: "second", signal: signal(water - 0.4), answer: "unknown" },
        third: { who: "third", signal: signal(null), answer: "unknown" },
      } as const;
      const opinion = vote(all, { apart: NEVER_APART, near: NEAR_NOBODY }, 5_000, true);
      const { memory: next, watched } = followWatched(watching, opinion, 5_000);
      watching = next;
      const signals = {
        ...rest.memory,
        contacts: rest.record.contacts,
        first,
        second: first,
        room: first,
        conductivity: signal(53 - (second / 3_600) * 0.2),
        conductivityTemperature: signal(25),
        vote: opinion,
        watched,
      } as unknown as Signals;
      const reckoned = reckonQuantities(memory, signals, { ...SCENE, ...change(second / 60) }, SETTINGS);
      memory = reckoned.memory;
      rate = reckoned.temperatureRateKPerH;
      fall = reckoned.quantities.salinityChangePer6h;
    }
    return { rate, fall };
  }

  test("temperature rising 1 K/h: unknown for 19.9 min, then 1 K/h", () => {
    expect(trend(19.9, (minute) => 25 + minute / 60).rate).toBeNull();
    expect(trend(25, (minute) => 25 + minute / 60).rate).toBeCloseTo(1, 1);
  });
  test("scan gap, hold or another thermometer after 25 min: unknown; one lost 5 s now and then: 0 K/h", () => {
    const steady = () => 25;
    const once = (scene: Partial<QuantitiesScene>) => (minute: number) => (minute >= 25 && minute < 26 ? scene : {});
    expect(trend(30, steady, once({ elapsed: elapsed(5_000, 5_000, true) })).rate).toBeNull();
    expect(trend(30, steady, once({ rateMeansNothing: true })).rate).toBeNull();
    expect(
      trend(
        30,
        steady,
        () => ({}),
        (minute) => minute >= 25,
      ).rate,
    ).toBeNull();
    expect(trend(30, steady).rate).toBeCloseTo(0, 6);
    // A thermometer that is lost for five seconds now and then leaves its offset out of it.
    const flaky = (minute: number) => Math.round(minute * 12) % 36 === 35;
    expect(trend(30, steady, () => ({}), flaky).rate).toBeCloseTo(0, 6);
  });
  test("salinity falling 0.15 an hour: unknown for 5.9 h, then −0.9 in six hours", () => {
    expect(trend(5.9 * 60, () => 25).fall).toBeNull();
    // 0.2 mS/cm an hour are about 0.15 in salinity: 0.9 in six hours.
    const { fall } = trend(6.2 * 60, () => 25);
    expect(fall).toBeLessThan(-0.8);
    expect(fall).toBeGreaterThan(-1);
  });
  test("salinity: scan gap after 5 h: unknown; hold: known", () => {
    expect(
      trend(
        6.2 * 60,
        () => 25,
        (minute) => ({ elapsed: elapsed(5_000, 5_000, minute === 300) }),
      ).fall,
    ).toBeNull();
    expect(
      trend(
        6.2 * 60,
        () => 25,
        (minute) => ({ rateMeansNothing: minute > 300 }),
      ).fall,
    ).not.toBeNull();
  });
});
