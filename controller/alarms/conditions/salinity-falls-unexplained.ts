import { type Condition, never } from "../condition.ts";
import { isFitted, isLow, salinityIsDisturbed, WHEN_SALINITY_IS_DISTURBED } from "../evidence.ts";

const FALL_PER_DAY = -0.3;
const DEADBAND_PER_DAY = 0.1;
const SURE = 0.8;

export const salinityFallsUnexplained: Condition = {
  id: "salinity-falls-unexplained",
  title: "Salinity falls and no water explains it",
  priority: "medium",
  cause:
    "Salt is lost: by skimmed water, by salt creep, by salt water that somebody takes out; or the probe is fouling.",
  consequence: "If it is true, it goes on falling, and nothing that is poured will raise it.",
  whatToDo:
    "Measure the salinity by hand and enter it. If it has stayed, clean and calibrate the probe. If it fell, look for salt creep and skimmed water, and raise it with salt water, no more than 1 a day.",
  timeToRespond: "Half a day.",
  inAbsence: "for-keeper",
  onDelayMs: 0,
  offDelayMs: 7_200_000,
  deadband: "0.1 a day",
  limit: "falls by 0.3 a day or more while the ledger is 80 % sure that no water explains it",
  clears: "acknowledged",
  suppressedWhen: WHEN_SALINITY_IS_DISTURBED,
  // Once hand tests have shown that the probe drifts, the water is not what falls.
  stands: ({ ledger: { belief, sureness, settled, salinityPerDay }, quantities: { salinity } }, _settings, isActive) =>
    isFitted(salinity) &&
    belief === "probe-drift-or-slow-salt-loss" &&
    sureness >= SURE &&
    settled !== "probe-drift" &&
    salinityPerDay !== null &&
    isLow(salinityPerDay.value, FALL_PER_DAY, DEADBAND_PER_DAY, isActive),
  suppressed: salinityIsDisturbed,
  lockedOut: never,
  detail: ({ ledger: { salinityPerDay } }) =>
    salinityPerDay === null ? null : `by ${Math.abs(salinityPerDay.value).toFixed(1)} a day`,
};
