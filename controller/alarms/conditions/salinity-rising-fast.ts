import { type Condition, never } from "../condition.ts";
import { isFitted, isHigh, salinityIsDisturbed, WHEN_SALINITY_IS_DISTURBED } from "../evidence.ts";

const LIMIT_PER_6H = 0.5;
const DEADBAND_PER_6H = 0.1;

export const salinityRisingFast: Condition = {
  id: "salinity-rising-fast",
  title: "Salinity is rising fast",
  priority: "low",
  cause: "The reservoir does not hold fresh water, or salt or strong salt water was added.",
  consequence: "Top-off would make it worse.",
  whatToDo: "Measure the salinity of the reservoir and of the tank by hand. Empty the reservoir if it is not fresh.",
  timeToRespond: "Half a day.",
  inAbsence: "for-keeper",
  onDelayMs: 1_800_000,
  offDelayMs: 7_200_000,
  deadband: "0.1 in 6 h",
  limit: "rises by 0.5 or more in 6 h",
  clears: "acknowledged",
  suppressedWhen: WHEN_SALINITY_IS_DISTURBED,
  stands: ({ quantities: { salinity, salinityChangePer6h } }, _settings, isActive) =>
    isFitted(salinity) && isHigh(salinityChangePer6h, LIMIT_PER_6H, DEADBAND_PER_6H, isActive),
  suppressed: salinityIsDisturbed,
  lockedOut: never,
  detail: ({ quantities: { salinityChangePer6h } }) =>
    salinityChangePer6h === null ? null : `by ${Math.abs(salinityChangePer6h).toFixed(1)} in 6 h`,
};
