import { describe, expect, test } from "vitest";
import { watchCutOut } from "../../controller/decisions/heat/cut-out.ts";
import { countDuty, isDutyKnown } from "../../controller/decisions/heat/duty.ts";
import { watchEffect } from "../../controller/decisions/heat/effect.ts";
import type { HeatFacts } from "../../controller/decisions/heat/facts.ts";
import {
  FRESH_HEAT_DURABLE,
  FRESH_HEAT_VOLATILE,
  type HeatVolatile,
  NO_EFFECT_YET,
  unwatched,
} from "../../controller/decisions/heat/memory.ts";
import type { HeatPlan } from "../../controller/decisions/heat/plan.ts";
import { planHeat } from "../../controller/decisions/heat/plan.ts";
import { watchWeld } from "../../controller/decisions/heat/weld.ts";
import { rehearsalSettings } from "../../shared/settings/index.ts";
import { elapsed } from "../elapsed.ts";
import { heatSignal, NOTHING_IN_THE_WAY } from "./heat-scene.ts";

/** What the heat watches, one watch at a time, on both sides of each of its limits. */
const PLAN = planHeat(rehearsalSettings(), "heater-1") as HeatPlan;
const HOUR_MS = 3_600_000;
const HEATER_K_PER_H = PLAN.heaterKPerMs * HOUR_MS;

const FACTS: HeatFacts = {
  elapsed: elapsed(1_000),
  control: heatSignal(25),
  warmest: heatSignal(25),
  surelyWarmest: heatSignal(25),
  coldestC: 25,
  trust: "full",
  source: "mean",
  watched: { valueC: 25, anew: false },
  rateKPerH: 0,
  ...NOTHING_IN_THE_WAY,
};
const memory = (change: Partial<HeatVolatile> = {}): HeatVolatile => ({
  ...FRESH_HEAT_VOLATILE,
  source: "mean",
  ...change,
});

describe("the cut-out", () => {
  const CUT_C = PLAN.cutOutC;
  const watch = (before: Partial<HeatVolatile>, warmest: number | null, change: Partial<HeatFacts> = {}) =>
    watchCutOut(memory(before), { ...FACTS, warmest: heatSignal(warmest), ...change }, PLAN);

  test("at 28.5 °C: all of the scan counts, 3 s cut; 0.01 K below: count begins anew", () => {
    expect(watch({}, CUT_C)).toEqual({ hotMs: 1_000, cut: false, hotFellSilent: false, coolMs: 0 });
    expect(watch({}, CUT_C, { elapsed: elapsed(2_500, 500) }).hotMs).toBe(2_500);
    expect(watch({ hotMs: 2_000 }, CUT_C)).toMatchObject({ hotMs: 3_000, cut: true });
    expect(watch({ hotMs: 3_000 }, CUT_C + 5)).toMatchObject({ hotMs: 3_000, cut: true });
    expect(watch({ hotMs: 1_000 }, CUT_C - 0.01)).toMatchObject({ hotMs: 0, cut: false });
  });
  test("cut, 0.99 K below: stays; 1 K below: cleared", () => {
    expect(watch({ hotMs: 3_000, cut: true }, CUT_C - 0.99)).toMatchObject({ hotMs: 0, cut: true, coolMs: 0 });
    expect(watch({ hotMs: 3_000, cut: true }, CUT_C - 1)).toMatchObject({ hotMs: 0, cut: false, coolMs: 1_000 });
    expect(watch({}, CUT_C - 1)).toMatchObject({ cut: false });
  });
  test("cut, in doubt: cleared after 600 s of credited cool time; 0.5 K below the cut-out: they begin anew", () => {
    const doubtful = { trust: "doubtful", elapsed: elapsed(1_000, 500) } as const;
    const before = { hotMs: 3_000, cut: true };
    expect(watch({ ...before, coolMs: 599_000 }, 25, doubtful)).toMatchObject({
      hotMs: 3_000,
      cut: true,
      coolMs: 599_500,
    });
    expect(watch({ ...before, coolMs: 599_500 }, 25, doubtful)).toMatchObject({
      hotMs: 0,
      cut: false,
      coolMs: 600_000,
    });
    expect(watch({ ...before, coolMs: 600_000 }, 25, doubtful).coolMs).toBe(600_000);
    expect(watch({ ...before, coolMs: 599_500 }, CUT_C - 0.5, doubtful)).toMatchObject({
      hotMs: 3_000,
      cut: true,
      coolMs: 0,
    });
  });
  test("no reading: hot time and cut stay, cool time 0", () => {
    expect(watch({ hotMs: 2_000, cut: false, coolMs: 400 }, null)).toMatchObject({
      hotMs: 2_000,
      cut: false,
      coolMs: 0,
    });
    expect(watch({ hotMs: 3_000, cut: true, coolMs: 400 }, null)).toMatchObject({
      hotMs: 3_000,
      cut: true,
      coolMs: 0,
    });
  });
  test("cut, and one fell silent: clears after ten cool minutes, not at once, though the others agree", () => {
    const hot = { hotMs: 3_000, cut: true };
    const silent = watch(hot, 25, { oneFellSilent: true });
    expect(silent).toMatchObject({ ...hot, hotFellSilent: true });
    expect(watch({ ...silent, coolMs: 5_000 }, 25)).toMatchObject({ ...hot, hotFellSilent: true });
    expect(watch({ ...silent, coolMs: 599_000 }, 25)).toMatchObject({ hotMs: 0, cut: false, hotFellSilent: false });
    // A moment of heat that stood before no cut-out is kept as well.
    expect(watch({ hotMs: 1_000 }, 25, { oneFellSilent: true })).toMatchObject({ hotMs: 1_000, hotFellSilent: true });
    expect(watch({}, 25, { oneFellSilent: true }).hotFellSilent).toBe(false);
  });
});

