import { type Condition, never } from "../condition.ts";
import { isHigh } from "../evidence.ts";

const SHARE = 0.5;
const DEADBAND_SHARE = 0.05;

export const excessLitresRising: Condition = {
  id: "excess-litres-rising",
  title: "More was poured than seems to evaporate",
  priority: "low",
  cause: "More evaporates than is believed, or fresh water replaces salt water that leaks, splashes or is skimmed off.",
  consequence: "At the limit top-off locks until the salinity is measured by hand.",
  whatToDo: "Measure the salinity by hand within a day or two and enter it.",
  timeToRespond: "A day.",
  inAbsence: "for-keeper",
  onDelayMs: 60_000,
  offDelayMs: 60_000,
  deadband: "5 % of the limit",
  limit: "half the litres at which top-off locks",
  clears: "by-itself",
  suppressedWhen: "never",
  stands: ({ topOff: { excessL, excessLimitL } }, _settings, isActive) =>
    isHigh(excessL, SHARE * excessLimitL, DEADBAND_SHARE * excessLimitL, isActive),
  suppressed: never,
  lockedOut: never,
  detail: ({ topOff }) => `${topOff.excessL.toFixed(1)} of ${topOff.excessLimitL.toFixed(1)} L`,
};
