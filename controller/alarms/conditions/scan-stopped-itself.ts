import { type Condition, never } from "../condition.ts";

export const scanStoppedItself: Condition = {
  id: "scan-stopped-itself",
  title: "The controller had stopped itself",
  priority: "medium",
  cause: "It found itself in a state that must never be, or a part of the program failed.",
  consequence:
    "Every output was off until it was started anew. What made it stop may come again, and the box is then without heat and top-off.",
  whatToDo:
    "Look at level and temperature. Write down the words after the colon for whoever maintains the program, then acknowledge. If it comes again, run the box by hand.",
  timeToRespond: "A day.",
  inAbsence: "for-keeper",
  onDelayMs: 0,
  offDelayMs: 0,
  deadband: null,
  limit: "a start after a scan that stopped itself",
  clears: "acknowledged",
  suppressedWhen: "never",
  stands: ({ stoppedBy }) => stoppedBy !== null,
  suppressed: never,
  lockedOut: never,
  detail: ({ stoppedBy }) => stoppedBy,
};
