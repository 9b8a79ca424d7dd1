/** The polynomial of the Practical Salinity Scale 1978: SP from Rt and temperature t68 [°C]. x is √Rt, in which the
 *  scale is Σ aᵢ xⁱ + f(t) Σ bᵢ xⁱ, i = 0…5, with f(t) = (t − 15) / (1 + 0.0162 (t − 15)).
 *  Source: Lewis 1980, IEEE J. Oceanic Eng. 5, 3–8; UNESCO Tech. Pap. Mar. Sci. 44 (1983), p. 6.
 *  Fitted for 2 ≤ SP ≤ 42 and −2…35 °C; the caller guards the range.
 *  Check: x = 1 gives 35 at every temperature (Σa = 35, Σb = 0 by design).
 *  The coefficients stand in the line, not in named constants: the compiler then keeps them in the machine code. */
export function pss78(x: number, t: number): number {
  const f = (t - 15) / (1 + 0.0162 * (t - 15));
  const a3b3 = 14.0941 - 0.0375 * f + x * (-7.0261 + 0.0636 * f + x * (2.7081 - 0.0144 * f));
  return 0.008 + 0.0005 * f + x * (-0.1692 - 0.0056 * f + x * (25.3851 - 0.0066 * f + x * a3b3));
}

/** dSP/dx of the same polynomial: Σ i aᵢ xⁱ⁻¹ + f(t) Σ i bᵢ xⁱ⁻¹. */
export const pss78Slope = (x: number, t: number): number =>
  -0.1692 +
  x * (50.7702 + x * (42.2823 + x * (-28.1044 + x * 13.5405))) +
  f(t) * (-0.0056 + x * (-0.0132 + x * (-0.1125 + x * (0.2544 + x * -0.072))));

/** The temperature function of the scale's second sum, zero at 15 °C. */
export const f = (t: number): number => (t - 15) / (1 + 0.0162 * (t - 15));
