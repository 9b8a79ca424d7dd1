import { type Condition, never, noDetail } from "../condition.ts";

export const diskFailed: Condition = {
  id: "disk-failed",
  title: "The disk does not take notes",
  priority: "medium",
  cause: "The disk or memory card is full, worn out or was pulled.",
  consequence: "No further litres are poured, and history has a gap. Heat goes on.",
  whatToDo: "Make room on the disk or replace the card. Top off by hand until then.",
  timeToRespond: "Half a day.",
  inAbsence: "for-keeper",
  onDelayMs: 10_000,
  offDelayMs: 60_000,
  deadband: null,
  limit: "writing fails",
  clears: "by-itself",
  suppressedWhen: "never",
  stands: ({ disk }) => disk === "failed",
  suppressed: never,
  lockedOut: never,
  detail: noDetail,
};
