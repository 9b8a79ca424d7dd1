import { describe, expect, test } from "vitest";
import type { HeatFacts } from "../../controller/decisions/heat/facts.ts";
import { stepHeat } from "../../controller/decisions/heat/machine.ts";
import {
  FRESH_HEAT_DURABLE,
  FRESH_HEAT_VOLATILE,
  type HeatDurable,
  type HeatVolatile,
} from "../../controller/decisions/heat/memory.ts";
import type { HeatPlan } from "../../controller/decisions/heat/plan.ts";
import { planHeat } from "../../controller/decisions/heat/plan.ts";
import type { Reason } from "../../shared/contract/index.ts";
import { rehearsalSettings } from "../../shared/settings/index.ts";
import { elapsed } from "../elapsed.ts";
import { COOL, heatSignal } from "./heat-scene.ts";

/**
 * Careful heating, a scan at a time: at most half of the time and no more than last week, in cycles of ten
 * minutes that begin with their pause, so that no reading that goes bad turns the heater on.
 */
const PLAN = planHeat(rehearsalSettings(), "heater-1") as HeatPlan;
const CYCLE_MS = 600_000;
const HOUR_MS = 3_600_000;

/** One thermometer is left, and says that the water is cool. */
const SINGLE: HeatFacts = {
  ...COOL,
  control: heatSignal(24, "single"),
  warmest: heatSignal(24, "single"),
  surelyWarmest: heatSignal(24, "single"),
  trust: "doubtful",
  source: "first",
};
const CAREFUL: HeatVolatile = {
  ...FRESH_HEAT_VOLATILE,
  inStateMs: HOUR_MS,
  sinceHeatMs: HOUR_MS,
  cautious: true,
  trust: "doubtful",
  doubt: "single",
  source: "first",
};
const HALF = { dutyWeek: 0.9, dutyKnownMs: 48 * HOUR_MS };
const QUARTER = { dutyWeek: 0.25, dutyKnownMs: 48 * HOUR_MS };
const NONE = { dutyWeek: 0, dutyKnownMs: 48 * HOUR_MS };

const scan = (before: Partial<HeatVolatile>, facts: Partial<HeatFacts> = {}, durable: Partial<HeatDurable> = {}) =>
  stepHeat(
    { durable: { ...FRESH_HEAT_DURABLE, ...durable }, volatile: { ...CAREFUL, ...before } },
    { ...SINGLE, surelyWarmest: facts.warmest ?? SINGLE.warmest, ...facts },
    PLAN,
  );
const counted = (...given: Parameters<typeof scan>) => scan(...given).memory.volatile.cautiousMs;

describe("2 s above the cut-out, then that reading falls silent", () => {
  test("cautious heating is due: stays off as hot-not-disproved; already on: goes on", () => {
    expect(scan({ cautiousMs: 400_000, hotMs: 2_000 })).toMatchObject({ on: false, why: "hot-not-disproved" });
    expect(scan({ cautiousMs: 400_000, hotMs: 2_000, on: true })).toMatchObject({ on: true });
    expect(scan({ cautiousMs: 400_000, hotMs: 0 })).toMatchObject({ on: true });
  });
  test("the others cool for 599,999 ms: stays off; for 600,000: on", () => {
    expect(scan({ cautiousMs: 400_000, hotMs: 2_000, coolMs: 599_000 })).toMatchObject({ on: true });
    expect(scan({ cautiousMs: 400_000, hotMs: 2_000, coolMs: 598_999 })).toMatchObject({ on: false });
  });
});

describe("a thermometer falls silent in doubt", () => {
  test("pause over: stays off, pause begins anew", () => {
    expect(scan({ cautiousMs: 400_000 }, { oneFellSilent: true })).toMatchObject({
      on: false,
      why: "cautious-pause",
    });
    expect(counted({ cautiousMs: 400_000 }, { oneFellSilent: true })).toBe(0);
  });
  test("heater on: off in that scan", () => {
    expect(scan({ cautiousMs: 400_000, on: true }, { oneFellSilent: true }).on).toBe(false);
  });
  test("both thermometers good, heater on: goes on", () => {
    expect(
      scan({ cautious: false, trust: "full", doubt: null, source: "mean", on: true }, { ...COOL, oneFellSilent: true })
        .on,
    ).toBe(true);
  });
});

