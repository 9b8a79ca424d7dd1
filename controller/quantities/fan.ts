import type { Signal } from "../../shared/contract/signal.ts";
import type { Settings } from "../../shared/settings/schema.ts";

/** Whether the fan over the water blows, as far as the water tells. */
export type FanSeen = "off" | "on" | "unknown";

/** Two tenths for what thermometer and thermostat differ by, and half a kelvin for the thermostat's own play as well
 *  (*common practice*). Between the two nobody can say whether it blows. */
const SURELY_ON_K = 0.2;
const SURELY_OFF_K = 0.5;

/**
 * The fan has a thermostat of its own and no wire to us: only the water's temperature tells. Unknown is as good as off
 * where litres are owed: less is owed then, and a pour that changes nothing is noticed sooner. It has no memory, so that
 * a temperature that was lost leaves nothing behind.
 */
export function fanSeen({ value, quality }: Signal, fan: Settings["topOff"]["fan"]): FanSeen {
  if (fan === null) return "off";
  if (value === null || quality !== "good") return "unknown";
  if (value > fan.aboveC + SURELY_ON_K) return "on";
  return value < fan.aboveC - SURELY_OFF_K ? "off" : "unknown";
}
