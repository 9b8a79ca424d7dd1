import { type Condition, never, noDetail } from "../condition.ts";
import { causeStands, waterLatch } from "../evidence.ts";

const LOCKOUT = ["not-answered", "failed-pours"] as const;
/** A failed pour counts two, a good one takes one back. */
const ONE_FAILURE = 2;

export const topOffNotAnswered: Condition = {
  id: "top-off-not-answered",
  title: "Top-off poured, the level did not answer",
  priority: "medium",
  cause:
    "The tube is off, kinked or out of the tank; the pump is clogged; the reservoir is empty; or the working float hangs.",
  consequence:
    "What was poured may be on the floor. After three such pours top-off locks, and the water sinks and grows saltier.",
  whatToDo:
    "Look for water on the floor. Follow the tube from reservoir to tank, see whether the working float moves freely, then clear the lock if there is one.",
  timeToRespond: "Half a day.",
  inAbsence: "for-keeper",
  onDelayMs: 0,
  offDelayMs: 0,
  deadband: null,
  limit: "a pour that the level did not answer, or top-off locked by several",
  clears: "cleared",
  suppressedWhen: "never",
  stands: (facts) => {
    const latch = waterLatch(facts, LOCKOUT);
    return latch === null ? facts.topOff.failures >= ONE_FAILURE : causeStands(latch);
  },
  suppressed: never,
  lockedOut: (facts) => waterLatch(facts, LOCKOUT) !== null,
  detail: noDetail,
};
