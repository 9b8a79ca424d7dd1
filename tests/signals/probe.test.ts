import { describe, expect, test } from "vitest";
import { isSpike, medianOf, pushed, WINDOW } from "../../controller/signals/hampel.ts";
import { addEvent, drain, isThrice } from "../../controller/signals/leaky.ts";
import { FRESH_PROBE, followProbe, type ProbeKind, type ProbeMemory } from "../../controller/signals/probe.ts";
import { aged, EMPTY_WINDOW, ratePerHour, sampled } from "../../controller/signals/rate-window.ts";
import type { Reading } from "../../shared/contract/index.ts";

const KIND: ProbeKind = { least: -2, most: 45, spikeFloor: 0.25, stillStep: 0.06, rate: { bins: 3, binMs: 1_000 } };
const good = (value: number, sample: number, ageMs = 200): Reading<number> => ({ value, fault: null, ageMs, sample });
const follow = (memory: ProbeMemory, reading: Reading<number>, gap = false) =>
  followProbe(memory, reading, KIND, 250, 250, gap);
const feed = (values: readonly number[]): ProbeMemory =>
  values.reduce((memory, value, index) => follow(memory, good(value, index + 1)), FRESH_PROBE);

describe("Hampel", () => {
  // Median and scaled median absolute deviation, as in Hampel 1974 (1.4826 from memory).
  const rows: [name: string, window: number[], newest: number, spike: boolean][] = [
    ["a quiet window and a wild sample", [25, 25, 25, 25, 25, 25, 27], 27, true],
    ["a window that is not full says nothing", [25, 25, 27], 27, false],
    ["less than the floor is no spike", [25, 25, 25, 25, 25, 25, 25.2], 25.2, false],
    ["just beyond the floor in a quiet window is", [25, 25, 25, 25, 25, 25, 25.26], 25.26, true],
    ["a noisy window forgives what a quiet one does not", [20, 30, 22, 28, 24, 26, 27], 27, false],
    ["a step is believed once it is the majority", [25, 25, 25, 27, 27, 27, 27], 27, false],
  ];
  test.each(rows)("%s", (_name, window, newest, spike) => {
    expect(isSpike(window, newest, 0.25)).toBe(spike);
  });

  test("medians of odd and even counts", () => {
    expect(medianOf([3, 1, 2])).toBe(2);
    expect(medianOf([4, 1, 2, 3])).toBe(2.5);
  });

  test("the window never grows beyond seven", () => {
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
  test.each(rows)("%s", (_name, reading, value, doubt) => {
    expect(follow(FRESH_PROBE, reading)).toMatchObject({ value, doubt });
  });

  test("valid, invalid and back: the last good value is kept with its age, and the windows begin anew", () => {
    const lost = follow(feed([25, 25, 25, 25, 25, 25, 25]), good(99, 8));
    expect(lost).toMatchObject({ value: null, lastValue: 25, lastValueAgeMs: 250, window: [] });
    expect(follow(lost, good(26, 9))).toMatchObject({ value: 26, doubt: null, window: [26] });
  });

  test("a spike is replaced by the median and said", () => {
    expect(feed([25, 25, 25, 25, 25, 25, 31])).toMatchObject({ value: 25, doubt: "spike" });
  });

  test("the same sample seen twice is one sample", () => {
    const once = follow(FRESH_PROBE, good(25, 1));
    const twice = follow(once, good(25, 1));
    expect(twice.window).toHaveLength(1);
    expect(twice.sinceSampleMs).toBe(250);
  });

  test("a gap between scans empties the windows and keeps the last value", () => {
    const gone = follow(feed([25, 25.5, 26]), good(26, 4), true);
    expect(gone.window).toEqual([26]);
    expect(gone.rate.bins).toEqual([]);
  });

  test("how long it stood still survives one garbled answer", () => {
    const still = feed(Array.from({ length: 20 }, () => 25));
    const garbled = follow(still, { value: null, fault: "garbled", ageMs: 1, sample: 21 });
    expect(follow(garbled, good(25, 22)).stillMs).toBeGreaterThanOrEqual(still.stillMs);
    expect(follow(garbled, good(25.1, 22)).stillMs).toBe(0);
  });
});

describe("a rate", () => {
  const shape = { bins: 3, binMs: 1_000 };
  test("is unknown until every bin was filled, then counts from the first bin to the last", () => {
    let window = EMPTY_WINDOW;
    const rates: (number | null)[] = [];
    for (let step = 0; step < 4; step++) {
      window = aged(sampled(window, 25 + step), shape, 1_000);
      rates.push(ratePerHour(window, shape));
    }
    // One unit per second, for two seconds.
    expect(rates).toEqual([null, null, 3_600, 3_600]);
  });

  test("breaks where a whole bin saw nothing", () => {
    const two = aged(sampled(aged(sampled(EMPTY_WINDOW, 1), shape, 1_000), 2), shape, 1_000);
    expect(aged(two, shape, 1_000)).toEqual(EMPTY_WINDOW);
  });
});

describe("three times in an hour, as an amount that leaks", () => {
  const HOUR = 3_600_000;
  const rows: [minutesBetween: number, events: number, thrice: boolean][] = [
    [0, 2, false],
    [0, 3, true],
    [29, 3, true],
    [31, 3, false],
    [61, 50, false],
  ];
  test.each(rows)("%i minutes apart, %i of them: %s", (minutes, events, thrice) => {
    let amount = 0;
    for (let event = 0; event < events; event++) amount = addEvent(drain(amount, minutes * 60_000), HOUR);
    expect(isThrice(amount, HOUR)).toBe(thrice);
  });
  test("saturates, so that a long chatter is forgotten in three hours", () => {
    let amount = 0;
    for (let event = 0; event < 1_000; event++) amount = addEvent(amount, HOUR);
    expect(drain(amount, 3 * HOUR)).toBe(0);
  });
});