describe("the duty", () => {
  test("59.999 s: gathered, not yet counted", () => {
    const counted = countDuty(FRESH_HEAT_DURABLE, memory({ dutyOnMs: 10_000, dutyAllMs: 58_999 }), true, 1_000);
    expect(counted).toEqual({ durable: FRESH_HEAT_DURABLE, dutyOnMs: 11_000, dutyAllMs: 59_999 });
    expect(countDuty(FRESH_HEAT_DURABLE, memory({ dutyOnMs: 10_000 }), false, 1_000).dutyOnMs).toBe(10_000);
  });
  test("first 60 s, 15 of them on: share of day and week 0.25", () => {
    const { durable, dutyOnMs, dutyAllMs } = countDuty(
      FRESH_HEAT_DURABLE,
      memory({ dutyOnMs: 14_000, dutyAllMs: 59_000 }),
      true,
      1_000,
    );
    expect(durable).toMatchObject({ dutyDay: 0.25, dutyWeek: 0.25, dutyKnownMs: 60_000 });
    expect([dutyOnMs, dutyAllMs]).toEqual([0, 0]);
  });
  test("a minute on, at 0.5: day moves by 1/1,440 of the difference, week by 1/10,080; known for ten days at most", () => {
    const known = { ...FRESH_HEAT_DURABLE, dutyDay: 0.5, dutyWeek: 0.5, dutyKnownMs: 30 * 24 * HOUR_MS };
    const { durable } = countDuty(known, memory({ dutyOnMs: 59_000, dutyAllMs: 59_000 }), true, 1_000);
    expect(durable.dutyDay).toBeCloseTo(0.5 + 0.5 / 1_440, 12);
    expect(durable.dutyWeek).toBeCloseTo(0.5 + 0.5 / 10_080, 12);
    expect(durable.dutyKnownMs).toBe(10 * 24 * HOUR_MS);
  });
  test("known for a day less 1 ms: not known; a day: known", () => {
    expect(isDutyKnown({ ...FRESH_HEAT_DURABLE, dutyKnownMs: 24 * HOUR_MS - 1 })).toBe(false);
    expect(isDutyKnown({ ...FRESH_HEAT_DURABLE, dutyKnownMs: 24 * HOUR_MS })).toBe(true);
  });
});

