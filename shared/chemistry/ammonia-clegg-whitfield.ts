import { temperatureInRange } from "../seawater/range.ts";
import type { Celsius, Fraction, PracticalSalinity, Quantity } from "../units/index.ts";
import { kelvinFromCelsius, refused } from "../units/index.ts";
import type { PhTotal } from "./ph.ts";
import { phInRange } from "./ph.ts";
import { unionisedShare } from "./unionised-share.ts";

/** pKa of the ammonium ion in sea water, for pH on the total scale and concentrations per kilogram of *water*. */
export type AmmoniumPkaTotal = Quantity<"pKa total scale">;

const SALTIEST = 40;

/** pKa of NH₄⁺ from practical salinity and temperature [°C, ITS-90], total pH scale, mol per kg of water.
 *  Source: Clegg & Whitfield 1995, Geochim. Cosmochim. Acta 59, 2403–2421, eq. 18; within 5 % in Ka, as they claim.
 *  Valid SP 0…40, −2…40 °C; outside, or not finite: null.
 *  Check: SP 35 at 25 °C is 9.2303; at SP 0 and 25 °C 9.2446 by construction. Per kilogram of *sea water* it is
 *  0.0155 higher at SP 35, and a fraction of 5.56 % at pH 8 becomes 5.37 %: less than the equation's own doubt. */
export function ammoniumPkaTotal(SP: PracticalSalinity, t90C: Celsius): AmmoniumPkaTotal | null {
  if (!(SP >= 0 && SP <= SALTIEST) || !temperatureInRange(t90C)) return refused();
  const T = kelvinFromCelsius(t90C);
  const rootT = Math.sqrt(T);
  const s = Math.sqrt(SP);
  const pKa =
    9.244605 -
    2729.33 * (1 / 298.15 - 1 / T) +
    (0.04203362 - 11.24742 / T) * Math.sqrt(s) +
    (-13.6416 + 1.176949 * rootT - 0.02860785 * T + 545.4834 / T) * s +
    (-0.1462507 + 0.0090226468 * rootT - 0.0001471361 * T + 10.5425 / T) * SP * s +
    (0.004669309 - 0.0001691742 * rootT - 0.5677934 / T) * SP * SP +
    (-2.354039e-5 + 0.009698623 / T) * SP * SP * s;
  return pKa as AmmoniumPkaTotal;
}

/** Share of the total ammonia that is un-ionised NH₃, by mass as N and by moles alike, for pH on the total scale.
 *  Check: pH 8, 25 °C, SP 35 is 0.0556; pH 7.8 is 0.0358. */
export function unionisedAmmoniaTotal(pH: PhTotal, SP: PracticalSalinity, t90C: Celsius): Fraction | null {
  const pKa = ammoniumPkaTotal(SP, t90C);
  return pKa === null || !phInRange(pH) ? refused() : unionisedShare(pH, pKa);
}
