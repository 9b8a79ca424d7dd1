import { type Condition, never } from "../condition.ts";
import { DOUBT_WORDS } from "../doubt-words.ts";
import { isFitted, isOnSilentBoard } from "../evidence.ts";

export const roomThermometerFailed: Condition = {
  id: "room-thermometer-failed",
  title: "The room thermometer cannot be trusted",
  priority: "low",
  cause: "Its cable is loose or it broke.",
  consequence: "What the heater should achieve is judged less well.",
  whatToDo: "Look at its cable.",
  timeToRespond: "A week.",
  inAbsence: "for-keeper",
  onDelayMs: 300_000,
  offDelayMs: 600_000,
  deadband: null,
  limit: "the fitted room thermometer reads bad",
  clears: "by-itself",
  suppressedWhen: "it hangs on the board that is silent",
  stands: ({ quantities: { room } }) => room.quality === "bad" && isFitted(room),
  suppressed: (facts, settings) => isOnSilentBoard(facts, settings, "room-thermometer"),
  lockedOut: never,
  detail: ({ quantities: { room } }) => (room.doubt === null ? null : `it ${DOUBT_WORDS[room.doubt]}`),
};
