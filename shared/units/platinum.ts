import type { Ohms } from "./electrical.ts";
import type { Celsius } from "./temperature.ts";
import { celsius } from "./temperature.ts";

/** Resistance at 0 °C of the two usual platinum sensors. */
export const PT100 = 100 as Ohms;
export const PT1000 = 1000 as Ohms;

const A = 3.9083e-3;
const B = -5.775e-7;
const C = -4.183e-12;
const COLDEST_C = -200;
const WARMEST_C = 850;

/** Resistance [Ω] of an industrial platinum thermometer at temperature [°C, ITS-90].
 *  R(t) = R0 (1 + A t + B t² + C (t − 100) t³), the last term below 0 °C only.
 *  Source: IEC 60751. Valid −200…850 °C; outside, or not finite: null. Check: Pt100 at 100 °C is 138.51 Ω. */
export function platinumResistance(t90C: Celsius, R0: Ohms): Ohms | null {
  if (!(R0 > 0 && R0 < Infinity) || !(t90C >= COLDEST_C && t90C <= WARMEST_C)) return null;
  return (R0 * ratio(t90C)) as Ohms;
}

/** Temperature [°C, ITS-90] from the resistance [Ω]: the inverse. Above 0 °C the quadratic is solved exactly; below,
 *  Newton's steps from the same root. Range as above. Check: Pt1000 at 1097.347 Ω is 25.000 °C. */
export function platinumTemperature(resistance: Ohms, R0: Ohms): Celsius | null {
  const r = resistance / R0;
  // An R0 that is none gives a ratio that is none.
  if (!(r >= ratio(COLDEST_C) && r <= ratio(WARMEST_C))) return null;
  let t = (-A + Math.sqrt(A * A - 4 * B * (1 - r))) / (2 * B);
  if (r < 1) for (let left = 4; left; left--) t -= (ratio(t) - r) / slopeBelowZero(t);
  return celsius(t);
}

const ratio = (t: number): number => 1 + t * (A + t * B) + (t < 0 ? C * (t - 100) * t * t * t : 0);
const slopeBelowZero = (t: number): number => A + 2 * B * t + C * t * t * (4 * t - 300);
