import { type Condition, never } from "../condition.ts";

export const programFault: Condition = {
  id: "program-fault",
  title: "A part of the program fails",
  priority: "medium",
  cause: "Something that only tells of the tank met a mistake of its own in the program.",
  consequence: "The tank is looked after as ever. What that part tells may be missing or old.",
  whatToDo: "Write down the words after the colon for whoever maintains the program, then acknowledge.",
  timeToRespond: "A day.",
  inAbsence: "for-keeper",
  onDelayMs: 0,
  offDelayMs: 0,
  deadband: null,
  limit: "a failure within the last ten minutes",
  clears: "acknowledged",
  suppressedWhen: "never",
  stands: ({ beside }) => beside.fault !== null,
  suppressed: never,
  lockedOut: never,
  detail: ({ beside }) => beside.fault,
};
