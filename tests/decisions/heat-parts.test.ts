import { describe, expect, test } from "vitest";
import {
  COVER_SHOWN,
  type Cover,
  type CoverMemory,
  followCover,
  isCovered,
} from "../../controller/decisions/heat/cover.ts";
import type { HeatFacts } from "../../controller/decisions/heat/facts.ts";
import { isAtFloor } from "../../controller/decisions/heat/floor.ts";
import { stepHeat } from "../../controller/decisions/heat/machine.ts";
import {
  FRESH_HEAT_DURABLE,
  FRESH_HEAT_VOLATILE,
  type HeatDurable,
  type HeatVolatile,
} from "../../controller/decisions/heat/memory.ts";
import {
  NOT_OFF,
  type OffWatch,
  type OneContact,
  planByOneContact,
  SURELY_OFF,
  watchOff,
} from "../../controller/decisions/heat/one-contact.ts";
import { type HeatPlan, planHeat } from "../../controller/decisions/heat/plan.ts";
import { roomExplains } from "../../controller/decisions/heat/room.ts";
import { SENSED_LAG_MS as LAG_MS, rehearsalSettings } from "../../shared/settings/index.ts";
import { elapsed } from "../elapsed.ts";
import { COOL, heatSignal } from "./heat-scene.ts";

/** The smaller rules of the heat, each on both sides of its limits. */
const PLAN = planHeat(rehearsalSettings(), "heater-1") as HeatPlan;
const HOUR_MS = 3_600_000;
const MINUTE_MS = 60_000;

describe("whether a heater in the last chamber is covered", () => {
  const TEN_MIN_MS = PLAN.coverByFloatMs;
  const after = (before: Partial<CoverMemory>, cover: Cover, ms = 1_000): CoverMemory =>
    followCover({ ...COVER_SHOWN, ...before }, cover, elapsed(ms, Math.min(500, ms)), TEN_MIN_MS);

  test("its low float says", () => {
    expect(isCovered("shown", after({}, "shown"))).toBe(true);
    expect(isCovered("bare", after({}, "bare"))).toBe(false);
  });
  test("with the low float lost, the working float says after ten full minutes, in credited time", () => {
    const earned = after({ fullMs: TEN_MIN_MS - 500 }, "lost-and-full");
    expect(earned).toEqual({ wasBare: false, fullMs: TEN_MIN_MS, byFloat: true });
    expect(isCovered("lost-and-full", earned)).toBe(true);
    expect(isCovered("lost-and-full", after({ fullMs: TEN_MIN_MS - 501 }, "lost-and-full"))).toBe(false);
    expect(isCovered("lost-and-full", after({}, "lost-and-full"))).toBe(false);
  });
  test("low for as long as it was full, in all of the time, the level counts as falling", () => {
    const shown = { fullMs: TEN_MIN_MS, byFloat: true };
    expect(isCovered("lost-and-low", after(shown, "lost-and-low", TEN_MIN_MS - 1))).toBe(true);
    const fallen = after(shown, "lost-and-low", TEN_MIN_MS);
    expect(isCovered("lost-and-low", fallen)).toBe(false);
    expect(isCovered("lost-and-full", after(fallen, "lost-and-full"))).toBe(false);
  });
  test("the low float's last word stands where that was bare, until it says otherwise", () => {
    const bare = after({}, "bare");
    expect(after({ ...bare, fullMs: TEN_MIN_MS }, "lost-and-full")).toMatchObject({ wasBare: true, byFloat: false });
    expect(after(bare, "shown")).toEqual(COVER_SHOWN);
  });
});

describe("whether a room may move the water so fast", () => {
  const explains = (rateKPerH: number, roomC: number | null, waterC = 26) =>
    roomExplains(rateKPerH, { ...COOL, roomC, watched: { valueC: waterC, anew: false } }, PLAN);
  const kPerH = (watts: number) => (PLAN.pumpKPerMs / 25) * watts * HOUR_MS;

  test("loss per kelvin times the room above the water, a lamp and the return pump, with a quarter of doubt", () => {
    const most = kPerH(25 + 80 + 1.25 * 15 * 5);
    expect(explains(most - 0.001, 31)).toBe(true);
    expect(explains(most + 0.001, 31)).toBe(false);
  });
  test("where the room is colder it takes, and no more than it surely does", () => {
    const most = kPerH(25 + 80 - (15 * 10) / 1.25);
    expect(explains(most - 0.001, 16)).toBe(true);
    expect(explains(most + 0.001, 16)).toBe(false);
  });
  test("where nobody measures it, it may be as hot as 40 °C", () => {
    expect(explains(kPerH(25 + 80 + 1.25 * 15 * 14) - 0.001, null)).toBe(true);
    expect(explains(kPerH(25 + 80 + 1.25 * 15 * 14) + 0.001, null)).toBe(false);
  });
  test("of water that nobody knows it may be anything", () => {
    const facts = { ...COOL, control: heatSignal(null), watched: { valueC: null, anew: false } };
    expect(roomExplains(9, facts, PLAN)).toBe(true);
  });
});

