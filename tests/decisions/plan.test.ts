import { describe, expect, test } from "vitest";
import { provenBeforeHeat } from "../../controller/decisions/heat/observation.ts";
import { type HeatPlan, planHeat, planTurns } from "../../controller/decisions/heat/plan.ts";
import { planStart } from "../../controller/decisions/start.ts";
import { planTopOff } from "../../controller/decisions/top-off/plan.ts";
import { elapsedSince } from "../../controller/scan/elapsed.ts";
import { creditMostMs, oncePerSettings, rehearsalSettings, type Settings } from "../../shared/settings/index.ts";

/**
 * The settings of the reference tank as the amounts that decisions count in: 140 L, a last chamber of 0.020 m², 1.5 L of
 * evaporation a day. Each figure is worked out by hand from the settings and the figures of the trade beside it.
 */
const SETTINGS = rehearsalSettings();
const planOf = (settings: Settings) => ({
  ...planStart(settings),
  topOff: planTopOff(settings),
  heat: planHeat(settings, "heater-1") as HeatPlan,
  secondHeat: planHeat(settings, "heater-2"),
  turns: planTurns(settings),
});
const { topOff, heat } = planOf(SETTINGS);
const HOUR_MS = 3_600_000;
const DAY_MS = 24 * HOUR_MS;
const differing = (change: Partial<Settings>) => planOf({ ...SETTINGS, ...change });

describe("litres, reckoned from the settings of the reference tank", () => {
  const rows: [story: string, planned: number, expected: number][] = [
    ["1.5 L a minute are 25 mL a second", topOff.flowUlPerMs * 1_000, 25_000],
    [
      "a pump may be a quarter stronger than it was proven, and is charged so",
      topOff.chargedFlowUlPerMs * 1_000,
      31_250,
    ],
    ["a slice is a quarter of a litre", topOff.sliceUl, 250_000],
    ["what runs on after it is 20 mL", topOff.coastUl, 20_000],
    ["a slice with its coast may cost a quarter more", topOff.chargeUl, 337_500],
    ["the bucket holds the 3 L of a day", topOff.bucketSizeUl, 3_000_000],
    ["and is full again after a day, not sooner", topOff.bucketUlPerMs * DAY_MS, 3_000_000],
    ["evaporation takes 1.5 L a day", topOff.evaporationUlPerMs * DAY_MS, 1_500_000],
    ["of which four fifths are sure: 1.2 L", topOff.lowestEvaporationUlPerMs * DAY_MS, 1_200_000],
    ["140 L at 35 are diluted by 2 with 140 × 2 / 33 L", topOff.excessLimitUl, 8_484_848],
    ["5 mm of a float over 0.020 m² are 100 mL", topOff.hysteresisUl, 100_000],
    ["a litre beyond what is owed", topOff.unansweredMarginUl, 1_000_000],
    ["ten litres in the reservoir", topOff.reservoirUl, 10_000_000],
    ["of which a third left by the count is empty too early", topOff.earlyUl, 3_333_333],
    ["140 L in the tank", topOff.netVolumeUl, 140_000_000],
    ["kept at 35", topOff.targetSalinity, 35],
    ["and in doubt below 34", topOff.lowSalinity, 34],
    // (60 − 5) mm × 0.020 m² = 1.1 L, of which half is gone at 1.5 L a day in 8.8 h.
    ["water that ran back stands over its mark for 8.8 h", topOff.surgeMs, 8.8 * HOUR_MS],
  ];
  test.each(rows)("%s: $2", (_, planned, expected) => {
    expect(planned).toBeCloseTo(expected, 6);
  });

  test("chamber that keeps its level: surge of a minute; hardly any evaporation: ten days at most", () => {
    const flat = differing({ tank: { ...SETTINGS.tank, pumpOffLevelMm: SETTINGS.tank.floatHysteresisMm } });
    expect(flat.topOff.surgeMs).toBe(60_000);
    const still = differing({ topOff: { ...SETTINGS.topOff, evaporationLPerDay: 0.01 } });
    expect(still.topOff.surgeMs).toBe(10 * DAY_MS);
  });
});

