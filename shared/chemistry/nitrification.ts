import type { MilligramsPerLitreCaCO3, Quantity } from "../units/index.ts";
import { milligramsPerLitreCaCO3 } from "../units/index.ts";
import { isAmount } from "./amount.ts";
import type { MilligramsPerLitreN } from "./nitrogen-basis.ts";
import { milligramsPerLitreN } from "./nitrogen-basis.ts";

export type MilligramsPerLitreO2 = Quantity<"mg/L O2">;

/** Source for all three: Ebeling, Timmons & Bisogni 2006, Aquaculture 257, 346–358 (figures from memory). They count
 *  the cells that grow as well; without growth it would be 4.57 g O₂, 7.14 g CaCO₃ and 1 g NO₃-N per g N. */
const CACO3_PER_N = 7.05;
const O2_PER_N = 4.18;
const NITRATE_N_PER_N = 0.976;

/** Alkalinity used up [mg/L as CaCO₃] when bacteria turn total ammonia [mg/L as N] into nitrate.
 *  Source above. Valid for any amount; negative or not finite: null.
 *  Check: 16 mg/L of N use 113 mg/L as CaCO₃, which is 2.26 meq/L or 6.3 dKH: most of a fresh mix's alkalinity. */
export function alkalinityUsed(ammonia: MilligramsPerLitreN): MilligramsPerLitreCaCO3 | null {
  return isAmount(ammonia) ? milligramsPerLitreCaCO3(CACO3_PER_N * ammonia) : null;
}

/** Nitrate made [mg/L as N] from total ammonia [mg/L as N]; 2.4 % of the nitrogen stays in the bacteria. */
export function nitrateMade(ammonia: MilligramsPerLitreN): MilligramsPerLitreN | null {
  return isAmount(ammonia) ? milligramsPerLitreN(NITRATE_N_PER_N * ammonia) : null;
}

/** Oxygen used [mg/L] on the way from total ammonia [mg/L as N] to nitrate. */
export function oxygenUsed(ammonia: MilligramsPerLitreN): MilligramsPerLitreO2 | null {
  return isAmount(ammonia) ? ((O2_PER_N * ammonia) as MilligramsPerLitreO2) : null;
}
