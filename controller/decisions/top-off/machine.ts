import type { Reason } from "../../../shared/contract/reasons.ts";
import { isOnOrAbsent } from "../../signals/contact.ts";
import { blockersOf, litresBlock, provingBlockers, type TopOffFacts } from "./blockers.ts";
import { latched, latchReason, watchWater } from "./latches.ts";
import { accrue, charged, costOf, isHealthy, isUnanswered, poured, refunded, sliceIsFull } from "./litres.ts";
import type { TopOffMemory } from "./memory.ts";
import type { TopOffPlan } from "./plan.ts";

export interface TopOffVerdict {
  readonly memory: TopOffMemory;
  /** The pump may run in this scan, relay and water guard together. */
  readonly pour: boolean;
  readonly why: Reason;
  readonly blockers: readonly Reason[];
  /** What changed must be on disk before it matters. */
  readonly urgent: boolean;
  /** A proving run ended in this scan without a trip. */
  readonly proved: boolean;
}

/**
 * One scan of top-off: resting → confirming → pouring → settling → resting; aside, a proving run.
 * Order: time and water first, then latches, then what blocks, then the state. A trip stops the pump in this scan.
 */
export function stepTopOff(
  before: TopOffMemory,
  facts: TopOffFacts,
  plan: TopOffPlan,
  creditMostMs: number,
): TopOffVerdict {
  const moved = before.running ? poured(before, facts.elapsed.ms, plan) : before;
  const seen = timePassed(moved, facts, plan);
  const reason = latchReason(seen, facts, plan);
  const memory = reason === null ? seen : latched(seen, reason);
  const verdict = walk(memory, facts, plan, creditMostMs);
  const urgent =
    verdict.urgent || verdict.memory.latch !== before.latch || verdict.memory.guardLatched !== before.guardLatched;
  const running = verdict.pour;
  const after = running === verdict.memory.running ? verdict.memory : { ...verdict.memory, running };
  const { pour, why, blockers, proved } = verdict;
  return { memory: after, pour, why, blockers, urgent, proved };
}

/**
 * What time and water do to the memory. Full for its time, nothing is owed any more, and a pour that led here has
 * succeeded. Written out field by field: spreading objects over one another in every scan costs a sixth of it.
 */
function timePassed(moved: TopOffMemory, facts: TopOffFacts, plan: TopOffPlan): TopOffMemory {
  const amounts = accrue(moved, facts, plan);
  const water = watchWater(moved, facts, plan);
  // The surge of a return pump that stands, or has just changed, is no answer: what was owed before it is owed still.
  const full = water.fullMs >= plan.confirmMs && facts.levelSettled && isOnOrAbsent(facts.returnPump);
  const succeeded = full && moved.sinceFullUl > 0;
  return {
    state: moved.state,
    running: moved.running,
    provingMs: moved.provingMs,
    confirmMs: confirmAfter(moved, facts, plan),
    restMs: moved.restMs,
    pourMs: moved.pourMs,
    pourUl: moved.pourUl,
    chargeUl: moved.chargeUl,
    chargeSequence: moved.chargeSequence,
    chargeWaitMs: moved.chargeWaitMs,
    bucketUl: amounts.bucketUl,
    excessUl: amounts.excessUl,
    sinceFullUl: full ? 0 : moved.sinceFullUl,
    dueUl: full ? 0 : amounts.dueUl,
    pouredTotalUl: moved.pouredTotalUl,
    reservoirUl: water.reservoirUl,
    failures: succeeded ? Math.max(0, moved.failures - 1) : moved.failures,
    wasLow: water.wasLow,
    fullMs: water.fullMs,
    unordered: water.unordered,
    surgeLeftMs: water.surgeLeftMs,
    freeProofMs: water.freeProofMs,
    surgeSeen: water.surgeSeen,
    surgeMissing: water.surgeMissing,
    returnWasOn: water.returnWasOn,
    stuckLow: water.stuckLow,
    emptyMs: water.emptyMs,
    emptiedEarly: water.emptiedEarly,
    highWetMs: water.highWetMs,
    highWasDry: water.highWasDry,
    touchesMs: water.touchesMs,
    floorWetMs: water.floorWetMs,
    contradictionMs: water.contradictionMs,
    sinceHandTestMs: amounts.sinceHandTestMs,
    dilutedByTest: moved.dilutedByTest,
    diluted: facts.salinity === "diluted" || (moved.diluted && !facts.salinityRecovered),
    latch: moved.latch,
    guardLatched: moved.guardLatched,
    occurrences: moved.occurrences,
  };
}

