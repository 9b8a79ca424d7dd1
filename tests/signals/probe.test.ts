import { describe, expect, test } from "vitest";
import { isSpike, medianOf, pushed, WINDOW } from "../../controller/signals/hampel.ts";
import { addEvent, drain, isThrice } from "../../controller/signals/leaky.ts";
import {
  doubted,
  FRESH_PROBE,
  followProbe,
  notFitted,
  type ProbeKind,
  type ProbeMemory,
  rateOf,
  signalOf,
} from "../../controller/signals/probe.ts";
import { aged, EMPTY_WINDOW, followed, ratePerHour, sampled } from "../../controller/signals/rate-window.ts";
import type { Reading } from "../../shared/contract/index.ts";
import { elapsed } from "../elapsed.ts";

const KIND: ProbeKind = { least: -2, most: 45, spikeFloor: 0.25, stillStep: 0.06, rate: { bins: 3, binMs: 1_000 } };
const good = (value: number, sample: number, ageMs = 200): Reading<number> => ({ value, fault: null, ageMs, sample });
const follow = (memory: ProbeMemory, reading: Reading<number>, gap = false) =>
  followProbe(memory, reading, KIND, elapsed(250, 250, gap));
const feed = (values: readonly number[]): ProbeMemory =>
  values.reduce((memory, value, index) => follow(memory, good(value, index + 1)), FRESH_PROBE);

describe("Hampel filter: a window and its newest sample", () => {
  // Median and scaled median absolute deviation, as in Hampel 1974 (1.4826 from memory).
  const rows: [name: string, window: number[], newest: number, spike: boolean][] = [
    ["a quiet window and a wild sample", [25, 25, 25, 25, 25, 25, 27], 27, true],
    ["a window that is not full says nothing", [25, 25, 27], 27, false],
    ["less than the floor is no spike", [25, 25, 25, 25, 25, 25, 25.2], 25.2, false],
    ["just beyond the floor in a quiet window is", [25, 25, 25, 25, 25, 25, 25.26], 25.26, true],
    ["a noisy window forgives what a quiet one does not", [20, 30, 22, 28, 24, 26, 27], 27, false],
    ["exactly the floor away is none", [25, 25, 25, 25, 25, 25, 25.25], 25.25, false],
    // Median 24, median deviation 1: beyond 4.4478.
    ["three deviations of a restless window are none", [22, 23, 23, 24, 25, 25, 28.4], 28.4, false],
    ["more than three are one", [22, 23, 23, 24, 25, 25, 28.5], 28.5, true],
    ["and downwards as well", [22, 23, 23, 24, 25, 25, 17], 17, true],
    ["a step is believed once it is the majority", [25, 25, 25, 27, 27, 27, 27], 27, false],
  ];
  test.each(rows)("%s: %j and %d: spike %s", (_name, window, newest, spike) => {
    expect(isSpike(window, newest, 0.25)).toBe(spike);
  });

  test("median of 3, 1, 2: 2; of 4, 1, 2, 3: 2.5", () => {
    expect(medianOf([3, 1, 2])).toBe(2);
    expect(medianOf([4, 1, 2, 3])).toBe(2.5);
  });

  test("20 samples pushed: the newest 7 stay", () => {
    let window: readonly number[] = [];
    for (let sample = 0; sample < 20; sample++) window = pushed(window, sample);
    expect(window).toHaveLength(WINDOW);
    expect(window.at(-1)).toBe(19);
  });
});

