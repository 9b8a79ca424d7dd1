import { THERMOMETERS_AGREE_K } from "../../../shared/settings/index.ts";
import { type Condition, never } from "../condition.ts";
import { degrees } from "../evidence.ts";

const DEADBAND_K = 0.2;

export const thermometersDisagree: Condition = {
  id: "thermometers-disagree",
  title: "The thermometers disagree",
  priority: "medium",
  cause: "One of them drifts or hangs in standing water, or the flow between them is blocked.",
  consequence: "The heater follows the warmer one, so the box may be colder than it should be.",
  whatToDo: "Hold a third thermometer into the water near each. Replace the one that is wrong, or restore the flow.",
  timeToRespond: "A day.",
  inAbsence: "for-keeper",
  onDelayMs: 300_000,
  offDelayMs: 600_000,
  deadband: "0.2 K",
  limit: "more than 0.7 K apart",
  clears: "by-itself",
  suppressedWhen: "never; a thermometer that reads bad is not compared",
  stands: ({ thermometers }, _settings, isActive) => {
    const [one, other] = [thermometers[0].value, thermometers[1].value];
    if (one === null || other === null) return false;
    const apartK = Math.abs(one - other);
    return apartK > (isActive ? THERMOMETERS_AGREE_K - DEADBAND_K : THERMOMETERS_AGREE_K);
  },
  suppressed: never,
  lockedOut: never,
  detail: ({ thermometers: [first, second] }) =>
    first.value === null || second.value === null ? null : `${degrees(first.value)} and ${degrees(second.value)}`,
};
