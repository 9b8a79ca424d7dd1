import { describe, expect, test } from "vitest";
import type { HeatFacts } from "../../controller/decisions/heat/facts.ts";
import { FRESH_HEAT_DURABLE, type HeatDurable } from "../../controller/decisions/heat/memory.ts";
import type { HeatPlan } from "../../controller/decisions/heat/plan.ts";
import { planHeat } from "../../controller/decisions/heat/plan.ts";
import { clearHeat, heatCauseStands, proveHeater } from "../../controller/decisions/heat/requests.ts";
import { REASONS } from "../../shared/contract/reasons.ts";
import { rehearsalSettings } from "../../shared/settings/index.ts";

/** What a person asks of the heat, and what is answered. */
const PLAN = planHeat(rehearsalSettings(), "heater-1") as HeatPlan;
const seen = (warmestC: number | null, heaterSeenOn = false) =>
  ({ warmest: { value: warmestC }, heaterSeenOn }) as HeatFacts;
const LOCKED: HeatDurable = {
  ...FRESH_HEAT_DURABLE,
  latch: { reason: "heat-cut-out", occurrence: 2 },
  noEffect: true,
};
const clear = (durable: HeatDurable, facts = seen(25), at: "tank" | "network" = "tank", occurrence = 2, plan = PLAN) =>
  clearHeat(durable, { kind: "clear", id: "x", machine: "heat", at, occurrence }, facts, plan);

describe("a clear of the heat", () => {
  test("lock 2, clear of 2: lock and finding gone; clear of 1: refused, names 2", () => {
    expect(clear(LOCKED)).toEqual({
      durable: { ...LOCKED, latch: null, noEffect: false },
      accepted: true,
      why: "Cleared. Heat returns by itself.",
    });
    expect(clear(LOCKED, seen(25), "tank", 1)).toEqual({
      durable: LOCKED,
      accepted: false,
      why: "That was another lock. The one that stands has the number 2.",
    });
  });
  test("warmest 0.99 K below the cut-out, unknown, or heater seen on: refused; 1 K below: not refused", () => {
    const refused = { durable: LOCKED, accepted: false, why: `The cause still stands. ${REASONS["heat-cut-out"]}` };
    expect(clear(LOCKED, seen(PLAN.cutOutC - 0.99))).toEqual(refused);
    expect(clear(LOCKED, seen(null))).toEqual(refused);
    expect(clear(LOCKED, seen(25, true))).toEqual(refused);
    expect(heatCauseStands(seen(PLAN.cutOutC - 1), PLAN)).toBe(false);
  });
  test("over the network: refused, unless the settings allow it", () => {
    expect(clear(LOCKED, seen(25), "network").why).toBe(
      "This one is cleared at the tank, by somebody who sees the water.",
    );
    expect(clear(LOCKED, seen(25), "network", 2, { ...PLAN, clearFromADistance: true }).accepted).toBe(true);
  });
  test("no lock: the finding of that number gone; another number or nothing found: refused", () => {
    const found = { ...FRESH_HEAT_DURABLE, noEffect: true, occurrences: 2 };
    expect(clear(found, seen(25), "tank", 1)).toEqual({
      durable: found,
      accepted: false,
      why: "That was another finding. The one that stands has the number 2.",
    });
    expect(clear(found)).toEqual({
      durable: { ...found, noEffect: false },
      accepted: true,
      why: "Cleared. The heater is watched again.",
    });
    expect(clear(FRESH_HEAT_DURABLE)).toEqual({
      durable: FRESH_HEAT_DURABLE,
      accepted: false,
      why: "Heat is not locked.",
    });
  });
});

describe("a proving run of the heater", () => {
  const prove = (seconds: number, durable = FRESH_HEAT_DURABLE) =>
    proveHeater(durable, { kind: "prove", id: "x", part: "heater-1", at: "tank", seconds });
  test.each([
    [0.99, false],
    [1, true],
    [60, true],
    [60.01, false],
    [Number.NaN, false],
  ])("run of %d s: accepted %s", (seconds, accepted) => {
    expect(prove(seconds).accepted).toBe(accepted);
    if (accepted) expect(prove(seconds).durable.provingMs).toBe(seconds * 1_000);
    else expect(prove(seconds).why).toBe("A proving run of the heater lasts from 1 to 60 seconds.");
  });
  test("no lock: on for its seconds; locked: refused for that lock", () => {
    expect(prove(30).why).toBe("The heater is on.");
    expect(prove(30, LOCKED)).toEqual({ durable: LOCKED, accepted: false, why: REASONS["heat-cut-out"] });
  });
});
