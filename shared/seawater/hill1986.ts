import { f, pss78, pss78Slope } from "./pss78.ts";

/** Where the extension to brackish water takes over from PSS-78. */
export const JOINED_AT_SP = 2;

/** Practical salinity below 2, from x = √Rt and temperature t68 [°C].
 *  Source: Hill, Dauphinee & Woods 1986, IEEE J. Oceanic Eng. 11, 109–112, multiplied by a factor of temperature that
 *  joins it to PSS-78 without a step at SP 2, as the GSW library of TEOS-10 does (plain Hill jumps there by up to 3.3e-4).
 *  Valid 0 ≤ SP < 2, 0…35 °C. Under about 1.3 µS/cm it falls below zero: purer water than the equation can tell,
 *  and the caller's business to refuse. */
export const hill1986 = (x: number, t: number): number => joiningFactor(t) * plainHill(x, pss78(x, t), t);

/** dSP/dx of the same, for the inverse. */
export function hill1986Slope(x: number, t: number): number {
  const X = 1 + x * x * (600 + x * x * 160_000);
  const Y = 1 + 10 * x * (1 + 10 * x * (1 + 10 * x));
  const dX = x * (1200 + x * x * 640_000);
  const dY = 10 + x * (200 + x * 3000);
  return joiningFactor(t) * (pss78Slope(x, t) + (0.008 * dX) / (X * X) + (0.0005 * f(t) * dY) / (Y * Y));
}

/** What Hill et al. subtract from PSS-78: a₀ / (1 + 1.5 X + X²) + b₀ f(t) / (1 + √Y + Y + Y√Y), with a₀ = 0.008 and
 *  b₀ = 0.0005 of that scale, X = 400 Rt and Y = 100 Rt. In x = √Rt the two denominators are 1 + 600 x² + 160 000 x⁴
 *  and 1 + 10 x + 100 x² + 1000 x³. */
function plainHill(x: number, SP: number, t: number): number {
  const X = 1 + x * x * (600 + x * x * 160_000);
  const Y = 1 + 10 * x * (1 + 10 * x * (1 + 10 * x));
  return SP - 0.008 / X - (0.0005 * f(t)) / Y;
}

/** 2 over what plain Hill says of the water that PSS-78 calls 2. */
export const joiningFactor = (t: number): number => JOINED_AT_SP / plainHill(xWherePss78Is2(t), JOINED_AT_SP, t);

/** Newton's steps from a straight line that is already good to 1e-3; two bring the factor to its last digit. */
function xWherePss78Is2(t: number): number {
  let x = 0.2641 + 1.3e-4 * t;
  x -= (pss78(x, t) - JOINED_AT_SP) / pss78Slope(x, t);
  x -= (pss78(x, t) - JOINED_AT_SP) / pss78Slope(x, t);
  return x;
}
