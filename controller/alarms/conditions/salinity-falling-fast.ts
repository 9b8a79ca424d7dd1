import { type Condition, never } from "../condition.ts";
import { isFitted, isLow, salinityIsDisturbed, WHEN_SALINITY_IS_DISTURBED } from "../evidence.ts";

const LIMIT_PER_6H = -0.5;
const DEADBAND_PER_6H = 0.1;

export const salinityFallingFast: Condition = {
  id: "salinity-falling-fast",
  title: "Salinity is falling fast",
  priority: "medium",
  cause: "Fresh water comes in that nothing evaporated, or salt water leaves and is replaced by fresh water.",
  consequence: "It shows a siphon or a leak before the limit is reached.",
  whatToDo:
    "Look for water on the floor and lift the top-off tube clear of the water. Measure the salinity by hand and enter it.",
  timeToRespond: "Three hours.",
  inAbsence: "for-keeper",
  onDelayMs: 1_800_000,
  offDelayMs: 7_200_000,
  deadband: "0.1 in 6 h",
  limit: "falls by 0.5 or more in 6 h",
  clears: "acknowledged",
  suppressedWhen: WHEN_SALINITY_IS_DISTURBED,
  stands: ({ quantities: { salinity, salinityChangePer6h } }, _settings, isActive) =>
    isFitted(salinity) && isLow(salinityChangePer6h, LIMIT_PER_6H, DEADBAND_PER_6H, isActive),
  suppressed: salinityIsDisturbed,
  lockedOut: never,
  detail: ({ quantities: { salinityChangePer6h } }) =>
    salinityChangePer6h === null ? null : `by ${Math.abs(salinityChangePer6h).toFixed(1)} in 6 h`,
};
