import { describe, expect, test } from "vitest";
import type { TopOffFacts } from "../../controller/decisions/top-off/blockers.ts";
import {
  causeStands,
  cleared,
  isClearedAtTank,
  latchReason,
  standingCause,
  watchWater,
} from "../../controller/decisions/top-off/latches.ts";
import type { TopOffMemory } from "../../controller/decisions/top-off/memory.ts";
import { watchSurge } from "../../controller/decisions/top-off/surge.ts";
import { contact, FACTS, facts, memory, PLAN } from "./top-off-scene.ts";

/** What one scan sees of the water: a scan lasts a second, of which half is credit. */
const HOUR_MS = 3_600_000;
const watch = (before: Partial<TopOffMemory>, seen: Partial<TopOffFacts> = {}) =>
  watchWater(memory(before), facts(seen), PLAN);
const [ON, OFF, UNKNOWN, ABSENT] = (["on", "off", "unknown", "not-fitted"] as const).map(contact) as [
  TopOffFacts["high"],
  TopOffFacts["high"],
  TopOffFacts["high"],
  TopOffFacts["high"],
];
const WET = { high: ON };
/** Hands that make waves, a level that has just moved, a chamber that has risen: none of it is the pump's doing. */
const NOT_JUDGED: [string, Partial<TopOffFacts>][] = [
  ["in a hold", { holding: true }],
  ["while the level settles", { levelSettled: false }],
  ["with the return pump seen stopped", { returnPump: OFF }],
];
/** A pump that may be running is judged: a lost sensor must not hide a flood. */
const JUDGED: [string, Partial<TopOffFacts>][] = [
  ["with the return pump running", {}],
  ["with a return pump that says nothing", { returnPump: UNKNOWN }],
  ["without a sensor for it", { returnPump: ABSENT }],
];

describe("high float wet", () => {
  test.each(JUDGED)("scan of 1 s: 1 s more, up to 2 s: %s", (_, seen) => {
    expect(watch({ highWetMs: 500 }, { ...WET, ...seen }).highWetMs).toBe(1_500);
    expect(watch({ highWetMs: 1_500 }, { ...WET, ...seen }).highWetMs).toBe(2_000);
  });
  test.each(NOT_JUDGED)("no time and no touch counted %s", (_, seen) => {
    const after = watch({ highWetMs: 500, highWasDry: true, touchesMs: HOUR_MS }, { ...WET, ...seen });
    // It is still a touch to come: the float has not been counted since it was dry.
    expect(after).toMatchObject({ highWetMs: 500, highWasDry: true, touchesMs: HOUR_MS - 500 });
  });
  test("dry or unknown again: wet time stays", () => {
    expect(watch({ highWetMs: 500 }).highWetMs).toBe(500);
    expect(watch({ highWetMs: 500 }, { high: UNKNOWN }).highWetMs).toBe(500);
  });
  test("dry, then wet: one touch of an hour; wet on: none; unknown between: still one", () => {
    expect(watch({ highWasDry: true }, WET)).toMatchObject({ touchesMs: HOUR_MS, highWasDry: false });
    expect(watch({ highWasDry: false }, WET)).toMatchObject({ touchesMs: 0, highWasDry: false });
    expect(watch({ highWasDry: true }, { high: UNKNOWN })).toMatchObject({ touchesMs: 0, highWasDry: true });
    expect(watch({ highWasDry: false }, { high: UNKNOWN }).highWasDry).toBe(false);
    expect(watch({ highWasDry: false }).highWasDry).toBe(true);
  });
  test("touches lessen by credited time only while board and both floats speak; a second one adds an hour", () => {
    const left = (seen: Partial<TopOffFacts>) => watch({ touchesMs: HOUR_MS }, seen).touchesMs;
    expect(left({})).toBe(HOUR_MS - 500);
    for (const sick of [{ board: "silent" }, { working: UNKNOWN }, { high: UNKNOWN }] as const) {
      expect(left(sick)).toBe(HOUR_MS);
    }
    expect(watch({ touchesMs: HOUR_MS, highWasDry: true }, WET).touchesMs).toBe(2 * HOUR_MS - 500);
  });
});

describe("floor wet", () => {
  test.each([...JUDGED, ...NOT_JUDGED])("scan of 1 s: 1 s more %s", (_, seen) => {
    expect(watch({ floorWetMs: 500 }, { floor: ON, ...seen }).floorWetMs).toBe(1_500);
  });
  test("up to 2 s; dry, unknown or not fitted: stays", () => {
    expect(watch({ floorWetMs: 1_500 }, { floor: ON }).floorWetMs).toBe(2_000);
    for (const floor of [OFF, UNKNOWN, ABSENT]) expect(watch({ floorWetMs: 500 }, { floor }).floorWetMs).toBe(500);
  });
});

