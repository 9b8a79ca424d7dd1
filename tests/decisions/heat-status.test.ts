import { describe, expect, test } from "vitest";
import type { HeatFacts } from "../../controller/decisions/heat/facts.ts";
import type { HeatVerdict } from "../../controller/decisions/heat/machine.ts";
import {
  FRESH_HEAT_DURABLE,
  FRESH_HEAT_VOLATILE,
  type HeatDurable,
  type HeatVolatile,
} from "../../controller/decisions/heat/memory.ts";
import type { HeatPlan } from "../../controller/decisions/heat/plan.ts";
import { planHeat } from "../../controller/decisions/heat/plan.ts";
import { heatStatus } from "../../controller/decisions/heat/status.ts";
import { rehearsalSettings } from "../../shared/settings/index.ts";
import { COOL, heatSignal } from "./heat-scene.ts";

/** What a person reads of the heat. */
const PLAN = planHeat(rehearsalSettings(), "heater-1") as HeatPlan;
const DAY_MS = 86_400_000;

const HOT: Partial<HeatFacts> = { warmest: heatSignal(29) };

interface Seen {
  readonly verdict?: Partial<HeatVerdict>;
  readonly durable?: Partial<HeatDurable>;
  readonly volatile?: Partial<HeatVolatile>;
  readonly facts?: Partial<HeatFacts>;
}
const status = ({ verdict, durable, volatile, facts }: Seen, plan = PLAN) =>
  heatStatus(
    "heater-1",
    {
      memory: {
        durable: { ...FRESH_HEAT_DURABLE, ...durable },
        volatile: { ...FRESH_HEAT_VOLATILE, ...volatile },
      },
      on: false,
      guardClosed: true,
      cautious: false,
      why: "temperature-in-band",
      urgent: false,
      proved: false,
      ...verdict,
    },
    { ...COOL, ...facts },
    plan,
  );

describe("the state that is shown", () => {
  const layers: [state: string, more: Seen][] = [
    ["off", {}],
    ["heating", { verdict: { on: true, why: "below-band" } }],
    ["cautious", { verdict: { cautious: true } }],
    ["waiting", { facts: { steady: false } }],
    ["held", { facts: { holdingWithHeat: true } }],
    ["cut-out", { volatile: { cut: true } }],
    ["locked", { durable: { latch: { reason: "heat-cut-out", occurrence: 1 } } }],
  ];
  test("causes added one by one: the most urgent is shown, from off by heating, cautious, waiting, held and cut-out to locked", () => {
    let all: Required<Seen> = { verdict: {}, durable: {}, volatile: {}, facts: {} };
    for (const [state, more] of layers) {
      all = {
        verdict: { ...all.verdict, ...more.verdict },
        durable: { ...all.durable, ...more.durable },
        volatile: { ...all.volatile, ...more.volatile },
        facts: { ...all.facts, ...more.facts },
      };
      expect(status(all).state).toBe(state);
    }
  });
  test("heat-starting as the reason: waiting", () => {
    expect(status({ verdict: { why: "heat-starting" } }).state).toBe("waiting");
  });
  test("cautious without a trusted thermometer: off; with a doubtful one: cautious", () => {
    const careful = { verdict: { cautious: true, why: "no-temperature" } } as const;
    expect(status({ ...careful, facts: { trust: "none" } }).state).toBe("off");
    expect(status({ ...careful, facts: { trust: "doubtful" } }).state).toBe("cautious");
  });
});

describe("a lock that is shown", () => {
  const LOCKED: Seen = {
    verdict: { guardClosed: false, why: "heat-cut-out" },
    durable: { latch: { reason: "heat-cut-out", occurrence: 3 }, noEffect: true, occurrences: 3 },
  };
  test("cut-out locked as number 3, cool now: its reason and number, clearable, at the tank; guard latched-open", () => {
    expect(status(LOCKED)).toMatchObject({
      why: "heat-cut-out",
      latch: { reason: "heat-cut-out", occurrence: 3, clearable: true, atTank: true },
      guard: "latched-open",
    });
  });
  test("still hot: not clearable", () => {
    expect(status({ ...LOCKED, facts: HOT }).latch).toMatchObject({ clearable: false });
  });
  test("settings allow clearing from a distance: not bound to the tank", () => {
    expect(status(LOCKED, { ...PLAN, clearFromADistance: true }).latch).toMatchObject({ atTank: false });
  });
  test("found without effect too: no finding beside the lock; neither: both null", () => {
    expect(status(LOCKED).finding).toBeNull();
    expect(status({})).toMatchObject({ latch: null, finding: null });
  });
});

