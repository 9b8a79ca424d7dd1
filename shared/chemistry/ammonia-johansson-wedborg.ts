import { salinityInRange, temperatureInRange } from "../seawater/range.ts";
import type { Celsius, Fraction, PracticalSalinity, Quantity } from "../units/index.ts";
import { refused } from "../units/index.ts";
import type { PhNbs } from "./ph.ts";
import { phInRange } from "./ph.ts";
import { unionisedShare } from "./unionised-share.ts";

/** pKa of the ammonium ion in sea water, for pH of a meter calibrated in dilute buffers. */
export type AmmoniumPkaNbs = Quantity<"pKa NBS scale">;

/** pKa of NH₄⁺ from practical salinity and temperature [°C, ITS-90], for pH of a meter calibrated in NBS buffers.
 *  Source: Johansson & Wedborg 1980, as given by Bell et al. 2007, Environ. Chem. 4, 183–186, corrigendum 2008. The
 *  coefficients agree in three public codes; that they are Johansson & Wedborg's, and the pH scale, is from memory
 *  (one description traces them to the *data* of Khoo et al. 1977). They are not the expression printed in Khoo et al.,
 *  which Bell et al. showed to be up to 500 % too high and which has no place here.
 *  Valid SP 0…42 and 5…25 °C as measured (from memory), a straight line beyond; refused outside −2…40 °C: null.
 *  Check: SP 35 at 25 °C is 9.3609; 0.10…0.14 above Clegg & Whitfield, nearly all of it the difference of scale. */
export function ammoniumPkaNbs(SP: PracticalSalinity, t90C: Celsius): AmmoniumPkaNbs | null {
  if (!salinityInRange(SP) || !temperatureInRange(t90C)) return refused();
  return (10.0423 - 0.0315536 * t90C + 0.003071 * SP) as AmmoniumPkaNbs;
}

/** Share of the total ammonia that is un-ionised NH₃, by mass as N and by moles alike, for pH of such a meter.
 *  Check: pH 8.2, 26 °C, SP 35 is 0.0691. */
export function unionisedAmmoniaNbs(pH: PhNbs, SP: PracticalSalinity, t90C: Celsius): Fraction | null {
  const pKa = ammoniumPkaNbs(SP, t90C);
  return pKa === null || !phInRange(pH) ? refused() : unionisedShare(pH, pKa);
}