describe("a probe", () => {
  const rows: [name: string, reading: Reading<number>, value: number | null, doubt: string | null][] = [
    ["in range", good(25, 1), 25, null],
    ["at the lower bound", good(-2, 1), -2, null],
    ["below it", good(-2.01, 1), null, "out-of-range"],
    ["at the upper bound", good(45, 1), 45, null],
    ["above it", good(45.01, 1), null, "out-of-range"],
    ["no number", good(Number.NaN, 1), null, "not-a-number"],
    ["infinite", good(Number.POSITIVE_INFINITY, 1), null, "not-a-number"],
    ["ten seconds old", good(25, 1, 10_000), 25, null],
    ["older", good(25, 1, 10_001), null, "stale"],
    ["of an age that is no number", good(25, 1, Number.NaN), null, "stale"],
    ["power-on value", { value: null, fault: "power-on-value", ageMs: 1, sample: 1 }, null, "power-on-value"],
    [
      "null without a fault",
      { value: null, fault: null, ageMs: 1, sample: 1 } as unknown as Reading<number>,
      null,
      "not-a-number",
    ],
  ];
  test.each(rows)("%s: %j: value %s, doubt %s", (_name, reading, value, doubt) => {
    expect(follow(FRESH_PROBE, reading)).toMatchObject({ value, doubt });
  });

  test("out of range for one scan: last value kept with its age, windows go on; for more than 10 s or over a gap: empty", () => {
    const before = feed([25, 25, 25, 25, 25]);
    const lost = follow(before, good(99, 6));
    expect(lost).toMatchObject({ value: null, lastValue: 25, lastValueAgeMs: 250, window: before.window });
    expect(lost.rate).toMatchObject({ bins: before.rate.bins, count: before.rate.count, sum: before.rate.sum });
    const back = follow(lost, good(25.1, 9));
    expect(back).toMatchObject({ value: 25.1, doubt: null, window: [25, 25, 25, 25, 25, 25.1] });
    // What was lost is time all the same.
    expect(back.rate.binMs).toBe(before.rate.binMs + 500);
    expect(follow(lost, good(99, 9), true)).toMatchObject({ window: [], rate: { bins: [], count: 0 } });
    const forMs = (ms: number) => followProbe(before, good(99, 8), KIND, elapsed(ms, 250));
    expect(forMs(10_000).rate).toEqual(lost.rate);
    expect(forMs(10_001)).toMatchObject({ window: [], rate: EMPTY_WINDOW });
  });

  test("a bin of the rate without any sample, each loss short: rate unknown", () => {
    const full = feed(Array.from({ length: 20 }, () => 25));
    expect(ratePerHour(full.rate, KIND.rate)).toBe(0);
    let memory = full;
    for (let scan = 0; scan < 8; scan++) memory = follow(memory, good(99, 30 + scan));
    expect(ratePerHour(follow(memory, good(25, 40)).rate, KIND.rate)).toBeNull();
  });

  test("garbled twice before the first sample: no time counted, first bin of 250 ms", () => {
    const garbled = { value: null, fault: "garbled", ageMs: 1, sample: 1 } as const;
    const waited = follow(follow(FRESH_PROBE, garbled), garbled);
    expect(waited).toMatchObject({ rate: EMPTY_WINDOW, window: [], doubt: "garbled" });
    expect(follow(waited, good(25, 2)).rate).toEqual({ bins: [], sum: 25, count: 1, binMs: 250 });
  });

  test("rising 0.25 K/s: 900 K/h once the bins are full, unknown before", () => {
    // A sixteenth of a kelvin in each quarter of a second: 0.25 K a second are 900 K/h.
    const climbing = (scans: number) => feed(Array.from({ length: scans }, (_, scan) => 20 + scan / 16));
    expect(rateOf(climbing(20), KIND)).toBeCloseTo(900, 6);
    expect(rateOf(climbing(8), KIND)).toBeNull();
  });

  test("notFitted: bad, no value, no last value", () => {
    expect(notFitted).toEqual({
      value: null,
      quality: "bad",
      doubt: "not-fitted",
      ageMs: 0,
      uncertainty: null,
      lastValue: null,
      lastValueAgeMs: 0,
    });
  });

  test("six samples of 25 and one of 31: 25, doubt spike", () => {
    expect(feed([25, 25, 25, 25, 25, 25, 31])).toMatchObject({ value: 25, doubt: "spike" });
  });

  test("same sample number twice: one sample in the window, 250 ms since it", () => {
    const once = follow(FRESH_PROBE, good(25, 1));
    const twice = follow(once, good(25, 1));
    expect(twice.window).toHaveLength(1);
    expect(twice.sinceSampleMs).toBe(250);
  });

  test("no new sample: age of the last value grows by every scan, 0 with a new one, also through a fault", () => {
    const once = follow(FRESH_PROBE, good(25, 1));
    const waited = follow(follow(once, good(25, 1)), good(25, 1));
    expect(waited).toMatchObject({ lastValue: 25, lastValueAgeMs: 500, sinceSampleMs: 500 });
    expect(follow(waited, good(25, 2))).toMatchObject({ lastValueAgeMs: 0, sinceSampleMs: 0 });
    const lostLater = follow(follow(waited, good(99, 2)), good(99, 3));
    expect(lostLater).toMatchObject({ lastValue: 25, lastValueAgeMs: 1_000 });
    // Time that did not pass makes nothing younger.
    expect(followProbe(lostLater, good(26, 4), KIND, elapsed(0)).lastValueAgeMs).toBe(1_000);
  });

  test("sample number 7 before and after a fault: taken again", () => {
    const back = follow(follow(follow(FRESH_PROBE, good(25, 7)), good(99, 7)), good(25, 7));
    expect(back).toMatchObject({ value: 25, sample: 7, window: [25, 25], doubt: null });
  });

  test("fresh: not-yet, no value; samples numbered 1 or 0: taken", () => {
    expect(FRESH_PROBE).toMatchObject({ doubt: "not-yet", value: null });
    expect(follow(FRESH_PROBE, good(25, 1))).toMatchObject({ sample: 1, window: [25] });
    expect(follow(FRESH_PROBE, good(25, 0))).toMatchObject({ sample: 0, window: [25] });
  });

  test("moves less than a step of 0.5: time still goes on; by 0.5 or at its first sample: 0", () => {
    const wide: ProbeKind = { ...KIND, stillStep: 0.5 };
    const moves = (values: readonly number[]) =>
      values.reduce(
        (memory, value, index) => followProbe(memory, good(value, index + 1), wide, elapsed(250)),
        FRESH_PROBE,
      );
    expect(moves([25, 25.25, 25.25]).stillMs).toBe(500);
    expect(moves([25, 25.25, 25.5]).stillMs).toBe(0);
    expect(moves([25, 24.5]).stillMs).toBe(0);
    expect(moves([25]).stillMs).toBe(0);
    expect(moves([0]).stillMs).toBe(0);
  });

  test("good: good with uncertainty; spike: uncertain with it; out of range: bad, no value, no uncertainty, last value kept", () => {
    const says = (memory: ProbeMemory) => signalOf(memory, good(25, 1, 300), 0.2);
    expect(says(feed([25]))).toMatchObject({ value: 25, quality: "good", doubt: null, uncertainty: 0.2, ageMs: 300 });
    expect(says(feed([25, 25, 25, 25, 25, 25, 31]))).toMatchObject({
      quality: "uncertain",
      doubt: "spike",
      uncertainty: 0.2,
    });
    expect(says(follow(feed([25]), good(99, 2)))).toMatchObject({
      value: null,
      quality: "bad",
      doubt: "out-of-range",
      uncertainty: null,
      lastValue: 25,
    });
  });

  test("made uncertain by rate: value stays; made bad by stuck: no value; last value kept", () => {
    const signal = signalOf(feed([25]), good(25, 1), 0.2);
    expect(doubted(signal, "uncertain", "rate")).toMatchObject({
      value: 25,
      uncertainty: 0.2,
      doubt: "rate",
      lastValue: 25,
    });
    expect(doubted(signal, "bad", "stuck")).toMatchObject({
      value: null,
      uncertainty: null,
      doubt: "stuck",
      lastValue: 25,
    });
  });

  test("gap between scans: window and rate empty but for the newest sample", () => {
    const gone = follow(feed([25, 25.5, 26]), good(26, 4), true);
    expect(gone.window).toEqual([26]);
    expect(gone.rate.bins).toEqual([]);
  });

  test("still for 20 scans, garbled once, same value: goes on; 0.1 K more: 0", () => {
    const still = feed(Array.from({ length: 20 }, () => 25));
    const garbled = follow(still, { value: null, fault: "garbled", ageMs: 1, sample: 21 });
    expect(follow(garbled, good(25, 22)).stillMs).toBeGreaterThanOrEqual(still.stillMs);
    expect(follow(garbled, good(25.1, 22)).stillMs).toBe(0);
  });
});

