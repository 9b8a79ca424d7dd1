import type { Latch, Reason } from "../../../shared/contract/index.ts";
import { type AlarmFacts, type Condition, never } from "../condition.ts";
import { causeStands, latchWords } from "../evidence.ts";

/** Lockouts that have an alarm of their own. */
const ELSEWHERE: readonly Reason[] = [
  "high-float-wet",
  "floor-wet",
  "unordered-water",
  "emptied-early",
  "pump-seen-on",
  "not-answered",
  "failed-pours",
];

const latchOf = (facts: AlarmFacts): Latch | null => {
  const { latch, waterGuardLatch } = facts.topOff;
  if (latch !== null && !ELSEWHERE.includes(latch.reason)) return latch;
  return waterGuardLatch !== null && !ELSEWHERE.includes(waterGuardLatch.reason) ? waterGuardLatch : null;
};

export const topOffLocked: Condition = {
  id: "top-off-locked",
  title: "Top-off is locked",
  priority: "medium",
  cause:
    "The reason stands with the lock: too much was poured, a pour ran too long, the floats contradict each other, or the memory of what was poured is lost.",
  consequence: "No water is topped off: the level sinks and the salinity rises by about 0.4 a day.",
  whatToDo:
    "Look at the water, then clear the lock. If too much was poured, measure the salinity by hand and enter it first.",
  timeToRespond: "Half a day.",
  inAbsence: "for-keeper",
  onDelayMs: 0,
  offDelayMs: 0,
  deadband: null,
  limit: "top-off is locked for a reason that has no alarm of its own",
  clears: "cleared",
  suppressedWhen: "never",
  stands: (facts) => causeStands(latchOf(facts)),
  suppressed: never,
  lockedOut: (facts) => latchOf(facts) !== null,
  detail: (facts) => latchWords(latchOf(facts)),
};
