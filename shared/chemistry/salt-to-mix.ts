import { absoluteSalinity, densityEos80 } from "../seawater/index.ts";
import type { Celsius, Grams, Litres, PracticalSalinity } from "../units/index.ts";
import { grams } from "../units/index.ts";
import { isAmount } from "./amount.ts";
import type { HydrateFactor } from "./hydrate-factor.ts";
import { gramsPerLitreOfMix, hydrateFactorInRange } from "./hydrate-factor.ts";

/** Salt product [g] to stir into a volume of *pure water* [L at its temperature, °C] for a practical salinity:
 *  m = w SA h / (1000 − SA h), with w the water's mass; the crystal water that comes along is counted.
 *  Source: conservation of mass. Valid SP 0…42, 0…40 °C, h 1…1.6; outside, or not finite: null.
 *  Check: dry salt (h 1), 1 L at 25 °C to 35 g/kg takes 36.16 g. */
export function saltForPureWater(
  waterL: Litres,
  waterC: Celsius,
  targetSP: PracticalSalinity,
  h: HydrateFactor,
): Grams | null {
  const SA = absoluteSalinity(targetSP);
  const density = densityEos80(0 as PracticalSalinity, waterC);
  if (SA === null || density === null || !isAmount(waterL) || !hydrateFactorInRange(h)) return null;
  return grams((waterL * density * SA * h) / (1000 - SA * h));
}

/** Salt product [g] in a volume of *finished sea water* [L] of a practical salinity at a temperature [°C].
 *  Check: dry salt, 1 L at 25 °C and 35 g/kg holds 35.82 g. */
export function saltForSeaWater(
  volumeL: Litres,
  t90C: Celsius,
  targetSP: PracticalSalinity,
  h: HydrateFactor,
): Grams | null {
  const perLitre = gramsPerLitreOfMix(h, targetSP, t90C);
  return perLitre === null || !isAmount(volumeL) ? null : grams(volumeL * perLitre);
}