describe("the floor below which no doubt keeps the heat", () => {
  const at = (coldestAnsweringC: number | null, warmestC: number | null) =>
    isAtFloor({ ...COOL, coldestAnsweringC, surelyWarmest: heatSignal(warmestC) }, PLAN);
  test("is the low limit, of the coldest that follows the heater, while the warmest is below the setpoint", () => {
    expect(at(22.99, 24.99)).toBe(true);
    expect(at(23, 24.99)).toBe(false);
    expect(at(22.99, 25)).toBe(false);
    expect(at(null, 22)).toBe(false);
    expect(at(22.99, null)).toBe(false);
  });

  /** One is left, whose heater's thermostat nobody has seen to cut. */
  const SINGLE: HeatFacts = {
    ...COOL,
    control: heatSignal(22.5, "single"),
    warmest: heatSignal(22.5, "single"),
    surelyWarmest: heatSignal(22.5, "single"),
    coldestAnsweringC: 22.5,
    answered: "some",
    trust: "answered",
    source: "first",
  };
  const TENTH = { dutyWeek: 0.1, dutyKnownMs: 200 * HOUR_MS };
  const CAREFUL: HeatVolatile = {
    ...FRESH_HEAT_VOLATILE,
    inStateMs: HOUR_MS,
    sinceHeatMs: HOUR_MS,
    cautious: true,
    trust: "answered",
    doubt: "single",
    source: "first",
  };
  const scan = (before: Partial<HeatVolatile>, facts: Partial<HeatFacts> = {}, durable: Partial<HeatDurable> = TENTH) =>
    stepHeat(
      { durable: { ...FRESH_HEAT_DURABLE, ...durable }, volatile: { ...CAREFUL, ...before } },
      { ...SINGLE, ...facts },
      PLAN,
    );

  test("keeps the spell of careful heat from ending, and owes no pause for it", () => {
    const spell = scan({ on: true, cautiousMs: PLAN.cautiousCycleMs });
    expect(spell).toMatchObject({ on: true, why: "cautious-heating" });
    expect(spell.memory.volatile.cautiousMs).toBe(PLAN.cautiousCycleMs);
    const warm = scan({ on: true, cautiousMs: PLAN.cautiousCycleMs }, { coldestAnsweringC: 23.1 });
    expect(warm).toMatchObject({ on: false, why: "cautious-pause" });
  });
  test("shortens no pause that a new doubt has begun", () => {
    expect(scan({ cautiousMs: 300_000 })).toMatchObject({ on: false, why: "cautious-pause" });
    expect(scan({ cautiousMs: PLAN.cautiousCycleMs }, { oneFellSilent: true })).toMatchObject({ on: false });
  });
  test("heats after a week without any heat, too", () => {
    const none = { dutyWeek: 0, dutyKnownMs: 200 * HOUR_MS };
    expect(scan({ cautiousMs: PLAN.cautiousCycleMs }, {}, none)).toMatchObject({ on: true, why: "cautious-heating" });
    expect(scan({ cautiousMs: PLAN.cautiousCycleMs }, { coldestAnsweringC: null }, none).why).toBe("no-careful-share");
  });
  test("overrides neither hold nor cover nor flow nor weld, nor a heater without effect", () => {
    const due = { on: true, cautiousMs: PLAN.cautiousCycleMs };
    expect(scan(due, { holdingWithHeat: true }).why).toBe("hold-with-heat");
    expect(scan(due, { cover: "bare" }).why).toBe("heater-uncovered");
    const apart = { ...PLAN, sharesChamber: false };
    const still = { ...SINGLE, flowNow: false, flow: false };
    const memory = { durable: FRESH_HEAT_DURABLE, volatile: { ...CAREFUL, ...due } };
    expect(stepHeat(memory, still, apart).why).toBe("no-flow");
    const oneContact = { reason: "heater-welded", occurrence: 1, offRateMilliKPerH: 0 } as const;
    const hour = { on: true, cautiousMs: PLAN.oneContactCycleMs };
    const welded = scan(hour, { thermostatProven: true }, { ...TENTH, oneContact });
    expect(welded).toMatchObject({ on: false, why: "one-contact-pause" });
  });
});