describe("the share of careful heating", () => {
  type Row = [story: string, durable: Partial<HeatDurable>, pauseMs: number];
  const rows: Row[] = [
    ["is half, however much last week took: the reading may be a kelvin low", HALF, 300_000],
    [
      "is half where last week is not known yet, whatever a first hour says",
      { dutyWeek: 0.25, dutyKnownMs: HOUR_MS },
      300_000,
    ],
    ["is last week's where that is less: warm water needs no half", QUARTER, 450_000],
  ];
  test.each(rows)("%s: %j: off for %d ms of the cycle", (_, durable, pauseMs) => {
    expect(scan({ cautiousMs: pauseMs - 1_001 }, {}, durable)).toMatchObject({
      on: false,
      why: "cautious-pause",
      cautious: true,
      guardClosed: true,
    });
    expect(scan({ cautiousMs: pauseMs - 1_000 }, {}, durable)).toMatchObject({ on: true, why: "cautious-heating" });
  });
  test("last week's share 0: never on, no-careful-share", () => {
    expect(scan({ cautiousMs: CYCLE_MS - 1_001 }, {}, NONE)).toMatchObject({ on: false, why: "no-careful-share" });
  });
  test("last week's share 0, heater without effect: never on, heater-no-effect", () => {
    const found = { ...NONE, noEffect: true, occurrences: 1 };
    const verdict = scan({ cautiousMs: CYCLE_MS - 1_000 }, {}, found);
    expect(verdict).toMatchObject({ on: false, why: "heater-no-effect" });
    expect(verdict.memory.volatile.cautiousMs).toBe(-CYCLE_MS);
  });
});

describe("the cycle of careful heating", () => {
  const DUE = { cautiousMs: 300_000 };
  test("doubt begins, 400 s into an old cycle: heater off, cycle from 0, cautious-pause", () => {
    for (const on of [false, true]) {
      const fine = { cautious: false, on, trust: "full", doubt: null, source: "mean" } as const;
      const verdict = scan({ ...fine, cautiousMs: 400_000 });
      expect(verdict).toMatchObject({ on: false, why: "cautious-pause", cautious: true });
      expect(verdict.memory.volatile).toMatchObject({
        cautious: true,
        cautiousMs: 0,
        trust: "doubtful",
        doubt: "single",
        source: "first",
      });
    }
  });
  const anew: [story: string, facts: Partial<HeatFacts>][] = [
    ["with every worse trust", { trust: "undecided" }],
    ["with every other doubt", { control: heatSignal(24, "rate") }],
    ["with every other thermometer that it goes by", { source: "second" }],
  ];
  test.each(anew)("begins anew %s: off, cycle from 0", (_, facts) => {
    const verdict = scan({ ...DUE, on: true }, facts);
    expect(verdict).toMatchObject({ on: false, why: "cautious-pause" });
    const { trust, source, control } = { ...SINGLE, ...facts };
    expect(verdict.memory.volatile).toMatchObject({ cautiousMs: 0, trust, source, doubt: control.doubt });
  });
  test("doubt as before: cycle goes on, heater on", () => {
    expect(counted(DUE)).toBe(301_000);
    expect(scan(DUE).on).toBe(true);
  });
  test("scan of 5 s, credit of 500 ms: pause moves by 500 ms, time on by 5 s", () => {
    const late = { elapsed: elapsed(5_000, 500) };
    expect(counted({ cautiousMs: 100_000 }, late)).toBe(100_500);
    expect(counted({ ...DUE, on: true }, late)).toBe(305_000);
  });
  test("599 s into the cycle, on: on for this scan; at 600 s: off, next pause begins", () => {
    expect(scan({ cautiousMs: CYCLE_MS - 1_001, on: true })).toMatchObject({ on: true, why: "cautious-heating" });
    expect(scan({ cautiousMs: CYCLE_MS - 1_000, on: true })).toMatchObject({ on: false, why: "cautious-pause" });
    expect(counted({ cautiousMs: CYCLE_MS - 1_000, on: true })).toBeCloseTo(0, 9);
  });
  test("scan runs 8 s over the ten minutes: next pause longer by 8 s at half, by 24 s at a quarter, at most by ten minutes", () => {
    const over = { cautiousMs: CYCLE_MS - 1_000, on: true };
    // Half: as long again. A quarter: three times as long.
    expect(counted(over, { elapsed: elapsed(9_000) }, HALF)).toBe(-8_000);
    expect(counted(over, { elapsed: elapsed(9_000) }, QUARTER)).toBe(-24_000);
    expect(counted(over, { elapsed: elapsed(HOUR_MS) }, QUARTER)).toBe(-CYCLE_MS);
  });
  test("doubt gone, water cold: on at once as below-band; the next doubt begins with its pause", () => {
    const verdict = scan({ ...DUE, cautiousMs: 100_000 }, COOL);
    expect(verdict).toMatchObject({ on: true, why: "below-band", cautious: false });
    expect(verdict.memory.volatile).toMatchObject({
      cautious: false,
      cautiousMs: 0,
      trust: "full",
      doubt: null,
      source: "mean",
    });
  });
  test("finding cleared: on at once as below-band; found again: off, its pause first", () => {
    const before = { cautiousMs: 400_000, trust: "full", doubt: null, source: "mean" } as const;
    const cleared = scan(before, COOL, { noEffect: false });
    expect(cleared).toMatchObject({ on: true, why: "below-band", cautious: false });
    expect(cleared.memory.volatile).toMatchObject({ cautious: false, cautiousMs: 0 });
    const found = {
      durable: { ...FRESH_HEAT_DURABLE, noEffect: true, occurrences: 1 },
      volatile: cleared.memory.volatile,
    };
    expect(stepHeat(found, COOL, PLAN)).toMatchObject({ on: false, why: "heater-no-effect" });
  });
  test("off for 59.999 s: minimum-off; for 60 s: on", () => {
    expect(scan({ ...DUE, inStateMs: 58_999 })).toMatchObject({ on: false, why: "minimum-off" });
    expect(scan({ ...DUE, inStateMs: 59_000 })).toMatchObject({ on: true, why: "cautious-heating" });
    expect(scan({ ...DUE, on: true, inStateMs: 0 }).on).toBe(true);
  });
  test("other heater's turn: not begun, pause goes on; begun already: goes on", () => {
    const others = { turn: false } as const;
    expect(scan(DUE, others)).toMatchObject({ on: false, why: "other-heaters-turn", cautious: true });
    expect(scan({ ...DUE, on: true }, others)).toMatchObject({ on: true, why: "cautious-heating" });
    expect(scan({ cautiousMs: 100_000 }, others).why).toBe("cautious-pause");
  });
  test("start with a finding and no temperature: cycle from 0", () => {
    const start = {
      durable: { ...FRESH_HEAT_DURABLE, noEffect: true, occurrences: 1 },
      volatile: FRESH_HEAT_VOLATILE,
    };
    const blind: HeatFacts = { ...COOL, trust: "none", source: "none" };
    expect(stepHeat(start, blind, PLAN).memory.volatile).toMatchObject({ cautious: true, cautiousMs: 0 });
  });
});

