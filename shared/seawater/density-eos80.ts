import type { Celsius, KilogramsPerCubicMetre, PracticalSalinity } from "../units/index.ts";
import { refused } from "../units/index.ts";
import { salinityInRange, temperatureInRange } from "./range.ts";
import { t68FromT90 } from "./temperature-scale.ts";

/** Density [kg/m³] at one atmosphere from practical salinity and temperature [°C, ITS-90].
 *  Source: International Equation of State of Seawater 1980; Millero & Poisson 1981, Deep-Sea Res. 28A, 625–629;
 *  UNESCO Tech. Pap. Mar. Sci. 44 (1983), p. 17. Valid SP 0…42, −2…40 °C; outside, or not finite: null.
 *  Within 0.012 kg/m³ of TEOS-10 over that range, 0.006 over a tank's.
 *  Check: SP 35 at t68 25 °C is 1023.34306, SP 0 at t68 5 °C is 999.96675 (UNESCO 44 p. 19). */
export function densityEos80(SP: PracticalSalinity, t90C: Celsius): KilogramsPerCubicMetre | null {
  if (!salinityInRange(SP) || !temperatureInRange(t90C)) return refused();
  return rho(SP, t68FromT90(t90C)) as KilogramsPerCubicMetre;
}

/** The equation itself, S practical salinity and t on IPTS-68 [°C], without a guard: ρ = ρ_w + A S + B S^1.5 + C S². */
export const rho = (S: number, t: number): number => rhoWater(t) + salt(S, A(t), B(t));

/** Pure water on the same footing: Standard Mean Ocean Water, Bigg 1967. One formula above and below the line of a
 *  specific gravity; mixing two costs 0.003 in salinity. */
export const rhoWater = (t: number): number =>
  999.842594 + t * (6.793952e-2 + t * (-9.09529e-3 + t * (1.001685e-4 + t * (-1.120083e-6 + t * 6.536332e-9))));

/** What the salt adds, and its slope ∂/∂S, with A and B of one temperature; C is the same at all. */
export const salt = (S: number, A: number, B: number): number => S * (A + Math.sqrt(S) * B + S * 4.8314e-4);
export const saltSlope = (S: number, A: number, B: number): number => A + 1.5 * Math.sqrt(S) * B + S * 9.6628e-4;

export const A = (t: number): number =>
  8.24493e-1 + t * (-4.0899e-3 + t * (7.6438e-5 + t * (-8.2467e-7 + t * 5.3875e-9)));
export const B = (t: number): number => -5.72466e-3 + t * (1.0227e-4 + t * -1.6546e-6);
