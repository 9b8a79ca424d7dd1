import { type Condition, never } from "../condition.ts";
import { degrees, hottestC, isHigh, joinedWords } from "../evidence.ts";

const DEADBAND_K = 0.3;
const NOT_THE_HEATER = "the heater is surely off: it is the room, a lamp or a pump";

export const temperatureHigh: Condition = {
  id: "temperature-high",
  title: "Water too warm",
  priority: "medium",
  cause: "A warm room, strong lamps, or a heater that does not switch off.",
  consequence: "It may go on rising towards what corals do not survive.",
  whatToDo:
    "See whether the heater's lamp is lit although it is off: if so, unplug it at the wall. Cool the room, blow air over the surface, shorten the light.",
  timeToRespond: "Three hours.",
  inAbsence: "for-sitter",
  onDelayMs: 300_000,
  offDelayMs: 600_000,
  deadband: "0.3 K",
  limit: "warmest thermometer at or above the upper band (28 °C)",
  clears: "acknowledged",
  suppressedWhen: "never, not even in a hold",
  stands: (facts, settings, isActive) =>
    isHigh(hottestC(facts), settings.alarms.temperatureBandC[1], DEADBAND_K, isActive),
  suppressed: never,
  lockedOut: never,
  detail: (facts) =>
    joinedWords(
      degrees(hottestC(facts)),
      facts.heaters.some(({ warming }) => warming === "room") ? NOT_THE_HEATER : null,
    ),
};
