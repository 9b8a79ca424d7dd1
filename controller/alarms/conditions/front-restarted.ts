import { type Condition, never } from "../condition.ts";

export const frontRestarted: Condition = {
  id: "front-restarted",
  title: "The page and the messages were away",
  priority: "medium",
  cause:
    "The part of the program that serves page, messages and history ended, hung or grew too large, and was started again. Somebody on the network may be flooding it.",
  consequence:
    "The tank is looked after as ever. Nobody could look or be told meanwhile, and while it is away no alarm reaches you.",
  whatToDo:
    "Look at the tank itself once. Then acknowledge; if it comes again, look at what else runs on this computer and in the network.",
  timeToRespond: "A day.",
  inAbsence: "for-keeper",
  onDelayMs: 0,
  offDelayMs: 0,
  deadband: null,
  limit: "started again within ten minutes, or away",
  clears: "acknowledged",
  suppressedWhen: "never",
  stands: ({ beside }) => beside.front === "restarted" || beside.front === "away",
  suppressed: never,
  lockedOut: never,
  detail: ({ beside }) => (beside.front === "away" ? "they are away now" : null),
};
