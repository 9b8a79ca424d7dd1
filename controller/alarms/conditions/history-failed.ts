import { type Condition, never, noDetail } from "../condition.ts";

export const historyFailed: Condition = {
  id: "history-failed",
  title: "The history is not being kept",
  priority: "low",
  cause:
    "The file of the history cannot be written: the disk is full or worn out, another program holds the file, or a newer Evenbrine has written it.",
  consequence: "Charts and the list of events will have a gap. What the tank needs is kept in other files.",
  whatToDo:
    "Make room on the disk, or end the other program; after a return to an older Evenbrine move history.db away. What was kept in mind meanwhile is written then.",
  timeToRespond: "A day.",
  inAbsence: "for-keeper",
  onDelayMs: 10_000,
  offDelayMs: 60_000,
  deadband: null,
  limit: "writing fails",
  clears: "by-itself",
  suppressedWhen: "while the disk takes no notes at all, which has its own alarm",
  stands: ({ beside }) => beside.history === "failed",
  suppressed: ({ disk }) => disk === "failed",
  lockedOut: never,
  detail: noDetail,
};
