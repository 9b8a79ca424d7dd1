import { type Condition, never } from "../condition.ts";
import { coldestC, degrees, isLow } from "../evidence.ts";

const DEADBAND_K = 0.3;

export const temperatureLow: Condition = {
  id: "temperature-low",
  title: "Water too cold",
  priority: "medium",
  cause: "The heater is off, failed, without power or too weak for the room.",
  consequence: "It may go on falling.",
  whatToDo: "See why the heater is off. Look at its plug and its residual-current device; warm the room.",
  timeToRespond: "Six hours.",
  inAbsence: "for-sitter",
  onDelayMs: 300_000,
  offDelayMs: 600_000,
  deadband: "0.3 K",
  limit: "coldest thermometer at or below the lower band (23 °C)",
  clears: "acknowledged",
  suppressedWhen: "never, not even in a hold",
  stands: (facts, settings, isActive) =>
    isLow(coldestC(facts), settings.alarms.temperatureBandC[0], DEADBAND_K, isActive),
  suppressed: never,
  lockedOut: never,
  detail: (facts) => degrees(coldestC(facts)),
};
