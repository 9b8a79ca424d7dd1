import { type Condition, never, noDetail } from "../condition.ts";
import { boardIsSilent, isOff } from "../evidence.ts";

export const reservoirEmpty: Condition = {
  id: "reservoir-empty",
  title: "The reservoir is empty",
  priority: "medium",
  cause: "The fresh water is used up; or the reservoir leaks, or siphoned into the tank.",
  consequence: "No top-off: the water sinks and grows saltier by about 0.4 a day.",
  whatToDo:
    "If it ran empty sooner than expected, look for the water first: tank, floor, tube. Then fill it with fresh water made by reverse osmosis and deionisation, and enter the litres.",
  timeToRespond: "Half a day.",
  inAbsence: "for-sitter",
  onDelayMs: 60_000,
  offDelayMs: 60_000,
  deadband: null,
  limit: "reservoir float shows it empty",
  clears: "by-itself",
  suppressedWhen: "while the board is silent",
  stands: ({ contacts, topOff }, _settings, isActive) =>
    isOff(contacts["reservoir-float"], isActive) || topOff.blockers.includes("reservoir-empty"),
  suppressed: boardIsSilent,
  lockedOut: never,
  detail: noDetail,
};