describe("cautious heating by two that contradict each other", () => {
  const DUE = { cautiousMs: 300_000, trust: "undecided", doubt: "disagrees", source: "first" } as const;
  /** They contradict each other: the warmer controls and cuts. */
  const contradict = (warmerC: number, coldestC: number | null): Partial<HeatFacts> => ({
    control: heatSignal(warmerC, "disagrees"),
    warmest: heatSignal(warmerC, null),
    coldestC,
    trust: "undecided",
  });
  const rows: [story: string, facts: Partial<HeatFacts>, on: boolean, why: Reason][] = [
    ["goes up to the setpoint", contradict(25, 23), true, "cautious-heating"],
    ["not above it by the warmer, while the colder is no danger", contradict(25.01, 23), false, "above-band"],
    [
      "above it where the colder says danger and the cut-out is a kelvin away",
      contradict(27.5, 22.99),
      true,
      "cautious-heating",
    ],
    ["not nearer than that: the warmer may be the one that is right", contradict(27.51, 22.99), false, "above-band"],
    ["not where nobody says how cold it is", contradict(25.01, null), false, "above-band"],
  ];
  test.each(rows)("%s: on $2, $3", (_, facts, on, why) => {
    expect(scan(DUE, facts)).toMatchObject({ on, why, cautious: true });
  });
  test("25.01 °C left as the believed one, other known wrong and 22.99: off as above-band", () => {
    const facts = { ...contradict(25.01, 22.99), trust: "doubtful" } as const;
    expect(scan({ ...DUE, trust: "doubtful" }, facts)).toMatchObject({ on: false, why: "above-band" });
  });
  test("found without effect, water well known: heater-no-effect is the reason in pause and heat", () => {
    const before = { trust: "full", doubt: null, source: "mean" } as const;
    const found = { noEffect: true, occurrences: 1 };
    expect(scan({ ...before, cautiousMs: 100_000 }, COOL, found)).toMatchObject({
      on: false,
      why: "heater-no-effect",
      cautious: true,
    });
    expect(scan({ ...before, cautiousMs: 300_000 }, COOL, found)).toMatchObject({
      on: true,
      why: "heater-no-effect",
      cautious: true,
    });
  });
});