describe("the watch over an off that only one contact can make", () => {
  const CONTACT: OneContact = { reason: "heater-welded", occurrence: 1, offRateMilliKPerH: -500 };
  const HALF_K_PER_H = (PLAN.heaterKPerMs * HOUR_MS) / 2;
  const KNOWN_MS = 21 * MINUTE_MS;
  const watch = (off: Partial<OffWatch>, facts: Partial<HeatFacts>, contact = CONTACT) =>
    watchOff({ on: false, off: { ...NOT_OFF, ...off } }, contact, { ...COOL, rateKPerH: null, ...facts }, PLAN);

  test("is over while the heater is on, and begins anew", () => {
    expect(watchOff({ on: true, off: SURELY_OFF }, CONTACT, COOL, PLAN)).toMatchObject({
      watch: NOT_OFF,
      failed: false,
    });
  });
  test("is confirmed by a slope that looks back on nothing but this off, and has fallen by half of what the heater makes", () => {
    const rate = -0.5 + HALF_K_PER_H;
    const confirmed = (offMs: number, rateKPerH: number | null) => watch({ offMs }, { rateKPerH }).watch.isConfirmed;
    expect(confirmed(KNOWN_MS - 1_000, rate - 0.001)).toBe(true);
    expect(confirmed(KNOWN_MS - 1_001, rate - 0.001)).toBe(false);
    expect(confirmed(KNOWN_MS, rate + 0.001)).toBe(false);
    expect(confirmed(KNOWN_MS, null)).toBe(false);
    expect(
      watch({ offMs: KNOWN_MS }, { rateKPerH: -2 }, { ...CONTACT, offRateMilliKPerH: null }).watch.isConfirmed,
    ).toBe(false);
  });
  test("is confirmed by what is sensed, after its lag, and by that alone", () => {
    expect(watch({ offMs: LAG_MS - 999 }, { seenOn: false }).watch.isConfirmed).toBe(true);
    expect(watch({ offMs: LAG_MS - 1_000 }, { seenOn: false }).watch.isConfirmed).toBe(false);
    expect(watch({ offMs: KNOWN_MS }, { seenOn: true, rateKPerH: -2 }).watch.isConfirmed).toBe(false);
  });
  test("fails after half an hour without a word, in healthy time outside a hold", () => {
    const last = { offMs: PLAN.offConfirmMs - 1_000 };
    expect(watch(last, {}).failed).toBe(true);
    expect(watch({ offMs: PLAN.offConfirmMs - 1_001 }, {}).failed).toBe(false);
    expect(watch(last, { holding: true }).failed).toBe(false);
    expect(watch({ ...last, isConfirmed: true }, {}).failed).toBe(false);
  });
  test("fails at once where there is power behind both", () => {
    expect(watch({ offMs: LAG_MS - 999, isConfirmed: true }, { seenOn: true, heaterSeenOn: true }).failed).toBe(true);
    expect(watch({ offMs: LAG_MS - 1_000 }, { seenOn: true, heaterSeenOn: true }).failed).toBe(false);
  });
  test("follows the slope while it is off, as what the next off is held against", () => {
    const { oneContact } = watch({ offMs: KNOWN_MS, isConfirmed: true }, { rateKPerH: -0.3 });
    expect(oneContact.offRateMilliKPerH).toBe(-300);
    expect(watch({ offMs: MINUTE_MS, isConfirmed: true }, { rateKPerH: -0.3 }).oneContact).toBe(CONTACT);
    expect(watch({ offMs: KNOWN_MS, isConfirmed: true }, { rateKPerH: null }).oneContact).toBe(CONTACT);
  });
  test("goes with cycles of an hour and a cut-out a kelvin over the setpoint", () => {
    expect(planByOneContact(PLAN)).toMatchObject({ cautiousCycleMs: HOUR_MS, cutOutC: 26 });
    expect(planByOneContact({ ...PLAN, cutOutC: 25.5 }).cutOutC).toBe(25.5);
  });
});
