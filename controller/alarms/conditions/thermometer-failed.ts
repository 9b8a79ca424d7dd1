import { type AlarmFacts, type Condition, never } from "../condition.ts";
import { DOUBT_WORDS } from "../doubt-words.ts";
import { boardIsSilent, isFitted, isOnSilentBoard } from "../evidence.ts";

const PARTS = ["thermometer-1", "thermometer-2"] as const;

/** One that hangs in its cup to be calibrated has not failed. */
const failed = ({ thermometers }: AlarmFacts, index: 0 | 1): boolean => {
  const { quality, doubt } = thermometers[index];
  if (doubt === "being-calibrated") return false;
  return (quality === "bad" || doubt === "rate") && isFitted(thermometers[index]);
};

export const thermometerFailed: Condition = {
  id: "thermometer-failed",
  title: "A thermometer cannot be trusted",
  priority: "medium",
  cause: "Its cable is loose, it broke, or it hangs out of the water.",
  consequence: "The heat relies on the other one alone.",
  whatToDo:
    "Put it back under water, look at its cable, and compare it with a thermometer held in the water. One that hung in the air is believed again when it has agreed with another for ten minutes, or when somebody at the tank says so.",
  timeToRespond: "A day.",
  inAbsence: "for-keeper",
  onDelayMs: 60_000,
  offDelayMs: 600_000,
  deadband: null,
  limit: "a fitted thermometer reads bad, or moved faster than water can",
  clears: "by-itself",
  suppressedWhen: "no thermometer at all can be trusted, or it hangs on the board that is silent",
  stands: (facts) => failed(facts, 0) || failed(facts, 1),
  suppressed: (facts, settings) =>
    facts.quantities.temperature.quality === "bad" ||
    (boardIsSilent(facts) &&
      PARTS.every((part, index) => !failed(facts, index as 0 | 1) || isOnSilentBoard(facts, settings, part))),
  lockedOut: never,
  detail: (facts) => {
    const index = failed(facts, 0) ? 0 : 1;
    const { doubt } = facts.thermometers[index];
    return doubt === null ? null : `thermometer ${index + 1} ${DOUBT_WORDS[doubt]}`;
  },
};