test("fan of 3 L a day: owed at that rate, surge half as long, all else equal", () => {
  const fanned = differing({ topOff: { ...SETTINGS.topOff, fan: { aboveC: 27, evaporationLPerDay: 3 } } }).topOff;
  expect(fanned).toEqual({ ...topOff, fanEvaporationUlPerMs: 3_000_000 / DAY_MS, surgeMs: topOff.surgeMs / 2 });
  expect(topOff.fanEvaporationUlPerMs).toBe(topOff.evaporationUlPerMs);
});

describe("heat, reckoned from the settings of the reference tank", () => {
  const rows: [story: string, planned: number, expected: number][] = [
    ["heat begins half of the dead band under 25 °C", heat.onBelowC, 24.85],
    ["and ends half of it above", heat.offAboveC, 25.15],
    ["around the setpoint", heat.setpointC, 25],
    ["the cut-out is at 28.5 °C", heat.cutOutC, 28.5],
    ["the low limit is the lower end of the band that alarms", heat.lowC, 23],
    ["the room is at 22 °C", heat.roomC, 22],
    // 140 L × 4090 J/(L K) = 572.6 kJ/K.
    ["200 W make 1.257 K/h of it", heat.heaterKPerMs * HOUR_MS, (200 * 3600) / 572_600],
    ["25 W of the return pump 0.157 K/h", heat.pumpKPerMs * HOUR_MS, (25 * 3600) / 572_600],
    ["15 W/K to the room take 0.094 K/h for each kelvin", heat.lossPerMs * HOUR_MS, (15 * 3600) / 572_600],
  ];
  test.each(rows)("%s: $2", (_, planned, expected) => {
    expect(planned).toBeCloseTo(expected, 9);
  });

  test("cover needed: for a heater in the last chamber, not for the reference tank's", () => {
    expect(heat.coverNeeded).toBe(false);
    expect(differing({ heat: { ...SETTINGS.heat, heaterPlace: "last-chamber" } }).heat.coverNeeded).toBe(true);
  });
  test("heat without flow: with a thermometer in its chamber, not without", () => {
    expect(heat.sharesChamber).toBe(true);
    const apart = differing({ heat: { ...SETTINGS.heat, thermometerSharesHeaterChamber: false } });
    expect(apart.heat.sharesChamber).toBe(false);
  });
  test("proven before heat: guard and heater; in the last chamber its low float too; no second heater: nothing", () => {
    expect(provenBeforeHeat(SETTINGS, "heater-1")).toEqual(["heat-guard", "heater-1"]);
    expect(provenBeforeHeat(SETTINGS, "heater-2")).toEqual([]);
    const secondHeater = { heaterW: 100, heaterPlace: "last-chamber", thermometerSharesHeaterChamber: true } as const;
    const two = { ...SETTINGS, heat: { ...SETTINGS.heat, secondHeater } };
    expect(provenBeforeHeat(two, "heater-2")).toEqual(["heat-guard-2", "heater-2", "low-float"]);
  });
  test("second heater of 100 W in the last chamber: its power and place, all else as the first; none: null", () => {
    const secondHeater = { heaterW: 100, heaterPlace: "last-chamber", thermometerSharesHeaterChamber: false } as const;
    const { heat: first, secondHeat } = differing({ heat: { ...SETTINGS.heat, secondHeater } });
    const own = { heaterKPerMs: first.heaterKPerMs / 2, coverNeeded: true, sharesChamber: false };
    expect(secondHeat).toEqual({ ...first, ...own });
    expect(planOf(SETTINGS).secondHeat).toBeNull();
  });
  test("clearing from a distance: neither, unless the settings allow clearing a flood from afar; then water and heat", () => {
    expect([topOff.clearFromADistance, heat.clearFromADistance]).toEqual([false, false]);
    const far = differing({ topOff: { ...SETTINGS.topOff, clearingAFloodFromADistance: true } });
    expect([far.topOff.clearFromADistance, far.heat.clearFromADistance]).toEqual([true, true]);
  });
});

