import { type Condition, never } from "../condition.ts";
import { DOUBT_WORDS } from "../doubt-words.ts";
import { isFitted, isOnSilentBoard, salinityIsDisturbed } from "../evidence.ts";

export const conductivityProbeFailed: Condition = {
  id: "conductivity-probe-failed",
  title: "The conductivity probe cannot be trusted",
  priority: "low",
  cause: "Its cable is loose, air or dirt sits in its cell, or it hangs out of the water.",
  consequence: "Salinity is not watched. Top-off goes on within its budget.",
  whatToDo: "Look at the cable, take the probe out, rinse it with fresh water and put it back without air in its cell.",
  timeToRespond: "Two days.",
  inAbsence: "for-keeper",
  onDelayMs: 300_000,
  offDelayMs: 60_000,
  deadband: null,
  limit: "conductivity reads bad",
  clears: "by-itself",
  suppressedWhen:
    "during a hold, while it is calibrated, while bubbles pass it, or it hangs on the board that is silent",
  stands: ({ quantities: { conductivity } }) => conductivity.quality === "bad" && isFitted(conductivity),
  suppressed: (facts, settings) => salinityIsDisturbed(facts) || isOnSilentBoard(facts, settings, "conductivity-probe"),
  lockedOut: never,
  detail: ({ quantities: { conductivity } }) =>
    conductivity.doubt === null ? null : `it ${DOUBT_WORDS[conductivity.doubt]}`,
};
