import { REASONS } from "../../../shared/contract/reasons.ts";
import type { ClearRequest, HandTestRequest, RefillRequest } from "../../../shared/contract/requests.ts";
import type { TopOffPlan } from "../plan.ts";
import { litresBlock, type TopOffFacts } from "./blockers.ts";
import { causeStands, cleared, isClearedAtTank } from "./latches.ts";
import type { TopOffMemory } from "./memory.ts";

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
  if (causeStands(memory, facts, plan)) return refuse(`The cause still stands. ${REASONS[memory.latch.reason]}`);
  if (request.at === "network" && isClearedAtTank(memory.latch.reason) && !plan.clearFromADistance) {
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
  const next = { ...memory, excessUl, sinceHandTestMs: 0, dilutedByTest: diluted };
  return { memory: next, accepted: true, why: handTestWords(request.salinity, diluted) };
}

const handTestWords = (salinity: number, diluted: boolean): string =>
  diluted
    ? `Noted: ${salinity.toFixed(1)}. The tank is diluted, so top-off waits. Let it evaporate or add salt water, then test again.`
    : `Noted: ${salinity.toFixed(1)}. The count of unexplained litres begins anew from this.`;

export function refill(memory: TopOffMemory, request: RefillRequest, plan: TopOffPlan): Answered {
  if (!(request.litres > 0 && request.litres <= 100))
    return { memory, accepted: false, why: "Litres from 0 to 100 are expected." };
  const before = memory.reservoirUl ?? 0;
  const reservoirUl = Math.min(plan.reservoirUl, before + Math.round(request.litres * 1_000_000));
  return {
    memory: { ...memory, reservoirUl },
    accepted: true,
    why: `Noted: the reservoir holds ${(reservoirUl / 1e6).toFixed(1)} L.`,
  };
}
