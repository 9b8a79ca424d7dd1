import { type Condition, never, noDetail } from "../condition.ts";

const REMIND_AFTER_MS = 900_000;

export const holdQuestion: Condition = {
  id: "hold-question",
  title: "The hold is over and the water is low",
  priority: "medium",
  cause: "After hands were in the tank the level is low, and only you know why.",
  consequence: "Top-off waits for your answer: fresh water in place of salt water would lower the salinity.",
  whatToDo: "If salt water was taken out, put salt water back and say so. If it only evaporated, say that.",
  timeToRespond: "An hour.",
  inAbsence: "for-keeper",
  onDelayMs: 0,
  offDelayMs: 0,
  deadband: null,
  limit: "no answer for 15 minutes, and the working float does not read full",
  clears: "by-itself",
  suppressedWhen: "never",
  // A float that reads full while the return pump stands still answers nothing, and shows no low water either.
  stands: ({ hold, contacts }) =>
    hold.question && hold.questionForMs >= REMIND_AFTER_MS && contacts["working-float"].position !== "on",
  suppressed: never,
  lockedOut: never,
  detail: noDetail,
};
