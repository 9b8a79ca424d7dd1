import { BOARD_REASONS, type Reason } from "../../../shared/contract/reasons.ts";
import { FAILURES_TO_LOCK } from "../../../shared/settings/limits.ts";
import { addEvent, drain, isThrice } from "../../signals/leaky.ts";
import { contradicts, mayBeWet, type TopOffFacts } from "./blockers.ts";
import { isHealthy } from "./litres.ts";
import type { TopOffMemory } from "./memory.ts";
import type { TopOffPlan } from "./plan.ts";
import { watchReservoir } from "./reservoir.ts";
import { watchSurge } from "./surge.ts";

/** Which latches also open the water guard: the pump may not be under the relay's control any more. */
export const OPENS_THE_GUARD: readonly Reason[] = [
  "high-float-wet",
  "floor-wet",
  "unordered-water",
  "emptied-early",
  "pump-seen-on",
];
/** Which may be cleared only by somebody who stands at the water. */
const CLEARED_AT_TANK: readonly Reason[] = ["high-float-wet", "floor-wet"];

/** The latch itself, or what has come to it since: water that was seen high or on the floor is cleared where it is seen. */
export const isClearedAtTank = (memory: TopOffMemory, plan: TopOffPlan): boolean =>
  memory.latch !== null && (CLEARED_AT_TANK.includes(memory.latch.reason) || isFlooded(memory, plan));

const isFlooded = ({ highWetMs, touchesMs, floorWetMs }: TopOffMemory, plan: TopOffPlan): boolean =>
  highWetMs >= plan.highFloatLatchMs || isThrice(touchesMs, plan.hourMs) || floorWetMs >= plan.floorLatchMs;

type Watched = Pick<
  TopOffMemory,
  | "highWetMs"
  | "highWasDry"
  | "touchesMs"
  | "floorWetMs"
  | "contradictionMs"
  | "wasLow"
  | "fullMs"
  | "unordered"
  | "surgeLeftMs"
  | "freeProofMs"
  | "surgeSeen"
  | "surgeMissing"
  | "returnWasOn"
  | "stuckLow"
  | "emptyMs"
  | "emptiedEarly"
  | "reservoirUl"
>;

/** The amounts from which latches are made, moved on by one scan. Charges: they take the full time of the scan. */
export function watchWater(memory: TopOffMemory, facts: TopOffFacts, plan: TopOffPlan): Watched {
  const { ms } = facts.elapsed;
  // With the return pump seen stopped the chamber rises by itself, and in a hold hands make waves: neither latches.
  const judged = !facts.holding && facts.levelSettled && facts.returnPump.position !== "off";
  // Unknown blocks as surely as wet does, but only water that was seen latches: a stale input clears by itself.
  const highWet = facts.high.position === "on";
  const touched = judged && highWet && memory.highWasDry;
  // Forgetting touches is a credit: only scans in which the floats speak give it.
  const touchesMs = drain(memory.touchesMs, isHealthy(facts) ? facts.elapsed.creditMs : 0);
  const { fullMs, wasLow, unordered } = watchUnordered(memory, facts, plan, judged);
  const { surgeLeftMs, freeProofMs, surgeSeen, surgeMissing, returnWasOn, stuckLow } = watchSurge(memory, facts, plan);
  const { emptyMs, emptiedEarly, reservoirUl } = watchReservoir(memory, facts, plan);
  return {
    highWetMs: judged && highWet ? Math.min(plan.highFloatLatchMs, memory.highWetMs + ms) : memory.highWetMs,
    highWasDry: facts.high.position === "off" || (memory.highWasDry && !(judged && highWet)),
    touchesMs: touched ? addEvent(touchesMs, plan.hourMs) : touchesMs,
    floorWetMs: facts.floor.position === "on" ? Math.min(plan.floorLatchMs, memory.floorWetMs + ms) : memory.floorWetMs,
    contradictionMs: contradictionAfter(memory, facts, plan, judged),
    fullMs,
    wasLow,
    unordered,
    surgeLeftMs,
    freeProofMs,
    surgeSeen,
    surgeMissing,
    returnWasOn,
    stuckLow,
    emptyMs,
    emptiedEarly,
    reservoirUl,
  };
}

function contradictionAfter(memory: TopOffMemory, facts: TopOffFacts, plan: TopOffPlan, judged: boolean): number {
  if (isSeenContradiction(facts) && judged) {
    return Math.min(plan.contradictionLatchMs, memory.contradictionMs + facts.elapsed.ms);
  }
  // An unknown float proves no agreement: only floats that are known and agree give the time back.
  const agree = facts.working.position !== "unknown" && facts.high.position === "off" && !contradicts(facts);
  return agree ? drain(memory.contradictionMs, facts.elapsed.creditMs) : memory.contradictionMs;
}

