import { REASONS } from "../../../shared/contract/reasons.ts";
import type { ClearRequest, HandTestRequest, ProveRequest, RefillRequest } from "../../../shared/contract/requests.ts";
import { PROVE_PUMP_MOST_S } from "../../../shared/settings/limits.ts";
import { blockersOf, litresBlock, provingBlockers, type TopOffFacts } from "./blockers.ts";
import { cleared, isClearedAtTank, standingCause } from "./latches.ts";
import { costOf } from "./litres.ts";
import type { TopOffMemory } from "./memory.ts";
import type { TopOffPlan } from "./plan.ts";

export interface Answered {
  readonly memory: TopOffMemory;
  readonly accepted: boolean;
  readonly why: string;
}

/** Clears a latch: only the one that is named, only when its cause is gone, only from where it may be cleared. */
export function clearTopOff(
  memory: TopOffMemory,
  request: ClearRequest,
  facts: TopOffFacts,
  plan: TopOffPlan,
): Answered {
  const refuse = (why: string): Answered => ({ memory, accepted: false, why });
  if (memory.latch === null) return refuse("Top-off is not locked.");
  if (memory.latch.occurrence !== request.occurrence) {
    return refuse(`That was another lock. The one that stands has the number ${memory.latch.occurrence}.`);
  }
  const cause = standingCause(memory, facts, plan);
  if (cause === memory.latch.reason) return refuse(`The cause still stands. ${REASONS[cause]}`);
  if (cause !== null) return refuse(`Something else stands in the way of a clear. ${REASONS[cause]}`);
  if (request.at === "network" && isClearedAtTank(memory, plan) && !plan.clearFromADistance) {
    return refuse("This one is cleared at the tank, by somebody who sees the water.");
  }
  const after = cleared(memory, plan);
  const why =
    litresBlock(after, plan) === "excess-litres"
      ? "Cleared. Now measure the salinity by hand and enter it: until then no litre is free to be poured."
      : "Cleared. Top-off rests, then looks at the level again.";
  return { memory: after, accepted: true, why };
}

/** Salinity by hand is the only evidence that gives excess back, and no more of it than it shows. */
export function handTest(memory: TopOffMemory, request: HandTestRequest, plan: TopOffPlan): Answered {
  if (!(request.salinity >= 5 && request.salinity <= 42)) {
    return { memory, accepted: false, why: "A salinity from 5 to 42 is expected." };
  }
  if (memory.sinceHandTestMs < plan.handTestEveryMs) {
    return {
      memory,
      accepted: false,
      why: "The last hand test is less than an hour old; the water has hardly changed.",
    };
  }
  const missing = Math.max(0, plan.targetSalinity - request.salinity);
  const shownUl = (plan.netVolumeUl * missing) / request.salinity;
  const excessUl = Math.round(shownUl) + memory.chargeUl;
  const diluted = shownUl > plan.excessLimitUl / 2;
  const next = { ...memory, excessUl, sinceHandTestMs: 0, dilutedByTest: diluted, diluted: false };
  return { memory: next, accepted: true, why: handTestWords(request.salinity, diluted) };
}

const handTestWords = (salinity: number, diluted: boolean): string =>
  diluted
    ? `Noted: ${salinity.toFixed(1)}. The tank is diluted, so top-off waits. Let it evaporate or add salt water, then test again.`
    : `Noted: ${salinity.toFixed(1)}. The count of unexplained litres begins anew from this.`;

/** Starts a proving run, which the scan takes only from whoever is at the tank: short, charged like a pour. A pump that
 *  was never proven may be run without credit in the bucket, because without a proof it would never earn any; the debt
 *  stays. */
export function provePump(memory: TopOffMemory, request: ProveRequest, facts: TopOffFacts, plan: TopOffPlan): Answered {
  const refuse = (why: string): Answered => ({ memory, accepted: false, why });
  if (!(request.seconds >= 1 && request.seconds <= PROVE_PUMP_MOST_S)) {
    return refuse(`A proving run of the pump lasts from 1 to ${PROVE_PUMP_MOST_S} seconds.`);
  }
  if (memory.state !== "resting") return refuse("Top-off is busy; wait until it rests.");
  const standing = provingBlockers(blockersOf(memory, facts))[0];
  if (standing !== undefined) return refuse(REASONS[standing]);
  const provingMs = Math.round(request.seconds * 1000);
  const chargeUl = Math.ceil(costOf({ ...memory, pourUl: provingMs * plan.chargedFlowUlPerMs }, plan));
  if (facts.proven && memory.bucketUl < chargeUl) return refuse(REASONS["daily-budget-used"]);
  // Only a hand test gives excess back: a run that may pass the limit waits for one.
  if (memory.excessUl + chargeUl > plan.excessLimitUl) return refuse(REASONS["excess-litres"]);
  if (memory.bucketUl < chargeUl - plan.bucketSizeUl) return refuse(REASONS["daily-budget-used"]);
  const next: TopOffMemory = {
    ...memory,
    state: "proving",
    provingMs,
    pourMs: 0,
    pourUl: 0,
    chargeUl,
    chargeSequence: facts.nextSequence,
    chargeWaitMs: 0,
    bucketUl: memory.bucketUl - chargeUl,
    excessUl: memory.excessUl + chargeUl,
  };
  return { memory: next, accepted: true, why: "The pump runs." };
}

/** Ends a proving run: the pump is off in this very scan. A millisecond is left, so that its charge settles as one. */
export const endPumpRun = (memory: TopOffMemory): TopOffMemory =>
  memory.state === "proving" ? { ...memory, provingMs: 1 } : memory;

export function refill(memory: TopOffMemory, request: RefillRequest, plan: TopOffPlan): Answered {
  if (!(request.litres > 0 && request.litres <= 100))
    return { memory, accepted: false, why: "Litres from 0 to 100 are expected." };
  const before = memory.reservoirUl ?? 0;
  const askedUl = before + Math.round(request.litres * 1_000_000);
  const reservoirUl = Math.min(plan.reservoirUl, askedUl);
  // Seen empty and not judged yet: what cannot have been missing by the count was not carried to the tap.
  const seenEmpty = memory.emptyMs > 0 && memory.emptyMs < plan.emptyJudgedMs;
  const emptiedEarly =
    memory.emptiedEarly || (seenEmpty && Math.min(before, askedUl - plan.reservoirUl) > plan.earlyUl);
  return {
    memory: { ...memory, reservoirUl, emptyMs: plan.emptyJudgedMs, emptiedEarly },
    accepted: true,
    why: `Noted: the reservoir holds ${(reservoirUl / 1e6).toFixed(1)} L.`,
  };
}
