import { type Condition, never, noDetail } from "../condition.ts";

export const dailyBudgetUsed: Condition = {
  id: "daily-budget-used",
  title: "Today's top-off litres are used up",
  priority: "medium",
  cause: "More evaporates than the budget allows, the box loses water, or the pump is weaker than proven.",
  consequence: "Top-off goes on slowly, as the budget fills up again; the water may sink meanwhile.",
  whatToDo:
    "Look for a leak and for water on the floor. Measure the salinity by hand: if it is right, more evaporates than was commissioned; if it is low, salt water is leaving.",
  timeToRespond: "A day.",
  inAbsence: "for-keeper",
  onDelayMs: 60_000,
  offDelayMs: 3_600_000,
  deadband: null,
  limit: "the daily bucket is empty",
  clears: "by-itself",
  suppressedWhen: "never",
  stands: ({ topOff }) => topOff.blockers.includes("daily-budget-used"),
  suppressed: never,
  lockedOut: never,
  detail: noDetail,
};
