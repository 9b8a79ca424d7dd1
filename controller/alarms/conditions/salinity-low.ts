import { type Condition, never } from "../condition.ts";
import { isFitted, isLow, salinityIsDisturbed, salinityWords, WHEN_SALINITY_IS_DISTURBED } from "../evidence.ts";

const DEADBAND = 0.2;

export const salinityLow: Condition = {
  id: "salinity-low",
  title: "Salinity too low",
  priority: "low",
  cause: "A little too much fresh water, salt lost by skimming or leaking, or a fouled probe: a dirty probe reads low.",
  consequence: "It may go on falling.",
  whatToDo:
    "Measure the salinity by hand and enter it. If it is true, mix the water of the next change a little stronger; if not, clean the probe.",
  timeToRespond: "A day.",
  inAbsence: "for-keeper",
  onDelayMs: 900_000,
  offDelayMs: 3_600_000,
  deadband: "0.2",
  limit: "1 below the target or lower",
  clears: "acknowledged",
  suppressedWhen: WHEN_SALINITY_IS_DISTURBED,
  stands: ({ quantities: { salinity } }, { targets, alarms }, isActive) =>
    isFitted(salinity) && isLow(salinity.value, targets.salinity - alarms.salinityWithin, DEADBAND, isActive),
  suppressed: salinityIsDisturbed,
  lockedOut: never,
  detail: salinityWords,
};
