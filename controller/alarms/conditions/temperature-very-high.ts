import { type Condition, never } from "../condition.ts";
import { degrees, hottestC, isHigh } from "../evidence.ts";

const DEADBAND_K = 0.3;

export const temperatureVeryHigh: Condition = {
  id: "temperature-very-high",
  title: "Water far too warm",
  priority: "high",
  cause: "A heater that does not switch off, a heatwave, or a pump that runs hot.",
  consequence: "Warm water holds little oxygen: corals bleach and fish suffocate within hours.",
  whatToDo:
    "Unplug the heater at the wall. Switch lamps off, blow air over the surface and add an air stone. Cool slowly, no more than 1 °C an hour.",
  timeToRespond: "Two hours.",
  inAbsence: "for-sitter",
  onDelayMs: 120_000,
  offDelayMs: 600_000,
  deadband: "0.3 K",
  limit: "warmest thermometer at or above the upper limit (30 °C)",
  clears: "acknowledged",
  suppressedWhen: "never, not even in a hold",
  stands: (facts, settings, isActive) =>
    isHigh(hottestC(facts), settings.alarms.temperatureLimitsC[1], DEADBAND_K, isActive),
  suppressed: never,
  lockedOut: never,
  detail: (facts) => degrees(hottestC(facts)),
};
