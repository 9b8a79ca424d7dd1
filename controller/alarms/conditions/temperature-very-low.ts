import { type Condition, never } from "../condition.ts";
import { coldestC, degrees, isLow } from "../evidence.ts";

const DEADBAND_K = 0.3;

export const temperatureVeryLow: Condition = {
  id: "temperature-very-low",
  title: "Water far too cold",
  priority: "high",
  cause: "The heater failed or has no power, and the room is cold.",
  consequence: "Animals stop eating and fall ill; below 18 °C corals die.",
  whatToDo:
    "Look whether the heater has power and its residual-current device has tripped. Warm the room. Put a spare heater with a thermostat of its own into the box, covered with water before it is plugged in.",
  timeToRespond: "Three hours.",
  inAbsence: "for-sitter",
  onDelayMs: 120_000,
  offDelayMs: 600_000,
  deadband: "0.3 K",
  limit: "coldest thermometer at or below the lower limit (20 °C)",
  clears: "acknowledged",
  suppressedWhen: "never, not even in a hold",
  stands: (facts, settings, isActive) =>
    isLow(coldestC(facts), settings.alarms.temperatureLimitsC[0], DEADBAND_K, isActive),
  suppressed: never,
  lockedOut: never,
  detail: (facts) => degrees(coldestC(facts)),
};
