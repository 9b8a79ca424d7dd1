/** The polynomial of the Practical Salinity Scale 1978: SP from Rt and temperature t68 [°C].
 *  Source: Lewis 1980, IEEE J. Oceanic Eng. 5, 3–8; UNESCO Tech. Pap. Mar. Sci. 44 (1983), p. 6.
 *  Fitted for 2 ≤ SP ≤ 42 and −2…35 °C; the caller guards the range. x is √Rt, in which the scale is a polynomial.
 *  Check: x = 1 gives 35 at every temperature (Σa = 35, Σb = 0 by design). */
export const pss78 = (x: number, t: number): number =>
  a0 +
  x * (a1 + x * (a2 + x * (a3 + x * (a4 + x * a5)))) +
  f(t) * (b0 + x * (b1 + x * (b2 + x * (b3 + x * (b4 + x * b5)))));

/** dSP/dx of the same polynomial. */
export const pss78Slope = (x: number, t: number): number =>
  a1 +
  x * (2 * a2 + x * (3 * a3 + x * (4 * a4 + x * 5 * a5))) +
  f(t) * (b1 + x * (2 * b2 + x * (3 * b3 + x * (4 * b4 + x * 5 * b5))));

/** The temperature function of the scale's second sum, zero at 15 °C. */
export const f = (t: number): number => (t - 15) / (1 + 0.0162 * (t - 15));

export const a0 = 0.008;
export const b0 = 0.0005;
const a1 = -0.1692;
const a2 = 25.3851;
const a3 = 14.0941;
const a4 = -7.0261;
const a5 = 2.7081;
const b1 = -0.0056;
const b2 = -0.0066;
const b3 = -0.0375;
const b4 = 0.0636;
const b5 = -0.0144;
