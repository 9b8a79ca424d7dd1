import type { Celsius, Decibars, MillisiemensPerCm, PracticalSalinity } from "../units/index.ts";
import { decibars, millisiemensPerCm, refused } from "../units/index.ts";
import { hill1986, hill1986Slope, JOINED_AT_SP } from "./hill1986.ts";
import { conductivityFromRt, pss78, pss78Slope } from "./pss78.ts";
import { inFit, salinityInRange } from "./range.ts";
import { t68FromT90 } from "./temperature-scale.ts";

const SURFACE = decibars(0);

/** Conductivity [mS/cm] of sea water of practical salinity SP at temperature [°C, ITS-90] and sea pressure [dbar]:
 *  the inverse of practicalSalinity, by Newton's method on its own polynomial, to the last digits of a double.
 *  Source and range as there; outside, or not finite: null. SP 0 is water without ions, 0 mS/cm.
 *  Check: UNESCO 44 p. 14, SP 40 at t68 30 °C and 0 dbar is 42.914 × 1.529967 mS/cm. */
export function conductivityFromSalinity(
  SP: PracticalSalinity,
  t90C: Celsius,
  pDbar: Decibars = SURFACE,
): MillisiemensPerCm | null {
  if (!salinityInRange(SP) || !inFit(t90C, pDbar)) return refused();
  if (SP === 0) return millisiemensPerCm(0);
  const t = t68FromT90(t90C);
  const x = SP >= JOINED_AT_SP ? solvePss78(SP, t) : solveHill(SP, t);
  return conductivityFromRt(x * x, t, pDbar);
}

/** √(SP/35) is within 8 % of x over the whole range; Newton's steps square the error each time. */
function solvePss78(SP: number, t: number): number {
  let x = Math.sqrt(SP / 35);
  for (let left = 5; left; left--) x -= (pss78(x, t) - SP) / pss78Slope(x, t);
  return x;
}

/** Hill's curve dips below zero near x = 0.003. Starting above the root keeps Newton's steps on the rising side. */
function solveHill(SP: number, t: number): number {
  let x = 1.2 * Math.sqrt(SP / 35) + 0.01;
  for (let left = 9; left; left--) x -= (hill1986(x, t) - SP) / hill1986Slope(x, t);
  return x;
}