/** As `contradicts`, of positions that are both known. */
function isSeenContradiction({ working, high, low }: TopOffFacts): boolean {
  if (high.position === "on" && working.position === "off") return true;
  return low.position === "off" && working.position === "on";
}

/** Rose from surely low to full, held, and nothing was poured: once may be a hand with a jug, twice running is not. */
function watchUnordered(memory: TopOffMemory, facts: TopOffFacts, plan: TopOffPlan, judged: boolean) {
  const full = facts.working.position === "on";
  const fullMs = full ? Math.min(plan.confirmMs, memory.fullMs + facts.elapsed.creditMs) : 0;
  const surelyLow = memory.confirmMs >= plan.confirmMs;
  const rose = memory.wasLow && fullMs >= plan.confirmMs;
  const ordered = memory.sinceFullUl > 0 || (memory.chargeUl > 0 && memory.provingMs === 0);
  // Hands, and a return pump that stops, explain this rise and say nothing about the one before.
  const counted = rose && (judged || ordered);
  return {
    fullMs,
    wasLow: rose ? false : memory.wasLow || surelyLow,
    unordered: counted ? (ordered ? 0 : memory.unordered + 1) : memory.unordered,
  };
}

/** The first reason to latch that stands in this memory, or null. */
export function latchReason(memory: TopOffMemory, facts: TopOffFacts, plan: TopOffPlan): Reason | null {
  if (memory.highWetMs >= plan.highFloatLatchMs || isThrice(memory.touchesMs, plan.hourMs)) return "high-float-wet";
  if (memory.floorWetMs >= plan.floorLatchMs) return "floor-wet";
  if (memory.unordered >= 2) return "unordered-water";
  if (facts.pumpSeenOn) return "pump-seen-on";
  if (memory.emptiedEarly) return "emptied-early";
  if (memory.stuckLow) return "working-float-stuck";
  if (memory.contradictionMs >= plan.contradictionLatchMs) return "floats-contradict";
  if (memory.failures >= FAILURES_TO_LOCK) return "failed-pours";
  if (memory.pourMs >= plan.longestPourMs) return "pour-too-long";
  if (memory.excessUl > plan.excessLimitUl) return "excess-litres";
  return null;
}

/** The memory with that latch set. The first reason stays; a later one may still open the guard, and gives the latch a
 *  new number: a clear that was meant for the lesser cause does not clear the greater. */
export function latched(memory: TopOffMemory, reason: Reason): TopOffMemory {
  const guardLatched = memory.guardLatched || OPENS_THE_GUARD.includes(reason);
  if (memory.latch !== null && guardLatched === memory.guardLatched) return memory;
  const occurrences = memory.occurrences + 1;
  const first = memory.latch?.reason ?? reason;
  return { ...memory, latch: { reason: first, occurrence: occurrences }, guardLatched, occurrences };
}

/** Whether a cause still stands, so that a clear would be a lie. */
export const causeStands = (memory: TopOffMemory, facts: TopOffFacts, plan: TopOffPlan): boolean =>
  standingCause(memory, facts, plan) !== null;

/** The first that stands in the way of a clear, whatever began the lock; null = nothing does. */
export function standingCause(memory: TopOffMemory, facts: TopOffFacts, plan: TopOffPlan): Reason | null {
  const { board, floor, high, working, returnPump } = facts;
  if (memory.latch === null) return null;
  // A board that is silent leaves all else unknown: it goes first.
  if (board !== "ready") return BOARD_REASONS[board];
  if (mayBeWet(floor)) return floor.position === "on" ? "floor-wet" : "floor-sensor-unknown";
  if (mayBeWet(high)) return high.position === "on" ? "high-float-wet" : "high-float-unknown";
  if (facts.pumpSeenOn) return "pump-seen-on";
  if (contradicts(facts)) return "floats-contradict";
  if (working.position === "unknown") return "working-float-unknown";
  // With the return pump still standing, a float that reads low has not been freed.
  if (memory.stuckLow && returnPump.position === "off" && working.position === "off") return "working-float-stuck";
  const inExcess = memory.latch.reason === "excess-litres" && memory.excessUl + plan.chargeUl > plan.excessLimitUl;
  return inExcess ? "excess-litres" : null;
}

/** The memory after a person has cleared the latch: what led to it starts from nothing, litres stay charged. */
export const cleared = (memory: TopOffMemory, plan: TopOffPlan): TopOffMemory => ({
  ...memory,
  state: "resting",
  restMs: plan.restMs,
  confirmMs: 0,
  pourMs: 0,
  pourUl: 0,
  chargeUl: 0,
  failures: 0,
  unordered: 0,
  freeProofMs: 0,
  surgeLeftMs: 0,
  stuckLow: false,
  emptiedEarly: false,
  provingMs: 0,
  highWetMs: 0,
  touchesMs: 0,
  floorWetMs: 0,
  contradictionMs: 0,
  sinceFullUl: 0,
  latch: null,
  guardLatched: false,
});