test("found without effect, no lock: finding with its number, clearable from anywhere", () => {
  expect(status({ durable: { noEffect: true, occurrences: 2 } })).toMatchObject({
    latch: null,
    finding: { reason: "heater-no-effect", occurrence: 2, clearable: true, atTank: false },
  });
});

test("guard closed: closed; open without a lock: open; with one: latched-open", () => {
  const latch = { reason: "heater-welded", occurrence: 1 } as const;
  expect(status({}).guard).toBe("closed");
  expect(status({ verdict: { guardClosed: false } }).guard).toBe("open");
  expect(status({ verdict: { guardClosed: false }, durable: { latch } }).guard).toBe("latched-open");
});

test("locked by the cut-out, then power seen: seenOn, lock not clearable", () => {
  const cut: Seen = { durable: { latch: { reason: "heat-cut-out", occurrence: 1 } } };
  expect(status(cut).seenOn).toBe(false);
  const powered = status({ ...cut, facts: { heaterSeenOn: true } });
  expect(powered).toMatchObject({ seenOn: true, latch: { reason: "heat-cut-out", clearable: false } });
});

test("what else warms the water is said after a weld was disproved, for as long as the heater stays off", () => {
  const disproved = { volatile: { disprovedMs: 1_000 } };
  const cold = { roomC: 16, watched: { valueC: 26, anew: false } };
  expect(status({ facts: { ...cold, rateKPerH: 0.4 } }).warming).toBe("no");
  expect(status({ ...disproved, facts: { ...cold, rateKPerH: 0.4 } }).warming).toBe("unexplained");
  // Water that a cold room does not cool is kept warm by something.
  expect(status({ ...disproved, facts: { ...cold, rateKPerH: 0 } }).warming).toBe("unexplained");
  expect(status({ ...disproved, facts: { ...cold, rateKPerH: -0.5 } }).warming).toBe("room");
  expect(status({ ...disproved, facts: { ...cold, roomC: 33, rateKPerH: 0.8 } }).warming).toBe("room");
  // Where nobody measures the room it may be as hot as 40 °C.
  expect(status({ ...disproved, facts: { ...cold, roomC: null, rateKPerH: 1.2 } }).warming).toBe("room");
  expect(status({ ...disproved, facts: { ...cold, rateKPerH: null } }).warming).toBe("room");
  expect(status({ volatile: { disprovedMs: 1_000, on: true }, facts: { ...cold, rateKPerH: 0.4 } }).warming).toBe("no");
});

test("heat by one contact is a finding with its number, cleared at the tank", () => {
  const oneContact = { reason: "heater-welded", occurrence: 3, offRateMilliKPerH: null } as const;
  expect(status({ durable: { oneContact, noEffect: true, occurrences: 4 } }).finding).toEqual({
    reason: "one-contact-heating",
    occurrence: 3,
    clearable: true,
    atTank: true,
  });
});

test("share of the day: null before a day is known, 25 % then", () => {
  const quarter = { dutyDay: 0.25, dutyWeek: 0.5 };
  expect(status({ durable: { ...quarter, dutyKnownMs: DAY_MS - 1 } }).dutyPercent).toBeNull();
  expect(status({ durable: { ...quarter, dutyKnownMs: DAY_MS } }).dutyPercent).toBe(25);
});

test("setpoint 25 °C; off for 7 s: 7,000 ms; on: 0", () => {
  const since = { volatile: { sinceHeatMs: 7_000 } };
  expect(status(since)).toMatchObject({ setpointC: 25, offForMs: 7_000 });
  expect(status({ ...since, verdict: { on: true } }).offForMs).toBe(0);
});
