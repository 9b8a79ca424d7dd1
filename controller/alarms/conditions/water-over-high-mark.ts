import type { Condition } from "../condition.ts";
import { causeStands, isOn, levelIsMoving, unknownWords, waterLatch } from "../evidence.ts";

const LOCKOUT = ["high-float-wet"] as const;

export const waterOverHighMark: Condition = {
  id: "water-over-high-mark",
  title: "Water over the high mark",
  priority: "high",
  cause:
    "Too much water was added, water siphons back through the top-off tube, or the way to the return pump is clogged.",
  consequence: "The box may run over; much fresh water lowers the salinity.",
  whatToDo:
    "Lift the top-off tube out of the water. Unplug the top-off pump before hands go in. Take water out down to the mark, look for a clogged weir, measure the salinity by hand, then clear the lock at the tank.",
  timeToRespond: "Minutes. A siphon does not stop by itself.",
  inAbsence: "for-sitter",
  onDelayMs: 2_000,
  offDelayMs: 60_000,
  deadband: null,
  limit: "high float wet",
  clears: "cleared",
  suppressedWhen:
    "during a hold and five minutes around a stop or start of the return pump, unless top-off is locked by it",
  stands: (facts, _settings, isActive) =>
    isOn(facts.contacts["high-float"], isActive) || causeStands(waterLatch(facts, LOCKOUT)),
  suppressed: levelIsMoving,
  lockedOut: (facts) => waterLatch(facts, LOCKOUT) !== null,
  detail: (facts) => unknownWords(facts, "high-float"),
};