describe("a rate over three bins of 1 s", () => {
  const shape = { bins: 3, binMs: 1_000 };
  test("1 a second: unknown for two bins, then 3,600 an hour", () => {
    let window = EMPTY_WINDOW;
    const rates: (number | null)[] = [];
    for (let step = 0; step < 4; step++) {
      window = aged(sampled(window, 25 + step), shape, 1_000);
      rates.push(ratePerHour(window, shape));
    }
    // One unit per second, for two seconds.
    expect(rates).toEqual([null, null, 3_600, 3_600]);
  });

  test("six bins: the newest three stay", () => {
    let window = EMPTY_WINDOW;
    for (let step = 0; step < 6; step++) window = aged(sampled(window, step), shape, 1_000);
    expect(window.bins).toEqual([3, 4, 5]);
  });

  test("bin: mean of its samples; the sample at its end begins the next", () => {
    const half = followed(EMPTY_WINDOW, shape, 400, 2);
    expect(half).toEqual({ bins: [], sum: 2, count: 1, binMs: 400 });
    expect(aged(half, shape, 500)).toEqual({ bins: [], sum: 2, count: 1, binMs: 900 });
    const both = followed(half, shape, 500, 4);
    expect(both).toEqual({ bins: [], sum: 6, count: 2, binMs: 900 });
    expect(followed(both, shape, 100, 9)).toEqual({ bins: [3], sum: 9, count: 1, binMs: 0 });
  });

  test("bin without a sample: window empty", () => {
    const two = aged(sampled(aged(sampled(EMPTY_WINDOW, 1), shape, 1_000), 2), shape, 1_000);
    expect(aged(two, shape, 1_000)).toEqual(EMPTY_WINDOW);
  });
});

describe("three events within an hour, as an amount that leaks", () => {
  const HOUR = 3_600_000;
  const rows: [minutesBetween: number, events: number, thrice: boolean][] = [
    [0, 2, false],
    [0, 3, true],
    [29, 3, true],
    [31, 3, false],
    [61, 50, false],
  ];
  test.each(rows)("%i min apart, %i of them: thrice %s", (minutes, events, thrice) => {
    let amount = 0;
    for (let event = 0; event < events; event++) amount = addEvent(drain(amount, minutes * 60_000), HOUR);
    expect(isThrice(amount, HOUR)).toBe(thrice);
  });
  test("1,000 events at once: forgotten after three hours", () => {
    let amount = 0;
    for (let event = 0; event < 1_000; event++) amount = addEvent(amount, HOUR);
    expect(drain(amount, 3 * HOUR)).toBe(0);
  });
});