describe("waits", () => {
  const plain = planOf(SETTINGS);
  const bench = differing({ bench: { ...SETTINGS.bench, waitsDividedBy: 100 } });
  type Row = [story: string, wait: (plan: typeof plain) => number, ms: number];
  const shortened: Row[] = [
    ["inputs are steady for a minute before anything is energised", ({ steadyMs }) => steadyMs, 60_000],
    ["top-off comes ten minutes after the start", ({ topOffAfterStartMs }) => topOffAfterStartMs, 600_000],
    ["the return pump runs two minutes before heat", ({ flowBeforeHeatMs }) => flowBeforeHeatMs, 120_000],
    ["the level settles five minutes after it", ({ returnPumpSettleMs }) => returnPumpSettleMs, 300_000],
    ["low is believed after half a minute", (plan) => plan.topOff.confirmMs, 30_000],
    ["a slice settles for a minute", (plan) => plan.topOff.settleMs, 60_000],
    ["and the pump rests two", (plan) => plan.topOff.restMs, 120_000],
    ["or half an hour after a pour that changed nothing", (plan) => plan.topOff.restAfterFailureMs, 1_800_000],
    ["floats that contradict each other lock after a minute", (plan) => plan.topOff.contradictionLatchMs, 60_000],
    ["a hand test gives back once an hour", (plan) => plan.topOff.handTestEveryMs, HOUR_MS],
    ["an empty reservoir is judged after a quarter of an hour", (plan) => plan.topOff.emptyJudgedMs, 900_000],
    ["the heater is on for a minute at least", (plan) => plan.heat.minimumOnMs, 60_000],
    ["and off for one", (plan) => plan.heat.minimumOffMs, 60_000],
    ["careful heat goes in cycles of ten minutes", (plan) => plan.heat.cautiousCycleMs, 600_000],
    ["the other heater helps after an hour and ten minutes", (plan) => plan.turns.joinsAfterMs, 4_200_000],
    ["and never starts within ten seconds of the first", (plan) => plan.turns.apartMs, 10_000],
  ];
  test.each(shortened)("%s: $2 ms; divided by 100 on the bench", (_, wait, ms) => {
    expect([wait(plain), wait(bench)]).toEqual([ms, ms / 100]);
  });
  const bounds: Row[] = [
    ["a high float locks after two wet seconds", (plan) => plan.topOff.highFloatLatchMs, 2_000],
    ["and so does a wet floor", (plan) => plan.topOff.floorLatchMs, 2_000],
    ["no pour is longer than a minute", (plan) => plan.topOff.longestPourMs, 60_000],
    ["a float that stays low a minute after the pump stopped is stuck", (plan) => plan.topOff.freeProofMs, 60_000],
    ["three hot conversions cut out", (plan) => plan.heat.cutOutMs, 3_000],
    ["heat of the last half hour locks", (plan) => plan.heat.recentHeatMs, 1_800_000],
    ["a heater shows its effect in an hour", (plan) => plan.heat.effectWindowMs, HOUR_MS],
    ["the slope is looked at for ten minutes", (plan) => plan.heat.slopeCheckMs, 600_000],
    ["a rise of its own is tested for half an hour", (plan) => plan.heat.guardOpenMs, 1_800_000],
    ["after as long a time off", (plan) => plan.heat.weldCheckAfterOffMs, 1_800_000],
  ];
  test.each(bounds)("%s: $2 ms, on the bench too", (_, bound, ms) => {
    expect([bound(plain), bound(bench)]).toEqual([ms, ms]);
  });

  test("waits divided by 1e9: 1 ms each", () => {
    const fastest = differing({ bench: { ...SETTINGS.bench, waitsDividedBy: 1e9 } });
    expect([fastest.steadyMs, fastest.topOff.confirmMs, fastest.heat.minimumOffMs]).toEqual([1, 1, 1]);
  });
  test("most credit of a scan: 500 ms, two scans", () => {
    expect(creditMostMs(SETTINGS)).toBe(500);
    expect(elapsedSince(400, SETTINGS)).toEqual({ ms: 400, creditMs: 400, gap: false });
    expect(elapsedSince(1_000, SETTINGS)).toEqual({ ms: 1_000, creditMs: 500, gap: false });
    // Every output fell off by itself.
    expect(elapsedSince(1_001, SETTINGS)).toEqual({ ms: 1_001, creditMs: 500, gap: true });
  });
});

test("of the same settings object: made once; of a copy: made anew", () => {
  let made = 0;
  const count = oncePerSettings(() => ++made);
  expect([count(SETTINGS), count(SETTINGS), count({ ...SETTINGS })]).toEqual([1, 1, 2]);
  expect(planTopOff(SETTINGS)).toBe(planTopOff(SETTINGS));
});
