import { type Condition, never, noDetail } from "../condition.ts";
import { boardIsSilent } from "../evidence.ts";

export const boardSilent: Condition = {
  id: "board-silent",
  title: "The input and output board is silent",
  priority: "high",
  cause: "Its cable is loose, its power is gone, or it hangs.",
  consequence: "Pump and heater are off, and the floats are not seen.",
  whatToDo:
    "Look at the board's power and cable; keep hands and salt water away from mains. Plug it out and in again. It starts anew by itself.",
  timeToRespond: "Three hours; less in a cold room.",
  inAbsence: "for-sitter",
  onDelayMs: 60_000,
  offDelayMs: 30_000,
  deadband: null,
  limit: "no report from a board that outputs hang on",
  clears: "acknowledged",
  suppressedWhen: "never",
  stands: boardIsSilent,
  suppressed: never,
  lockedOut: never,
  detail: noDetail,
};
