import type { Kilograms, KilogramsPerCubicMetre, Kilopascals, Litres, SquareMetres } from "../units/index.ts";
import { kilograms, kilopascals } from "../units/index.ts";
import { isAmount, isPositive } from "./amount.ts";

const STANDARD_GRAVITY = 9.80665;

/** What stands on the floor. */
export type TankLoad = {
  readonly waterL: Litres;
  readonly waterDensity: KilogramsPerCubicMetre;
  readonly glass: Kilograms;
  readonly rockAndSand: Kilograms;
  readonly stand: Kilograms;
  readonly equipment: Kilograms;
};

/** Total mass [kg], the net water and everything else. Any part negative or not finite: null. */
export function totalMass(load: TankLoad): Kilograms | null {
  const water = (load.waterL * load.waterDensity) / 1000;
  const parts = [water, load.glass, load.rockAndSand, load.stand, load.equipment];
  return parts.every(isAmount) ? kilograms(parts.reduce((sum, part) => sum + part, 0)) : null;
}

/** Mean pressure [kPa] under a footprint [m²]: m g / A. A sum, never a verdict: whether a floor bears it depends on
 *  the joists, the span and the legs, and is for a structural engineer. Footprint not above zero, not finite: null.
 *  Check: 285 kg on 0.375 m² is 7.5 kPa. */
export function footprintPressure(mass: Kilograms, footprint: SquareMetres): Kilopascals | null {
  return isAmount(mass) && isPositive(footprint) ? kilopascals((mass * STANDARD_GRAVITY) / footprint / 1000) : null;
}
