import type { Decibars, MillisiemensPerCm } from "../units/index.ts";

/** rt: how the conductivity of standard sea water changes with temperature t68 [°C], at SP 35 and p = 0; rt(15) = 1.
 *  Source: Fofonoff & Millard 1983, UNESCO Tech. Pap. Mar. Sci. 44, p. 7. Valid −2…35 °C, continued to 40. */
export const rt = (t: number): number =>
  0.6766097 + t * (2.00564e-2 + t * (1.104259e-4 + t * (-6.9698e-7 + t * 1.0031e-9)));

/** Rp: how pressure p [dbar] raises the conductivity of a water of ratio R at t68 [°C]; Rp(p = 0) = 1.
 *  Source: the same, p. 7. Valid 0…10 000 dbar. */
export const Rp = (R: number, t: number, p: number): number => 1 + pressureTerm(p) / (A(t) + B(t) * R);

/** Rt, from conductivity [mS/cm]: the ratio at the sample's own temperature and surface pressure, which alone fixes the
 *  salinity. R is the ratio to 42.914 mS/cm, standard sea water of SP 35 at t68 = 15 °C and surface pressure.
 *  Source of that figure: Culkin & Smith 1980, IEEE J. Oceanic Eng. 5, 22–23; UNESCO 44 (1983). */
export function RtFromConductivity(conductivity: MillisiemensPerCm, t: number, p: Decibars): number {
  const R = conductivity * (1 / 42.914);
  return p === 0 ? R / rt(t) : R / (rt(t) * Rp(R, t, p));
}

/** The inverse: conductivity [mS/cm] from Rt at t68 [°C] and pressure [dbar]. */
export function conductivityFromRt(Rt: number, t: number, p: Decibars): MillisiemensPerCm {
  const R = Rt * rt(t);
  return (42.914 * (p === 0 ? R : underPressure(R, t, p))) as MillisiemensPerCm;
}

/** Rp depends on the ratio R that it makes: R = Ra (1 + e / (A + B R)) is a quadratic in R with one positive root. */
function underPressure(Ra: number, t: number, p: number): number {
  const b = A(t) - B(t) * Ra;
  const c = Ra * (A(t) + pressureTerm(p));
  return (-b + Math.sqrt(b * b + 4 * B(t) * c)) / (2 * B(t));
}

const pressureTerm = (p: number): number => p * (2.07e-5 + p * (-6.37e-10 + p * 3.989e-15));
const A = (t: number): number => 1 + t * (3.426e-2 + t * 4.464e-4);
const B = (t: number): number => 4.215e-1 - 3.107e-3 * t;