describe("a rise while the heater is off", () => {
  const SUSPICIOUS = 0.35 * HEATER_K_PER_H;
  const LONG_OFF = { on: false, inStateMs: PLAN.weldCheckAfterOffMs };
  const watch = (before: Partial<HeatVolatile>, rateKPerH: number | null, change: Partial<HeatFacts> = {}) =>
    watchWeld(memory(before), { ...FACTS, rateKPerH, ...change }, PLAN);
  const NOTHING = { guardOpenMs: 0, rateBefore: 0, disprovedMs: 0, proven: false };

  test("half an hour off, more than 35 % of the heater's rate: guard open; less, unknown, shorter off, or on: not", () => {
    const opened = { guardOpenMs: PLAN.guardOpenMs, rateBefore: SUSPICIOUS + 0.01, disprovedMs: 0, proven: false };
    expect(watch(LONG_OFF, SUSPICIOUS + 0.01)).toEqual(opened);
    expect(watch(LONG_OFF, SUSPICIOUS - 0.01)).toEqual(NOTHING);
    expect(watch(LONG_OFF, null)).toEqual(NOTHING);
    expect(watch({ ...LONG_OFF, inStateMs: PLAN.weldCheckAfterOffMs - 1 }, 2)).toEqual(NOTHING);
    expect(watch({ ...LONG_OFF, on: true }, 2)).toEqual(NOTHING);
  });
  test("weak heater: not at 0.19 K/h, guard open at 0.21", () => {
    const weak = { ...PLAN, heaterKPerMs: 0.3 / HOUR_MS };
    expect(watchWeld(memory(LONG_OFF), { ...FACTS, rateKPerH: 0.19 }, weak)).toEqual(NOTHING);
    expect(watchWeld(memory(LONG_OFF), { ...FACTS, rateKPerH: 0.21 }, weak).guardOpenMs).toBe(PLAN.guardOpenMs);
  });
  test("disproved: not tested again in that day; tested again once the heater was on", () => {
    const disproved = { ...LONG_OFF, disprovedMs: 5_000 };
    expect(watch(disproved, 2)).toEqual({ ...NOTHING, disprovedMs: 4_000 });
    expect(watch({ ...disproved, disprovedMs: 1_000 }, 2).guardOpenMs).toBe(PLAN.guardOpenMs);
    // Only a contact that closes can weld.
    expect(watch({ ...disproved, on: true }, 2)).toEqual(NOTHING);
  });
  test("guard open, credit of 500 ms: 500 ms less of its time", () => {
    const open = { guardOpenMs: 10_000, rateBefore: 1.3 };
    expect(watch(open, 2, { elapsed: elapsed(1_000, 500) })).toEqual({
      ...open,
      guardOpenMs: 9_500,
      disprovedMs: 0,
      proven: false,
    });
  });
  test("rate falls by half of the heater's with the guard open: weld proven; by less: the room", () => {
    const last = { guardOpenMs: 1_000, rateBefore: 1.3 };
    const half = HEATER_K_PER_H / 2;
    expect(watch(last, 1.3 - half - 0.001)).toEqual({ ...NOTHING, proven: true });
    expect(watch(last, 1.3 - half + 0.001)).toEqual({ ...NOTHING, disprovedMs: 24 * HOUR_MS });
    expect(watch({ ...last, rateBefore: half }, 0).proven).toBe(true);
  });
  test("other heater off for half an hour: tested; less: not; on in the test: nothing proven", () => {
    const halfHour = PLAN.weldCheckAfterOffMs;
    expect(watch(LONG_OFF, 2, { otherOffMs: halfHour }).guardOpenMs).toBe(PLAN.guardOpenMs);
    expect(watch(LONG_OFF, 2, { otherOffMs: halfHour - 1 })).toEqual(NOTHING);
    expect(watch({ ...LONG_OFF, inStateMs: halfHour - 1 }, 2, { otherOffMs: halfHour })).toEqual(NOTHING);
    const open = { guardOpenMs: 9_000, rateBefore: 1.3 };
    expect(watch(open, 1.3, { otherOffMs: 0 })).toMatchObject({ guardOpenMs: 8_000, rateBefore: null });
    expect(watch(open, 1.3, { otherOffMs: 1 })).toMatchObject({ guardOpenMs: 8_000, rateBefore: 1.3 });
    // In its last scan, too: the fall may be the other one's end.
    expect(watch({ ...open, guardOpenMs: 1_000 }, 0, { otherOffMs: 0 })).toEqual(NOTHING);
  });
  test("no rate in the last scan: guard stays open; another thermometer, or no rate kept: nothing proven", () => {
    const last = { guardOpenMs: 1_000, rateBefore: 1.3 };
    expect(watch(last, null)).toEqual({ guardOpenMs: 1, rateBefore: 1.3, disprovedMs: 0, proven: false });
    const anew = { watched: { valueC: 25, anew: true } };
    expect(watch(last, 0, anew)).toEqual(NOTHING);
    expect(watch({ ...last, guardOpenMs: 9_000 }, 0, anew).rateBefore).toBeNull();
    expect(watch(last, 0, { source: "second", watched: { valueC: null, anew: false } }).proven).toBe(true);
    expect(watch({ ...last, rateBefore: null }, 0)).toEqual(NOTHING);
    expect(watch({ ...last, rateBefore: null }, -2)).toEqual(NOTHING);
  });
});

