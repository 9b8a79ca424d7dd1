import { type Condition, never } from "../condition.ts";
import { isFitted, isLow, salinityIsDisturbed, salinityWords, WHEN_SALINITY_IS_DISTURBED } from "../evidence.ts";

const DEADBAND = 0.2;

export const salinityVeryLow: Condition = {
  id: "salinity-very-low",
  title: "Salinity far too low",
  priority: "medium",
  cause:
    "Too much fresh water came in, salt water leaked and was replaced by fresh water, or the probe is fouled or holds air.",
  consequence: "Corals and shrimps suffer; most fish bear it for a while.",
  whatToDo:
    "Measure the salinity by hand first and enter it. If it is true, look for a leak and a siphon and raise it with salt water, no more than 1 a day.",
  timeToRespond: "Half a day.",
  inAbsence: "for-keeper",
  onDelayMs: 900_000,
  offDelayMs: 3_600_000,
  deadband: "0.2",
  limit: "2 below the target or lower",
  clears: "acknowledged",
  suppressedWhen: WHEN_SALINITY_IS_DISTURBED,
  stands: ({ quantities: { salinity } }, { targets, alarms }, isActive) =>
    isFitted(salinity) && isLow(salinity.value, targets.salinity - alarms.salinityLimit, DEADBAND, isActive),
  suppressed: salinityIsDisturbed,
  lockedOut: never,
  detail: salinityWords,
};
