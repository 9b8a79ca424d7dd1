import { THERMOMETERS_AGREE_K } from "../../../shared/settings/index.ts";
import { type Condition, never } from "../condition.ts";
import { degrees } from "../evidence.ts";

const DEADBAND_K = 0.2;
/** Nobody has calibrated the cell's own thermometer. */
const CELL_AGREES_K = 1.3;

const isFar = (one: number | null, other: number | null, mostK: number): boolean =>
  one !== null && other !== null && Math.abs(one - other) > mostK;

export const thermometersDisagree: Condition = {
  id: "thermometers-disagree",
  title: "The thermometers disagree",
  priority: "medium",
  cause: "One of them drifts or hangs in standing water, or the flow between them is blocked.",
  consequence: "The heater follows what follows it, or the warmer one, so the box may be colder than it should be.",
  whatToDo: "Hold a third thermometer into the water near each. Replace the one that is wrong, or restore the flow.",
  timeToRespond: "A day.",
  inAbsence: "for-keeper",
  onDelayMs: 300_000,
  offDelayMs: 600_000,
  deadband: "0.2 K",
  limit: "more than 0.7 K apart, or the conductivity probe's own more than 1.3 K from what the heat goes by",
  clears: "by-itself",
  suppressedWhen: "never; a thermometer that reads bad is not compared",
  stands: (facts, _settings, isActive) => {
    const [one, other] = facts.thermometers;
    const moreK = isActive ? DEADBAND_K : 0;
    if (isFar(one.value, other.value, THERMOMETERS_AGREE_K - moreK)) return true;
    const { temperature, cellTemperature } = facts.quantities;
    return isFar(temperature.value, cellTemperature.value, CELL_AGREES_K - moreK);
  },
  suppressed: never,
  lockedOut: never,
  detail: ({ thermometers: [first, second], quantities: { temperature, cellTemperature } }) => {
    const isOfPair = isFar(first.value, second.value, THERMOMETERS_AGREE_K - DEADBAND_K);
    const [one, other] = isOfPair ? [first, second] : [temperature, cellTemperature];
    return one.value === null || other.value === null ? null : `${degrees(one.value)} and ${degrees(other.value)}`;
  },
};
