import type { Fraction, Grams, Litres } from "../units/index.ts";
import { grams } from "../units/index.ts";
import { isAmount } from "./amount.ts";
import { MOLAR_MASS_N, MOLAR_MASS_NH4CL } from "./molar-masses.ts";
import type { MilligramsPerLitreN } from "./nitrogen-basis.ts";

/** Milligrams of pure NH₄Cl that carry one milligram of nitrogen: 3.81888. */
export const NH4CL_PER_N = MOLAR_MASS_NH4CL / MOLAR_MASS_N;

/** Ammonium chloride [g] that raises the total ammonia of a volume [L] by an amount [mg/L as N], from a product of the
 *  given purity (1 is pure). A target as NH₃ or NH₄⁺ is first brought to N (nitrogenFromNH3, nitrogenFromNH4).
 *  Source: molar masses. Purity not above 0 or over 1, an amount negative or not finite: null.
 *  Check: 100 US gallons to 2.00 mg/L as N take 2.8912 g; 130 L take 0.993 g. */
export function ammoniumChlorideDose(volumeL: Litres, rise: MilligramsPerLitreN, purity: Fraction): Grams | null {
  if (!isAmount(volumeL) || !isAmount(rise) || !(purity > 0 && purity <= 1)) return null;
  return grams((volumeL * rise * NH4CL_PER_N) / purity / 1000);
}