describe("the effect of the heater", () => {
  const watch = (before: Partial<HeatVolatile>, water: number | null, change: Partial<HeatFacts> = {}) =>
    watchEffect(memory(before), { ...FACTS, watched: { valueC: water, anew: false }, ...change }, PLAN);
  const RUNNING = { onMs: 60_000, offMs: 0, predictedK: 0.01, startC: 24.5 };
  const NOTHING = { window: NO_EFFECT_YET, verdict: null, unansweredMs: 0 };

  test("first scan on: begins at 24.5 °C; off: not", () => {
    expect(watch({ on: true }, 24.5)).toEqual({ ...NOTHING, window: { ...NO_EFFECT_YET, startC: 24.5 } });
    expect(watch({ on: false }, 24.5)).toEqual(NOTHING);
  });
  test("power lost, another thermometer, scan over 10 s, or the other heater on: begins anew", () => {
    const before = { on: true, effect: RUNNING };
    expect(watch(before, 24.6, { powered: false })).toEqual(NOTHING);
    expect(watch(before, 24.6, { watched: { valueC: 24.6, anew: true } })).toEqual(NOTHING);
    expect(watch(before, 24.6, { elapsed: elapsed(10_001) })).toEqual(NOTHING);
    // Beside another heater that moves the water nobody knows whose effect it is.
    expect(watch(before, 24.6, { otherOffMs: 0 })).toEqual(NOTHING);
    expect(watch(before, 24.6, { otherOffMs: 1 }).window.onMs).toBe(61_000);
    expect(watch(before, 24.6, { elapsed: elapsed(10_000) }).window.onMs).toBe(70_000);
  });
  test("no temperature: time counted up to the hour, judged by the next value", () => {
    const full = { onMs: PLAN.effectWindowMs - 1_000, offMs: 0, predictedK: 0.8, startC: 24 };
    const waits = watch({ on: true, effect: full }, null);
    expect(waits.verdict).toBeNull();
    expect(waits.window).toMatchObject({ onMs: PLAN.effectWindowMs, startC: 24 });
    // As long as it waits, no more is added: it is judged by the next value.
    expect(watch({ on: true, effect: waits.window }, null)).toEqual(waits);
    expect(watch({ on: true, effect: waits.window }, 24).verdict).toBe("none");
    expect(watch({ on: true }, null)).toEqual(NOTHING);
    // Off, and the other thermometer is warm: that shows nothing of the water.
    expect(watch({ on: false, effect: RUNNING }, null, { control: heatSignal(30) }).verdict).toBeNull();
  });
  test("above the band after some heating: seen; not after none, nor at its edge, nor still on", () => {
    const above = PLAN.offAboveC + 0.01;
    expect(watch({ on: false, effect: RUNNING }, above).verdict).toBe("seen");
    expect(watch({ on: false, effect: NO_EFFECT_YET }, above)).toEqual(NOTHING);
    // Let go before it had heated for a moment: the room has warmed it.
    expect(watch({ on: false, effect: { ...NO_EFFECT_YET, startC: 24.5 } }, above)).toEqual(NOTHING);
    expect(watch({ on: false, effect: RUNNING }, PLAN.offAboveC).verdict).toBeNull();
    expect(watch({ on: true, effect: RUNNING }, above).verdict).toBeNull();
  });
  test("expected rise: heater and return pump less the loss to the room, measured or from the settings", () => {
    const predicted = (on: boolean, roomC: number | null) =>
      (watch({ on, effect: RUNNING }, 24.6, { roomC }).window.predictedK - 0.01) / 1_000;
    expect(predicted(true, 20)).toBeCloseTo(PLAN.heaterKPerMs + PLAN.pumpKPerMs - PLAN.lossPerMs * 4.6, 12);
    expect(predicted(false, 20)).toBeCloseTo(PLAN.pumpKPerMs - PLAN.lossPerMs * 4.6, 12);
    expect(predicted(true, null)).toBeCloseTo(
      PLAN.heaterKPerMs + PLAN.pumpKPerMs - PLAN.lossPerMs * (24.6 - PLAN.roomC),
      12,
    );
  });
  test("a second on or off: counted apart, off up to a third of the hour", () => {
    expect(watch({ on: true, effect: RUNNING }, 24.6).window).toMatchObject({ onMs: 61_000, offMs: 0, startC: 24.5 });
    expect(watch({ on: false, effect: RUNNING }, 24.6).window).toMatchObject({ onMs: 60_000, offMs: 1_000 });
    const most = PLAN.effectWindowMs / 3;
    expect(watch({ on: false, effect: { ...RUNNING, offMs: most } }, 24.6).window.offMs).toBe(most);
  });

  describe("after an hour on", () => {
    const HOUR = { onMs: PLAN.effectWindowMs - 1_000, offMs: 0, predictedK: 0.8, startC: 24 };
    const judged = (change: Partial<typeof HOUR>, water: number) =>
      watch({ on: true, effect: { ...HOUR, ...change } }, water);
    test("1 ms less: no verdict; the hour: none", () => {
      expect(judged({ onMs: PLAN.effectWindowMs - 1_001 }, 24).verdict).toBeNull();
      expect(judged({}, 24)).toEqual({ ...NOTHING, verdict: "none" });
    });
    test("0.21 of 0.8 K: seen; 0.19: none", () => {
      expect(judged({}, 24.21)).toEqual({ ...NOTHING, verdict: "seen" });
      expect(judged({}, 24.19).verdict).toBe("none");
    });
    test("0.29 K expected: no verdict; 0.31: none", () => {
      expect(judged({ predictedK: 0.29 }, 24)).toEqual(NOTHING);
      expect(judged({ predictedK: 0.31 }, 23.7).verdict).toBe("none");
    });
    test("in a room that takes nearly all accuses no heater without which the water would have cooled far more", () => {
      const heaterK = (PLAN.heaterKPerMs * PLAN.effectWindowMs) as number;
      const felt = (share: number) => 24 + 0.31 - heaterK + share * heaterK;
      expect(judged({ predictedK: 0.31 }, felt(0.61))).toEqual(NOTHING);
      expect(judged({ predictedK: 0.31 }, felt(0.59)).verdict).toBe("none");
    });
    test("20 min off in between: no verdict without a rise; seen with one", () => {
      const third = PLAN.effectWindowMs / 3;
      expect(judged({ offMs: third - 1 }, 24).verdict).toBe("none");
      expect(judged({ offMs: third }, 24)).toEqual(NOTHING);
      expect(judged({ offMs: third }, 24.5).verdict).toBe("seen");
    });
  });
});

