import { type Condition, never, noDetail } from "../condition.ts";
import { boardIsSilent, isOff, levelIsMoving } from "../evidence.ts";

export const waterUnderLowMark: Condition = {
  id: "water-under-low-mark",
  title: "Water far below its mark",
  priority: "high",
  cause: "Top-off does not reach the tank, the box leaks, or the way to the last chamber is clogged.",
  consequence: "The return pump sucks air and runs dry; a heater in that chamber is uncovered.",
  whatToDo:
    "Look for water on the floor and for a clogged weir. Unplug heater and pump before hands go in. Fill up slowly by hand, with fresh water only if it evaporated.",
  timeToRespond: "One hour.",
  inAbsence: "for-sitter",
  onDelayMs: 10_000,
  offDelayMs: 120_000,
  deadband: null,
  limit: "low float dry",
  clears: "acknowledged",
  suppressedWhen: "during a hold, five minutes around a stop or start of the return pump, while the board is silent",
  stands: (facts, _settings, isActive) => isOff(facts.contacts["low-float"], isActive),
  suppressed: (facts) => levelIsMoving(facts) || boardIsSilent(facts),
  lockedOut: never,
  detail: noDetail,
};
