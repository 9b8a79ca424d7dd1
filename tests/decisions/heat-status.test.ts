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

describe("the state, and of several the one that a person must know of first", () => {
  const layers: [state: string, more: Seen][] = [
    ["off", {}],
    ["heating", { verdict: { on: true, why: "below-band" } }],
    ["cautious", { verdict: { cautious: true } }],
    ["waiting", { facts: { steady: false } }],
    ["held", { facts: { holdingWithHeat: true } }],
    ["cut-out", { volatile: { cut: true } }],
    ["locked", { durable: { latch: { reason: "heat-cut-out", occurrence: 1 } } }],
  ];
  test("goes from off to locked", () => {
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
  test("waits for the return pump as well as for the start", () => {
    expect(status({ verdict: { why: "heat-starting" } }).state).toBe("waiting");
  });
  test("is not careful where no thermometer is trusted: there is nothing to heat by", () => {
    const careful = { verdict: { cautious: true, why: "no-temperature" } } as const;
    expect(status({ ...careful, facts: { trust: "none" } }).state).toBe("off");
    expect(status({ ...careful, facts: { trust: "doubtful" } }).state).toBe("cautious");
  });
});

describe("a lock", () => {
  const LOCKED: Seen = {
    verdict: { guardClosed: false, why: "heat-cut-out" },
    durable: { latch: { reason: "heat-cut-out", occurrence: 3 }, noEffect: true, occurrences: 3 },
  };
  test("is shown with its number, may be cleared when it is cool, and at the tank", () => {
    expect(status(LOCKED)).toMatchObject({
      why: "heat-cut-out",
      latch: { reason: "heat-cut-out", occurrence: 3, clearable: true, atTank: true },
      guard: "latched-open",
    });
  });
  test("cannot be cleared while the cause stands", () => {
    expect(status({ ...LOCKED, facts: HOT }).latch).toMatchObject({ clearable: false });
  });
  test("is cleared from a distance where the settings say so", () => {
    expect(status(LOCKED, { ...PLAN, clearFromADistance: true }).latch).toMatchObject({ atTank: false });
  });
  test("takes the finding with it, and without either nothing is shown", () => {
    expect(status(LOCKED).finding).toBeNull();
    expect(status({})).toMatchObject({ latch: null, finding: null });
  });
});

test("a heater without effect is a finding with its number, which a person may clear from anywhere", () => {
  expect(status({ durable: { noEffect: true, occurrences: 2 } })).toMatchObject({
    latch: null,
    finding: { reason: "heater-no-effect", occurrence: 2, clearable: true, atTank: false },
  });
});

test("the guard is closed, or open for a while, or open until a person clears it", () => {
  const latch = { reason: "heater-welded", occurrence: 1 } as const;
  expect(status({}).guard).toBe("closed");
  expect(status({ verdict: { guardClosed: false } }).guard).toBe("open");
  expect(status({ verdict: { guardClosed: false }, durable: { latch } }).guard).toBe("latched-open");
});

test("power behind opened contacts is shown, whatever lock came first", () => {
  const cut: Seen = { durable: { latch: { reason: "heat-cut-out", occurrence: 1 } } };
  expect(status(cut).seenOn).toBe(false);
  const powered = status({ ...cut, facts: { heaterSeenOn: true } });
  expect(powered).toMatchObject({ seenOn: true, latch: { reason: "heat-cut-out", clearable: false } });
});

test("whether it is known how fast the water warms", () => {
  expect(status({ facts: { rateKPerH: null } }).rateKnown).toBe(false);
  expect(status({ facts: { rateKPerH: 0 } }).rateKnown).toBe(true);
});

test("the share of the day is shown in percent once a day is known", () => {
  const quarter = { dutyDay: 0.25, dutyWeek: 0.5 };
  expect(status({ durable: { ...quarter, dutyKnownMs: DAY_MS - 1 } }).dutyPercent).toBeNull();
  expect(status({ durable: { ...quarter, dutyKnownMs: DAY_MS } }).dutyPercent).toBe(25);
});

test("the setpoint, and for how long it has been off: not at all while it is on", () => {
  const since = { volatile: { sinceHeatMs: 7_000 } };
  expect(status(since)).toMatchObject({ setpointC: 25, offForMs: 7_000 });
  expect(status({ ...since, verdict: { on: true } }).offForMs).toBe(0);
});
