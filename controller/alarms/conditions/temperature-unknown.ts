import { type Condition, never, noDetail } from "../condition.ts";
import { isFitted, isOnSilentBoard } from "../evidence.ts";

export const temperatureUnknown: Condition = {
  id: "temperature-unknown",
  title: "No thermometer can be trusted",
  priority: "high",
  cause: "Every thermometer is disconnected, broken, out of the water or silent.",
  consequence: "The heater stays off, and nobody would notice if the box cooled or cooked.",
  whatToDo:
    "Measure the temperature by hand. Look at the thermometers' cables and at the box that reads them. Warm the room until one of them reads again.",
  timeToRespond: "Three hours; less in a cold room.",
  inAbsence: "for-keeper",
  onDelayMs: 120_000,
  offDelayMs: 60_000,
  deadband: null,
  limit: "no valid temperature",
  clears: "acknowledged",
  suppressedWhen: "the thermometers hang on the board that is silent, or in a cup to be calibrated",
  stands: (facts) => {
    const { temperature } = facts.quantities;
    if (temperature.quality !== "bad") return false;
    return isFitted(temperature) || facts.thermometers.some(isFitted);
  },
  suppressed: (facts, settings) =>
    (isOnSilentBoard(facts, settings, "thermometer-1") && isOnSilentBoard(facts, settings, "thermometer-2")) ||
    facts.thermometers.every((signal) => signal.doubt === "being-calibrated" || !isFitted(signal)),
  lockedOut: never,
  detail: noDetail,
};
