import type { Celsius, Decibars, MillisiemensPerCm } from "../units/index.ts";

/** The Practical Salinity Scale 1978, as one equation from conductivity [mS/cm], temperature [°C, ITS-90] and sea
 *  pressure [dbar]; SP as the polynomial has it, also below 2, where hill1986 goes on.
 *  Source: Lewis 1980, IEEE J. Oceanic Eng. 5, 3–8; Fofonoff & Millard 1983, UNESCO Tech. Pap. Mar. Sci. 44, p. 6–7.
 *  Fitted for 2 ≤ SP ≤ 42, −2…35 °C, 0…10 000 dbar. Outside −2…40 °C or the pressures: NaN; salinity is the caller's
 *  to guard. Limits, coefficients and the change of temperature scale stand in the line, and everything in one file:
 *  it is called more than anything else here, and so it keeps ahead of the reference library's C code. */
export function pss78FromConductivity(conductivity: MillisiemensPerCm, t90C: Celsius, p: Decibars): number {
  if (!(t90C >= -2 && t90C <= 40)) return Number.NaN;
  const t = 1.00024 * t90C;
  return pss78(Math.sqrt(RtFromConductivity(conductivity, t, p)), t);
}

/** SP from x = √Rt and temperature t68 [°C]: Σ (aᵢ + f bᵢ) xⁱ, i = 0…5, with f(t) = (t − 15)/(1 + 0.0162 (t − 15)).
 *  Check: x = 1 gives 35 at every temperature (Σa = 35, Σb = 0 by design). */
export function pss78(x: number, t: number): number {
  const f = (t - 15) / (1 + 0.0162 * (t - 15));
  const third = 14.0941 - 0.0375 * f + x * (-7.0261 + 0.0636 * f + x * (2.7081 - 0.0144 * f));
  return 0.008 + 0.0005 * f + x * (-0.1692 - 0.0056 * f + x * (25.3851 - 0.0066 * f + x * third));
}

/** dSP/dx of the same: Σ i aᵢ xⁱ⁻¹ + f(t) Σ i bᵢ xⁱ⁻¹. */
export const pss78Slope = (x: number, t: number): number =>
  -0.1692 +
  x * (50.7702 + x * (42.2823 + x * (-28.1044 + x * 13.5405))) +
  f(t) * (-0.0056 + x * (-0.0132 + x * (-0.1125 + x * (0.2544 + x * -0.072))));

/** The temperature function of the scale's second sum, zero at 15 °C. */
export const f = (t: number): number => (t - 15) / (1 + 0.0162 * (t - 15));

/** Rt, the ratio of conductivities at the sample's own temperature and surface pressure, which alone fixes the salinity.
 *  R is the ratio to 42.914 mS/cm, standard sea water of SP 35 at t68 = 15 °C and surface pressure.
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

/** How the conductivity of standard sea water changes with temperature, at SP 35 and p = 0; rt(15) = 1. */
const rt = (t: number): number =>
  0.6766097 + t * 2.00564e-2 + t * t * (1.104259e-4 + t * -6.9698e-7 + t * t * 1.0031e-9);

/** How pressure raises the conductivity of a water of ratio R; Rp(p = 0) = 1. */
const Rp = (R: number, t: number, p: number): number => 1 + pressureTerm(p) / (A(t) + B(t) * R);

/** Rp depends on the ratio R that it makes: R = Ra (1 + e / (A + B R)) is a quadratic in R with one positive root. */
function underPressure(Ra: number, t: number, p: number): number {
  const b = A(t) - B(t) * Ra;
  const c = Ra * (A(t) + pressureTerm(p));
  return (-b + Math.sqrt(b * b + 4 * B(t) * c)) / (2 * B(t));
}

/** NaN outside 0…10 000 dbar. */
const pressureTerm = (p: number): number =>
  p >= 0 && p <= 10_000 ? p * (2.07e-5 + p * (-6.37e-10 + p * 3.989e-15)) : Number.NaN;
const A = (t: number): number => 1 + t * (3.426e-2 + t * 4.464e-4);
const B = (t: number): number => 4.215e-1 - 3.107e-3 * t;
