import type { Reason } from "../../../shared/contract/reasons.ts";
import type { Latch, TopOffStatus } from "../../../shared/contract/record.ts";
import type { TopOffFacts } from "./blockers.ts";
import { causeStands, isClearedAtTank, latchReason, OPENS_THE_GUARD } from "./latches.ts";
import { evaporationRate } from "./litres.ts";
import type { TopOffVerdict } from "./machine.ts";
import type { TopOffMemory } from "./memory.ts";
import type { TopOffPlan } from "./plan.ts";

const MS_PER_DAY = 86_400_000;

/** What top-off shows of itself. */
export function topOffStatus(verdict: TopOffVerdict, facts: TopOffFacts, plan: TopOffPlan): TopOffStatus {
  const { memory, why, blockers } = verdict;
  const latch = latchShown(memory, facts, plan);
  return {
    state: shownState(verdict, facts, plan),
    why,
    blockers,
    latch,
    waterGuardLatch: guardLatchShown(latch, memory, facts, plan),
    bucketL: memory.bucketUl / 1e6,
    bucketSizeL: plan.bucketSizeUl / 1e6,
    excessL: memory.excessUl / 1e6,
    excessLimitL: plan.excessLimitUl / 1e6,
    pouredSinceFullL: memory.sinceFullUl / 1e6,
    dueL: memory.dueUl / 1e6,
    pouredTotalL: memory.pouredTotalUl / 1e6,
    reservoirL: memory.reservoirUl === null ? null : memory.reservoirUl / 1e6,
    daysInReservoir:
      memory.reservoirUl === null ? null : memory.reservoirUl / (evaporationRate(facts, plan) * MS_PER_DAY),
    failures: memory.failures,
    surgeMissing: memory.surgeMissing,
  };
}

function shownState({ memory }: TopOffVerdict, facts: TopOffFacts, plan: TopOffPlan): TopOffStatus["state"] {
  if (memory.latch !== null) return "locked";
  // A proving run goes on in a hold: hands are what it is made with.
  if (memory.state === "proving") return "proving";
  if (facts.holding || facts.question) return "held";
  if (memory.state !== "resting") return memory.state;
  const confirming = facts.working.position === "off" && memory.confirmMs < plan.confirmMs;
  return confirming ? "confirming" : "resting";
}

function latchShown(memory: TopOffMemory, facts: TopOffFacts, plan: TopOffPlan): Latch | null {
  if (memory.latch === null) return null;
  return {
    ...memory.latch,
    clearable: !causeStands(memory, facts, plan),
    atTank: isClearedAtTank(memory, plan) && !plan.clearFromADistance,
  };
}

/** The same lock, by what opens the guard: that may have come behind an earlier lock that opens none. */
function guardLatchShown(
  latch: Latch | null,
  memory: TopOffMemory,
  facts: TopOffFacts,
  plan: TopOffPlan,
): Latch | null {
  if (latch === null || !memory.guardLatched) return null;
  const reason = guardReason(latch.reason, memory, facts, plan);
  return reason === latch.reason ? latch : { ...latch, reason };
}

/** Water that runs unordered goes before what it leads to: it is what a person must stop. */
function guardReason(first: Reason, memory: TopOffMemory, facts: TopOffFacts, plan: TopOffPlan): Reason {
  if (facts.pumpSeenOn) return "pump-seen-on";
  if (memory.unordered >= 2) return "unordered-water";
  if (memory.emptiedEarly) return "emptied-early";
  if (OPENS_THE_GUARD.includes(first)) return first;
  const standing = latchReason(memory, facts, plan);
  // Something opened it behind a lock that does not. All that is forgotten is a pump that had power, or water that touched
  // the high float again and again: either way it came unordered.
  return standing !== null && OPENS_THE_GUARD.includes(standing) ? standing : "unordered-water";
}