describe("floats that contradict each other", () => {
  const left = (seen: Partial<TopOffFacts>) => watch({ contradictionMs: 5_000 }, seen).contradictionMs;
  const HIGH_AND_LOW = { high: ON, working: OFF };
  const SUNK_AND_FULL = { low: OFF, working: ON };
  test.each(JUDGED)("scan of 1 s: 1 s more, up to 60 s: %s", (_, seen) => {
    for (const floats of [HIGH_AND_LOW, SUNK_AND_FULL]) {
      expect(left({ ...floats, ...seen })).toBe(6_000);
      expect(watch({ contradictionMs: 59_500 }, { ...floats, ...seen }).contradictionMs).toBe(60_000);
    }
  });
  test.each(NOT_JUDGED)("neither counted nor lessened %s", (_, seen) => {
    expect(left({ ...HIGH_AND_LOW, ...seen })).toBe(5_000);
    expect(left({ ...SUNK_AND_FULL, ...seen })).toBe(5_000);
  });
  const agree: [string, Partial<TopOffFacts>][] = [
    ["dry above, low water, covered below", {}],
    ["dry above, low water, uncovered below", { low: OFF }],
    ["dry above, full, covered below", { working: ON }],
    ["dry above, full, no float below", { working: ON, low: ABSENT }],
    ["dry above, low water, a silent float below", { low: UNKNOWN }],
  ];
  test.each(agree)("500 ms of credit taken off: %s", (_, seen) => {
    expect(left(seen)).toBe(4_500);
  });
  const unknown: [string, Partial<TopOffFacts>][] = [
    ["a silent high float over low water", { high: UNKNOWN }],
    ["a silent high float over full water", { high: UNKNOWN, working: ON }],
    ["a silent working float", { working: UNKNOWN }],
    ["a silent working float over an uncovered one", { working: UNKNOWN, low: OFF }],
    ["a silent working float under a wet one", { working: UNKNOWN, high: ON }],
    ["a silent low float under full water", { low: UNKNOWN, working: ON }],
    ["a flood, in which all of them are wet", { high: ON, working: ON }],
  ];
  test.each(unknown)("stays as it was: %s", (_, seen) => {
    expect(left(seen)).toBe(5_000);
  });
});

describe("float from low to full", () => {
  const FULL = { working: ON };
  const ROSE = { wasLow: true, fullMs: 29_500, unordered: 1 };
  test("full: credited time up to 30 s; low or unknown: 0", () => {
    expect(watch({ fullMs: 1_000 }, FULL).fullMs).toBe(1_500);
    expect(watch({ fullMs: 29_800 }, FULL).fullMs).toBe(30_000);
    expect(watch({ fullMs: 29_800 }).fullMs).toBe(0);
    expect(watch({ fullMs: 29_800 }, { working: UNKNOWN }).fullMs).toBe(0);
  });
  test("low for 30 s: wasLow; full for 30 s: no longer, 1 ms less: still", () => {
    expect(watch({ confirmMs: 29_999 }).wasLow).toBe(false);
    expect(watch({ confirmMs: 30_000 }).wasLow).toBe(true);
    expect(watch({ wasLow: true, fullMs: 29_499 }, FULL)).toMatchObject({ wasLow: true, unordered: 0 });
    expect(watch(ROSE, FULL)).toMatchObject({ wasLow: false });
    expect(watch({ fullMs: 30_000, unordered: 1 }, FULL)).toMatchObject({ wasLow: false, unordered: 1 });
  });
  test.each(JUDGED)("nothing poured: one more unordered rise: %s", (_, seen) => {
    expect(watch(ROSE, { ...FULL, ...seen }).unordered).toBe(2);
  });
  test.each(NOT_JUDGED)("nothing poured: not counted, the one before stays: %s", (_, seen) => {
    expect(watch(ROSE, { ...FULL, ...seen }).unordered).toBe(1);
  });
  test.each([...JUDGED, ...NOT_JUDGED])("poured or charged: none unordered: %s", (_, seen) => {
    expect(watch({ ...ROSE, sinceFullUl: 1 }, { ...FULL, ...seen }).unordered).toBe(0);
    expect(watch({ ...ROSE, chargeUl: 1 }, { ...FULL, ...seen }).unordered).toBe(0);
  });
  test("in a proving run: one more unordered rise", () => {
    expect(watch({ ...ROSE, chargeUl: 1, provingMs: 10_000 }, FULL).unordered).toBe(2);
  });
});

