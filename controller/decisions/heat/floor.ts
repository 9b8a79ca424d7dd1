import type { HeatFacts } from "./facts.ts";
import type { HeatPlan } from "./plan.ts";

/**
 * A bound that doubt about the thermometers puts on heat never lets the coldest reading that follows the heater fall
 * below the low limit while the warmest is below the setpoint: what follows the heater is in the water, and the water is
 * cold. It shortens no pause that a new doubt has begun, and is no answer to a doubt about flow or heater.
 */
export const isAtFloor = ({ coldestAnsweringC, surelyWarmest }: HeatFacts, plan: HeatPlan): boolean =>
  coldestAnsweringC !== null &&
  coldestAnsweringC < plan.lowC &&
  surelyWarmest.value !== null &&
  surelyWarmest.value < plan.setpointC;
