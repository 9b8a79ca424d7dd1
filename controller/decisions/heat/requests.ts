import { REASONS } from "../../../shared/contract/reasons.ts";
import type { ClearRequest, ProveRequest } from "../../../shared/contract/requests.ts";
import { CUT_OUT_CLEARS_K, PROVE_HEATER_MOST_S } from "../../../shared/settings/limits.ts";
import type { HeatFacts } from "./facts.ts";
import type { HeatDurable } from "./memory.ts";
import type { HeatPlan } from "./plan.ts";

export interface HeatAnswered {
  readonly durable: HeatDurable;
  readonly accepted: boolean;
  readonly why: string;
}

/** Clears a latch of the heat, or the finding that the heater has no effect. A clear never turns the heater on: the
 *  band does that, later, if everything else allows it. */
export function clearHeat(durable: HeatDurable, request: ClearRequest, facts: HeatFacts, plan: HeatPlan): HeatAnswered {
  const refuse = (why: string): HeatAnswered => ({ durable, accepted: false, why });
  const { latch } = durable;
  if (latch === null && durable.oneContact !== null) {
    if (request.occurrence !== durable.oneContact.occurrence) {
      return refuse(`That was another finding. The one that stands has the number ${durable.oneContact.occurrence}.`);
    }
    if (facts.heaterSeenOn) return refuse(`The cause still stands. ${REASONS["heater-seen-on"]}`);
    if (request.at === "network" && !plan.clearFromADistance) return refuse(AT_TANK);
    return {
      durable: { ...durable, oneContact: null },
      accepted: true,
      why: "Cleared. Both contacts are believed again: prove them.",
    };
  }
  if (latch === null) {
    if (!durable.noEffect) return refuse("Heat is not locked.");
    if (request.occurrence !== durable.occurrences) {
      return refuse(`That was another finding. The one that stands has the number ${durable.occurrences}.`);
    }
    return { durable: { ...durable, noEffect: false }, accepted: true, why: "Cleared. The heater is watched again." };
  }
  if (latch.occurrence !== request.occurrence) {
    return refuse(`That was another lock. The one that stands has the number ${latch.occurrence}.`);
  }
  if (heatCauseStands(facts, plan)) return refuse(`The cause still stands. ${REASONS[latch.reason]}`);
  if (request.at === "network" && !plan.clearFromADistance) {
    return refuse(AT_TANK);
  }
  return {
    durable: { ...durable, latch: null, noEffect: false },
    accepted: true,
    why: "Cleared. Heat returns by itself.",
  };
}

const AT_TANK = "This one is cleared at the tank, by somebody who sees the water.";

/** Starts a proving run, which the scan takes only from whoever is at the tank: short. Everything that forbids heat
 *  forbids it too, and ends it. */
export function proveHeater(durable: HeatDurable, request: ProveRequest): HeatAnswered {
  const refuse = (why: string): HeatAnswered => ({ durable, accepted: false, why });
  if (!(request.seconds >= 1 && request.seconds <= PROVE_HEATER_MOST_S)) {
    return refuse(`A proving run of the heater lasts from 1 to ${PROVE_HEATER_MOST_S} seconds.`);
  }
  if (durable.latch !== null) return refuse(REASONS[durable.latch.reason]);
  if (durable.oneContact !== null)
    return refuse("One of its contacts is welded: replace it and clear the finding first.");
  const provingMs = Math.round(request.seconds * 1000);
  return { durable: { ...durable, provingMs }, accepted: true, why: "The heater is on." };
}

/** Hot water, or no reading that could show that it is not hot. */
export const heatCauseStands = (facts: HeatFacts, plan: HeatPlan): boolean =>
  facts.heaterSeenOn || facts.warmest.value === null || facts.warmest.value > plan.cutOutC - CUT_OUT_CLEARS_K;