describe("surge after a stop of the return pump", () => {
  const surge = (before: Partial<TopOffMemory>, seen: Partial<TopOffFacts> = {}) =>
    watchSurge(memory(before), facts({ returnPump: OFF, ...seen }), PLAN);
  const NOTHING = { surgeLeftMs: 0, freeProofMs: 0, surgeSeen: false, surgeMissing: false };
  const OWED = { surgeLeftMs: 500_000, freeProofMs: 30_000, surgeSeen: true, surgeMissing: false };

  test("pump on, then off: surge owed, a minute for the float; what was seen before forgotten", () => {
    expect(surge({ returnWasOn: true })).toEqual({
      surgeLeftMs: PLAN.surgeMs - 1_000,
      freeProofMs: 59_000,
      surgeSeen: false,
      surgeMissing: false,
      returnWasOn: false,
      stuckLow: false,
    });
    // What was seen before the pump ran again is of the stop before.
    expect(surge({ ...OWED, returnWasOn: true })).toMatchObject({ freeProofMs: 59_000, surgeSeen: false });
    expect(surge({ returnWasOn: true }, { working: ON })).toMatchObject({ freeProofMs: 60_000, surgeSeen: true });
  });
  test("pump off before it was ever seen on: nothing owed, what was found stays", () => {
    expect(surge({})).toEqual({ ...NOTHING, returnWasOn: false, stuckLow: false });
    expect(surge({ surgeMissing: true, stuckLow: true })).toMatchObject({ surgeMissing: true, stuckLow: true });
  });
  test("pump back on: nothing owed, findings gone; hold: nothing owed, findings stay", () => {
    expect(surge(OWED, { returnPump: ON })).toEqual({ ...NOTHING, returnWasOn: true, stuckLow: false });
    const held = surge({ ...OWED, surgeMissing: true, stuckLow: true, returnWasOn: true }, { holding: true });
    expect(held).toEqual({ ...NOTHING, returnWasOn: false, surgeMissing: true, stuckLow: true });
    // What nobody found before the hands came is not found in their time.
    expect(surge(OWED, { holding: true }).surgeMissing).toBe(false);
  });
  test("return sensor unknown for a scan: stays owed, pump still counts as having run", () => {
    expect(surge(OWED, { returnPump: UNKNOWN })).toEqual({ ...OWED, returnWasOn: false, stuckLow: false });
    const lost = surge({ returnWasOn: true, stuckLow: true, surgeMissing: true }, { returnPump: UNKNOWN });
    expect(lost).toEqual({ ...NOTHING, surgeMissing: true, returnWasOn: true, stuckLow: true });
  });
  test("low: 1 s less of the minute; unknown: none; full: seen, the minute anew", () => {
    expect(surge(OWED)).toMatchObject({ surgeLeftMs: 499_000, freeProofMs: 29_000, surgeSeen: true });
    expect(surge(OWED, { working: UNKNOWN })).toMatchObject({ surgeLeftMs: 499_000, freeProofMs: 30_000 });
    expect(surge({ ...OWED, surgeSeen: false }, { working: ON })).toMatchObject({
      freeProofMs: 60_000,
      surgeSeen: true,
    });
    expect(surge({ ...OWED, freeProofMs: 1_001 })).toMatchObject({ freeProofMs: 1, surgeMissing: false });
  });
  test("low for the minute, never seen full: surge missing, stuck", () => {
    const stuck = surge({ ...OWED, freeProofMs: 1_000, surgeSeen: false });
    expect(stuck).toEqual({ ...NOTHING, surgeMissing: true, returnWasOn: false, stuckLow: true });
  });
  test("low for the minute, seen full before: surge missing, not stuck", () => {
    const fell = surge({ ...OWED, freeProofMs: 1_000 });
    expect(fell).toEqual({ ...NOTHING, surgeMissing: true, returnWasOn: false, stuckLow: false });
  });
  test("owed time over: no finding; full again after a finding: taken back", () => {
    expect(surge({ ...OWED, surgeLeftMs: 400 })).toMatchObject({
      surgeLeftMs: 0,
      surgeMissing: false,
      surgeSeen: true,
    });
    expect(surge({ ...OWED, surgeLeftMs: 0 })).toMatchObject(NOTHING);
    // A float that speaks again after it was missed is not missed any more.
    expect(surge({ ...OWED, surgeMissing: true }, { working: ON }).surgeMissing).toBe(false);
  });
  test("watchWater: surge and empty reservoir followed in one scan", () => {
    expect(watch({ returnWasOn: true }, { returnPump: OFF })).toMatchObject({
      freeProofMs: 59_000,
      returnWasOn: false,
    });
    expect(watch({ emptyMs: 500, reservoirUl: 7 }, { reservoir: OFF })).toMatchObject({
      emptyMs: 1_500,
      reservoirUl: 7,
    });
  });
});

