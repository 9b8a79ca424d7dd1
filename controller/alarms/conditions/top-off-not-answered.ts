import { type Condition, never, noDetail } from "../condition.ts";
import { causeStands, waterLatch } from "../evidence.ts";

const LOCKOUT = ["not-answered", "failed-pours"] as const;

export const topOffNotAnswered: Condition = {
  id: "top-off-not-answered",
  title: "Top-off poured, the level did not answer",
  priority: "medium",
  cause:
    "The tube is off, kinked or out of the tank; the pump is clogged; the reservoir is empty; or the working float hangs.",
  consequence: "Top-off is locked: the water sinks and grows saltier. What was poured may be on the floor.",
  whatToDo:
    "Look for water on the floor. Follow the tube from reservoir to tank, see whether the working float moves freely, then clear the lock.",
  timeToRespond: "Half a day.",
  onDelayMs: 0,
  offDelayMs: 0,
  deadband: null,
  limit: "top-off is locked for want of an answer",
  clears: "cleared",
  suppressedWhen: "never",
  stands: (facts) => causeStands(waterLatch(facts, LOCKOUT)),
  suppressed: never,
  lockedOut: (facts) => waterLatch(facts, LOCKOUT) !== null,
  detail: noDetail,
};