/** Ripple delays a pour but never prevents it: low adds, anything else takes twice as fast. */
function confirmAfter(memory: TopOffMemory, facts: TopOffFacts, plan: TopOffPlan): number {
  if (facts.working.position !== "off") return Math.max(0, memory.confirmMs - 2 * facts.elapsed.ms);
  return isHealthy(facts) ? Math.min(plan.confirmMs, memory.confirmMs + facts.elapsed.creditMs) : memory.confirmMs;
}

type Walked = Omit<TopOffVerdict, "urgent"> & { readonly urgent: boolean };

function walk(memory: TopOffMemory, facts: TopOffFacts, plan: TopOffPlan, creditMostMs: number): Walked {
  const blockers = blockersOf(memory, facts);
  switch (memory.state) {
    case "pouring":
      return pouring(memory, facts, plan, creditMostMs, blockers);
    case "settling":
      return settling(memory, facts, plan, blockers);
    case "confirming":
      return waitingForDisk(memory, facts, plan, blockers);
    case "resting":
      return resting(memory, facts, plan, blockers);
    case "proving":
      return proving(memory, facts, plan, creditMostMs, provingBlockers(blockers));
  }
}

/** Waits that nothing is wrong in: a rest is served meanwhile. */
const WAITS: readonly Reason[] = ["starting", "top-off-starting", "pump-being-proven", "return-pump-settling"];
const isOnlyWaiting = (blockers: readonly Reason[]): boolean => blockers.every((reason) => WAITS.includes(reason));

function resting(memory: TopOffMemory, facts: TopOffFacts, plan: TopOffPlan, blockers: readonly Reason[]): Walked {
  const restMs = isHealthy(facts) ? Math.max(0, memory.restMs - facts.elapsed.creditMs) : memory.restMs;
  if (blockers.length > 0 && !isOnlyWaiting(blockers)) {
    // What clears by itself does so with the rest served: that counts from when it has cleared.
    const blocked = memory.restMs === plan.restMs ? memory : { ...memory, restMs: Math.max(restMs, plan.restMs) };
    return off(blocked, blockers[0]!, blockers);
  }
  const rested = restMs === memory.restMs ? memory : { ...memory, restMs };
  if (blockers.length > 0) return off(rested, blockers[0]!, blockers);
  if (facts.working.position !== "off") return off(rested, "water-at-mark", blockers);
  const litres = litresBlock(rested, plan);
  if (litres === "excess-litres" && rested.confirmMs >= plan.confirmMs) {
    return { ...off(latched(rested, litres), litres, [litres]), urgent: true };
  }
  if (litres !== null) return off(rested, litres, [litres]);
  if (restMs > 0) return off(rested, "resting-after-pour", blockers);
  if (rested.confirmMs < plan.confirmMs) return off(rested, "low-confirming", blockers);
  return { ...off(charged(rested, plan, facts.nextSequence), "waiting-for-disk", blockers), urgent: true };
}

function waitingForDisk(
  memory: TopOffMemory,
  facts: TopOffFacts,
  plan: TopOffPlan,
  blockers: readonly Reason[],
): Walked {
  const giveUp = (why: Reason) =>
    off({ ...refunded(memory, 0, plan), state: "resting", restMs: plan.restMs }, why, blockers);
  if (blockers.length > 0) return giveUp(blockers[0]!);
  // A ripple passes; only water that stays at its mark gives the charge back.
  if (facts.working.position !== "off") {
    return 2 * memory.confirmMs < plan.confirmMs ? giveUp("water-at-mark") : off(memory, "water-at-mark", blockers);
  }
  if (facts.durableSequence >= memory.chargeSequence) {
    const started: TopOffMemory = { ...memory, state: "pouring", pourMs: 0, pourUl: 0 };
    return on(started, "pouring-low", blockers);
  }
  const chargeWaitMs = memory.chargeWaitMs + facts.elapsed.ms;
  if (chargeWaitMs > plan.durableWaitMs) return giveUp("disk-failed");
  return off({ ...memory, chargeWaitMs }, "waiting-for-disk", blockers);
}