describe("several causes of a lock in one scan", () => {
  test("added one by one, from excess litres to high float: the most urgent is named", () => {
    const causes: [Partial<TopOffMemory>, string][] = [
      [{ excessUl: PLAN.excessLimitUl + 1 }, "excess-litres"],
      [{ pourMs: 60_000 }, "pour-too-long"],
      [{ failures: 6 }, "failed-pours"],
      [{ contradictionMs: 60_000 }, "floats-contradict"],
      [{ stuckLow: true }, "working-float-stuck"],
      [{ emptiedEarly: true }, "emptied-early"],
      [{ unordered: 2 }, "unordered-water"],
      [{ floorWetMs: 2_000 }, "floor-wet"],
      [{ touchesMs: 2 * HOUR_MS + 1 }, "high-float-wet"],
    ];
    let all: Partial<TopOffMemory> = {};
    for (const [more, reason] of causes) {
      all = { ...all, ...more };
      expect(latchReason(memory(all), FACTS, PLAN)).toBe(reason);
    }
    expect(latchReason(memory({ emptiedEarly: true }), facts({ pumpSeenOn: true }), PLAN)).toBe("pump-seen-on");
    expect(latchReason(memory({ unordered: 2 }), facts({ pumpSeenOn: true }), PLAN)).toBe("unordered-water");
  });
  test("locked by high float or wet floor without their amounts: cleared at the tank", () => {
    for (const reason of ["high-float-wet", "floor-wet"] as const) {
      expect(isClearedAtTank(memory({ latch: { reason, occurrence: 1 } }), PLAN)).toBe(true);
    }
  });
  test("locked by failed pours, high float wet 2 s, touched thrice or floor wet 2 s: cleared at the tank; less: not", () => {
    const latch = { reason: "failed-pours", occurrence: 1 } as const;
    const atTank = (change: Partial<TopOffMemory>) => isClearedAtTank(memory({ latch, ...change }), PLAN);
    expect(atTank({})).toBe(false);
    expect([atTank({ highWetMs: 1_999 }), atTank({ highWetMs: 2_000 })]).toEqual([false, true]);
    expect([atTank({ touchesMs: 2 * HOUR_MS }), atTank({ touchesMs: 2 * HOUR_MS + 1 })]).toEqual([false, true]);
    expect([atTank({ floorWetMs: 1_999 }), atTank({ floorWetMs: 2_000 })]).toEqual([false, true]);
    expect(isClearedAtTank(memory({ floorWetMs: 2_000 }), PLAN)).toBe(false);
  });
});

describe("a clear", () => {
  const latch = { reason: "working-float-stuck", occurrence: 1 } as const;
  test("float stuck low: cause stands until it is full or the return pump on", () => {
    const stands = (before: Partial<TopOffMemory>, seen: Partial<TopOffFacts>) =>
      causeStands(memory({ latch, ...before }), facts({ returnPump: OFF, ...seen }), PLAN);
    const behind = memory({ latch: { reason: "failed-pours", occurrence: 1 }, stuckLow: true });
    expect(standingCause(behind, facts({ returnPump: OFF }), PLAN)).toBe("working-float-stuck");
    expect(stands({ stuckLow: true }, {})).toBe(true);
    expect(stands({ stuckLow: true }, { working: ON })).toBe(false);
    expect(stands({ stuckLow: true }, { returnPump: ON })).toBe(false);
    expect(stands({ stuckLow: false }, {})).toBe(false);
  });
  test("granted: amounts that led to it 0, rest of 2 min; bucket, unexplained litres and numbers stay", () => {
    const before = memory({
      state: "settling",
      restMs: 1,
      confirmMs: 1,
      pourMs: 1,
      pourUl: 1,
      chargeUl: 1,
      failures: 1,
      unordered: 1,
      freeProofMs: 1,
      surgeLeftMs: 1,
      stuckLow: true,
      emptiedEarly: true,
      provingMs: 1,
      highWetMs: 1,
      touchesMs: 1,
      floorWetMs: 1,
      contradictionMs: 1,
      sinceFullUl: 1,
      latch,
      guardLatched: true,
      bucketUl: 7,
      excessUl: 8,
      occurrences: 1,
    });
    expect(cleared(before, PLAN)).toEqual({ ...memory(), restMs: 120_000, bucketUl: 7, excessUl: 8, occurrences: 1 });
  });
});