describe("which thermometers follow the heater", () => {
  const watch = (before: Partial<HeatVolatile>, change: Partial<HeatFacts>) =>
    watchEffect(memory(before), { ...FACTS, watched: { valueC: null, anew: false }, ...change }, PLAN);
  const LAST_SECOND = { on: true, unansweredMs: PLAN.effectWindowMs - 1_000 };
  test("none for an hour on, with pauses: no effect; without power: nothing counted", () => {
    expect(watch(LAST_SECOND, { answered: "none" }).verdict).toBe("none");
    expect(watch({ ...LAST_SECOND, unansweredMs: 0 }, { answered: "none" })).toMatchObject({
      verdict: null,
      unansweredMs: 1_000,
    });
    expect(watch({ ...LAST_SECOND, on: false }, { answered: "none" })).toMatchObject({
      verdict: null,
      unansweredMs: PLAN.effectWindowMs - 1_000,
    });
    expect(watch(LAST_SECOND, { answered: "none", powered: false }).verdict).toBeNull();
  });
  test("not known: nothing counted", () => {
    expect(watch(LAST_SECOND, { answered: "unknown" })).toMatchObject({ verdict: null, unansweredMs: 0 });
  });
  test("one: effect seen", () => {
    expect(watch(LAST_SECOND, { answered: "some" })).toMatchObject({ verdict: "seen", unansweredMs: 0 });
  });
  test("one, but an hour on end without a rise: no effect", () => {
    const effect = { onMs: PLAN.effectWindowMs - 1_000, offMs: 0, predictedK: 0.8, startC: 24 };
    const facts = { answered: "some", watched: { valueC: 24, anew: false } } as const;
    expect(watch({ on: true, effect }, facts).verdict).toBe("none");
  });
  test("beside another heater: nothing said of this one", () => {
    const other = { otherOffMs: HOUR_MS } as const;
    expect(watch(LAST_SECOND, { answered: "none", ...other })).toMatchObject({ verdict: null, unansweredMs: 0 });
    expect(watch(LAST_SECOND, { answered: "some", ...other }).verdict).toBeNull();
  });
});

test("correction changed: effect and kept rate begin anew, all else stays", () => {
  const before = memory({
    on: true,
    inStateMs: 7_000,
    hotMs: 2_000,
    effect: { onMs: 60_000, offMs: 0, predictedK: 0.01, startC: 24.5 },
    guardOpenMs: 9_000,
    rateBefore: 1.3,
  });
  expect(unwatched(before)).toEqual({ ...before, effect: NO_EFFECT_YET, rateBefore: null });
});