function pouring(
  memory: TopOffMemory,
  facts: TopOffFacts,
  plan: TopOffPlan,
  creditMostMs: number,
  blockers: readonly Reason[],
): Walked {
  if (blockers.length > 0) return stopped(memory, plan, blockers[0]!, blockers);
  if (facts.working.position !== "off") return stopped(memory, plan, "letting-settle", blockers);
  if (sliceIsFull(memory, plan, creditMostMs)) return stopped(memory, plan, "letting-settle", blockers);
  return on(memory, "pouring-low", blockers);
}

/** The pump runs for a moment while somebody watches: charged and on disk like any pour, every other trip alive. */
function proving(
  memory: TopOffMemory,
  facts: TopOffFacts,
  plan: TopOffPlan,
  creditMostMs: number,
  blockers: readonly Reason[],
): Walked {
  if (blockers.length > 0) return stopped(memory, plan, blockers[0]!, blockers);
  if (memory.pourMs + creditMostMs > memory.provingMs) {
    return { ...stopped(memory, plan, "letting-settle", blockers), proved: true };
  }
  if (facts.durableSequence >= memory.chargeSequence) return on(memory, "proving-pump", blockers);
  const chargeWaitMs = memory.chargeWaitMs + facts.elapsed.ms;
  if (chargeWaitMs > plan.durableWaitMs) return stopped(memory, plan, "disk-failed", blockers);
  return off({ ...memory, chargeWaitMs }, "waiting-for-disk", blockers);
}

/** The pump stops now. If a late scan let it run beyond its charge, the rest is charged at once. */
function stopped(memory: TopOffMemory, plan: TopOffPlan, why: Reason, blockers: readonly Reason[]): Walked {
  const overUl = Math.max(0, costOf(memory, plan) - memory.chargeUl);
  const next: TopOffMemory = {
    ...memory,
    state: "settling",
    restMs: plan.settleMs,
    chargeUl: memory.chargeUl + overUl,
    bucketUl: memory.bucketUl - overUl,
    excessUl: memory.excessUl + overUl,
  };
  return { ...off(next, why, blockers), urgent: overUl > 0 };
}

function settling(memory: TopOffMemory, facts: TopOffFacts, plan: TopOffPlan, blockers: readonly Reason[]): Walked {
  const restMs = isHealthy(facts) ? Math.max(0, memory.restMs - facts.elapsed.creditMs) : memory.restMs;
  const why = blockers[0] ?? "letting-settle";
  if (restMs > 0) return off({ ...memory, restMs }, why, blockers);
  const settledUp: TopOffMemory = { ...refunded(memory, costOf(memory, plan), plan), state: "resting" };
  if (facts.working.position === "on") return off({ ...settledUp, restMs: plan.restMs }, why, blockers);
  if (!isUnanswered(settledUp, facts, plan)) return off({ ...settledUp, restMs: 0 }, why, blockers);
  const failed = { ...settledUp, restMs: plan.restAfterFailureMs, failures: settledUp.failures + 2 };
  return { ...off(failed, "not-answered", blockers), urgent: true };
}

const on = (memory: TopOffMemory, why: Reason, blockers: readonly Reason[]): Walked => ({
  memory,
  pour: true,
  why,
  blockers,
  urgent: false,
  proved: false,
});

const off = (memory: TopOffMemory, why: Reason, blockers: readonly Reason[]): Walked => ({
  memory,
  pour: false,
  why,
  blockers,
  urgent: false,
  proved: false,
});
