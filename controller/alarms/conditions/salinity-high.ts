import { type Condition, never } from "../condition.ts";
import { isFitted, isHigh, salinityIsDisturbed, salinityWords, WHEN_SALINITY_IS_DISTURBED } from "../evidence.ts";

const DEADBAND = 0.2;

export const salinityHigh: Condition = {
  id: "salinity-high",
  title: "Salinity too high",
  priority: "low",
  cause: "Evaporated water was not replaced, the reservoir is not fresh, or the probe's calibration is off.",
  consequence: "It may go on rising.",
  whatToDo:
    "Measure the salinity by hand and enter it. If it is true, see whether top-off pours and whether the reservoir holds fresh water.",
  timeToRespond: "A day.",
  inAbsence: "for-keeper",
  onDelayMs: 900_000,
  offDelayMs: 3_600_000,
  deadband: "0.2",
  limit: "1 above the target or higher",
  clears: "acknowledged",
  suppressedWhen: WHEN_SALINITY_IS_DISTURBED,
  stands: ({ quantities: { salinity } }, { targets, alarms }, isActive) =>
    isFitted(salinity) && isHigh(salinity.value, targets.salinity + alarms.salinityWithin, DEADBAND, isActive),
  suppressed: salinityIsDisturbed,
  lockedOut: never,
  detail: salinityWords,
};
