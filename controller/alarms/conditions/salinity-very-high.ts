import { type Condition, never } from "../condition.ts";
import { isFitted, isHigh, salinityIsDisturbed, salinityWords, WHEN_SALINITY_IS_DISTURBED } from "../evidence.ts";

const DEADBAND = 0.2;

export const salinityVeryHigh: Condition = {
  id: "salinity-very-high",
  title: "Salinity far too high",
  priority: "medium",
  cause: "Evaporated water was not replaced, too strong salt water was added, or the probe's calibration is off.",
  consequence: "Corals and shrimps suffer.",
  whatToDo:
    "Measure the salinity by hand first and enter it. If it is true, see why top-off does not pour and lower it with fresh water, no more than 1 a day.",
  timeToRespond: "Half a day.",
  inAbsence: "for-keeper",
  onDelayMs: 900_000,
  offDelayMs: 3_600_000,
  deadband: "0.2",
  limit: "2 above the target or higher",
  clears: "acknowledged",
  suppressedWhen: WHEN_SALINITY_IS_DISTURBED,
  stands: ({ quantities: { salinity } }, { targets, alarms }, isActive) =>
    isFitted(salinity) && isHigh(salinity.value, targets.salinity + alarms.salinityLimit, DEADBAND, isActive),
  suppressed: salinityIsDisturbed,
  lockedOut: never,
  detail: salinityWords,
};
