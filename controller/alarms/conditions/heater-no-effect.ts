import type { HeatStatus, Reason } from "../../../shared/contract/index.ts";
import { type Condition, never } from "../condition.ts";
import { causeStands, heaterWords, heatLatch } from "../evidence.ts";

const LOCKOUT: readonly Reason[] = ["heater-no-effect"];

/** The finding, and not what it leads to at the moment: in warm water, or in the turn of another, it stands as well. */
const hasNone = ({ why, finding }: HeatStatus): boolean =>
  why === "heater-no-effect" || finding?.reason === "heater-no-effect";

export const heaterNoEffect: Condition = {
  id: "heater-no-effect",
  title: "The heater is on, the water does not follow",
  priority: "medium",
  cause:
    "The heater is broken or unplugged, its own thermostat is set too low, no water flows past it, or the thermometer hangs.",
  consequence: "The box cools towards the room, or is warmer than it is believed to be.",
  whatToDo:
    "Measure the temperature by hand. Look at the heater's plug, its lamp and its own thermostat; unplug it before hands go in, and never lift it out while it is hot.",
  timeToRespond: "Six hours.",
  inAbsence: "for-keeper",
  onDelayMs: 0,
  offDelayMs: 1_800_000,
  deadband: null,
  limit: "less than a quarter of the expected rise in an hour of heating",
  clears: "cleared",
  suppressedWhen: "never",
  stands: (facts) => {
    const latch = heatLatch(facts, LOCKOUT);
    return latch === null ? facts.heaters.some(hasNone) : causeStands(latch);
  },
  suppressed: never,
  lockedOut: (facts) => heatLatch(facts, LOCKOUT) !== null,
  detail: (facts) => heaterWords(facts, hasNone),
};
