import type { HeatFacts } from "../../controller/decisions/heat/facts.ts";
import type { Doubt, Signal } from "../../shared/contract/index.ts";
import { AMOUNT_MOST_MS } from "../../shared/settings/limits.ts";
import { elapsed } from "../elapsed.ts";

/** What the tables and the exploration of the heat begin with. */

/** A thermometer's signal; without a value it is bad, with a doubt uncertain. */
export const heatSignal = (
  value: number | null,
  doubt: Doubt | null = value === null ? "no-answer" : null,
): Signal => ({
  value,
  quality: value === null ? "bad" : doubt === null ? "good" : "uncertain",
  doubt,
  ageMs: 0,
  uncertainty: value === null ? null : 0.2,
  lastValue: value,
  lastValueAgeMs: 0,
});

/** Nothing but the water itself has a say in whether to heat. */
export const NOTHING_IN_THE_WAY = {
  oneFellSilent: false,
  coldestAnsweringC: null,
  answered: "unknown",
  roomC: null,
  board: "ready",
  steady: true,
  flow: true,
  flowNow: true,
  flowSuspect: false,
  powered: true,
  proven: true,
  thermostatProven: false,
  cover: "shown",
  holding: false,
  holdingWithHeat: false,
  seenOn: null,
  heaterSeenOn: false,
  turn: true,
  apart: true,
  otherOffMs: AMOUNT_MOST_MS,
} as const satisfies Partial<HeatFacts>;

/** Good water a degree below its target, and everything known: a heater may heat. */
export const COOL: HeatFacts = {
  elapsed: elapsed(1_000),
  control: heatSignal(24),
  warmest: heatSignal(24),
  surelyWarmest: heatSignal(24),
  coldestC: 24,
  trust: "full",
  source: "mean",
  watched: { valueC: 24, anew: false },
  rateKPerH: 0,
  ...NOTHING_IN_THE_WAY,
};
