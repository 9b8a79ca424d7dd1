import { type AlarmFacts, type Condition, never } from "../condition.ts";

const DAYS = 2;
const DEADBAND_DAYS = 0.2;

export const reservoirLow: Condition = {
  id: "reservoir-low",
  title: "The reservoir is nearly empty",
  priority: "low",
  cause: "The fresh water lasts for two more days.",
  consequence: "Then there is no top-off.",
  whatToDo: "Make fresh water by reverse osmosis and deionisation, refill, and enter the litres.",
  timeToRespond: "Two days.",
  inAbsence: "for-sitter",
  onDelayMs: 60_000,
  offDelayMs: 60_000,
  deadband: "0.2 days",
  limit: "two days or less by the ledger",
  clears: "by-itself",
  suppressedWhen: "the reservoir is empty",
  stands: ({ topOff: { daysInReservoir } }, _settings, isActive) =>
    daysInReservoir !== null && daysInReservoir <= (isActive ? DAYS + DEADBAND_DAYS : DAYS),
  suppressed: ({ contacts }: AlarmFacts) => contacts["reservoir-float"].position === "off",
  lockedOut: never,
  detail: ({ topOff: { daysInReservoir } }) =>
    daysInReservoir === null ? null : `${Math.max(0, daysInReservoir).toFixed(1)} days left`,
};
