import { type Condition, never } from "../condition.ts";
import { causeStands, latchWords, waterLatch } from "../evidence.ts";

const LOCKOUT = ["unordered-water", "emptied-early", "pump-seen-on"] as const;

export const waterNotOrdered: Condition = {
  id: "water-not-ordered",
  title: "Fresh water runs that nobody ordered",
  priority: "high",
  cause: "The tube siphons, the reservoir leaks, or the top-off pump's relay does not open any more.",
  consequence: "The whole reservoir runs into the box: it may flow over, and the salinity falls.",
  whatToDo:
    "Lift the tube out of the tank. Unplug the top-off pump. Do not refill the reservoir. Measure the salinity by hand. Clear the lock when tube and relay are put right.",
  timeToRespond: "Minutes.",
  inAbsence: "for-sitter",
  onDelayMs: 0,
  offDelayMs: 60_000,
  deadband: null,
  limit:
    "top-off is locked by water that came unordered, by a reservoir that was empty far too soon, or by a pump with power while it was switched off",
  clears: "cleared",
  suppressedWhen: "never",
  stands: (facts) => causeStands(waterLatch(facts, LOCKOUT)),
  suppressed: never,
  lockedOut: (facts) => waterLatch(facts, LOCKOUT) !== null,
  detail: (facts) => {
    const latch = waterLatch(facts, LOCKOUT);
    return latch === null || latch.reason === "unordered-water" ? null : latchWords(latch);
  },
};
