import type { LitresPerDay } from "../units/index.ts";
import { driving, type OpenWater } from "./open-water.ts";

const SECONDS_PER_DAY = 86_400;
/** Between 0.5 for an unoccupied pool (from memory) and the 0.74 measured by Smith, Jones & Löf, ASHRAE Trans. 1998. */
const UNDISTURBED = 0.6;

/** Evaporation [L/d] by the pool formula: W = A (p_w − p_a)(0.089 + 0.0782 v) / Y [kg/s], pressures in kPa, v in m/s,
 *  Y the latent heat 2501 − 2.361 t [kJ/kg], times an activity factor.
 *  Source: ASHRAE Handbook, HVAC Applications, natatoriums (Carrier's formula). Range as vapour-pressure; where the
 *  air is moister than the water's surface nothing evaporates: 0.
 *  Check: 2.37 L/d at full activity for the worked tank of evaporation-band.ts, 1.42 with 0.6. */
export function evaporationPool(open: OpenWater, activity: number = UNDISTURBED): LitresPerDay | null {
  const pressure = driving(open);
  if (pressure === null || !(activity >= 0 && activity <= 1)) return null;
  const latentHeat = 2501 - 2.361 * open.waterC;
  const kgPerSecond = (open.surface * (pressure.water - pressure.air) * (0.089 + 0.0782 * open.airSpeed)) / latentHeat;
  return Math.max(0, kgPerSecond * activity * SECONDS_PER_DAY) as LitresPerDay;
}
