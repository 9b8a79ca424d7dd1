import { type Condition, never } from "../condition.ts";
import { isFitted, isHigh, salinityIsDisturbed, WHEN_SALINITY_IS_DISTURBED } from "../evidence.ts";

const RISE = 0.12;
const DEADBAND = 0.04;
const SURE = 0.8;

export const reservoirNotFresh: Condition = {
  id: "reservoir-not-fresh",
  title: "Salinity rises with the water that is poured",
  priority: "medium",
  cause:
    "The reservoir was filled with salt water or with water that is not pure; or the tube sucks tank water back; or the probe drifts upwards.",
  consequence: "Every pour makes the box saltier.",
  whatToDo:
    "Measure the salinity of the reservoir and of the tank by hand, and enter both. If the reservoir is not fresh, hold top-off, empty the reservoir, rinse it and fill it with fresh water.",
  timeToRespond: "Half a day.",
  inAbsence: "for-keeper",
  onDelayMs: 0,
  offDelayMs: 7_200_000,
  deadband: "0.04",
  limit: "rises by 0.12 over the last litre poured, or the ledger is 80 % sure of it",
  clears: "acknowledged",
  suppressedWhen: WHEN_SALINITY_IS_DISTURBED,
  stands: ({ ledger, quantities: { salinity } }, _settings, isActive) =>
    isFitted(salinity) &&
    ((ledger.belief === "reservoir-not-fresh" && ledger.sureness >= SURE) ||
      (ledger.risenOverPours !== null && isHigh(ledger.risenOverPours, RISE, DEADBAND, isActive))),
  suppressed: salinityIsDisturbed,
  lockedOut: never,
  detail: ({ ledger: { risenOverPours } }) =>
    risenOverPours === null ? null : `by ${Math.abs(risenOverPours).toFixed(2)} over the last litre`,
};
