import type { Celsius, Decibars, MillisiemensPerCm, PracticalSalinity } from "../units/index.ts";
import { decibars, refused } from "../units/index.ts";
import { RtFromConductivity } from "./conductivity-ratio.ts";
import { hill1986 } from "./hill1986.ts";
import { pss78 } from "./pss78.ts";
import { inFit, salinityInRange } from "./range.ts";
import { t68FromT90 } from "./temperature-scale.ts";

const SURFACE = decibars(0);

/** Practical salinity (PSS-78) from conductivity [mS/cm], temperature [°C, ITS-90] and sea pressure [dbar].
 *  The conductivity is the real one at that temperature: undo an instrument's compensation first (rawConductivity).
 *  Source: UNESCO Tech. Pap. Mar. Sci. 44 (1983); below SP 2 Hill et al. 1986, joined as in TEOS-10.
 *  Valid for SP 0…42, −2…40 °C (35…40 extrapolated: salinityStanding), 0…10 000 dbar; outside, or not finite: null.
 *  Check: 42.914 mS/cm at 15 / 1.00024 °C and 0 dbar gives 35 within 1e-6 (definition of the scale). */
export function practicalSalinity(
  conductivityMsPerCm: MillisiemensPerCm,
  t90C: Celsius,
  pDbar: Decibars = SURFACE,
): PracticalSalinity | null {
  if (!inFit(t90C, pDbar)) return refused();
  const t = t68FromT90(t90C);
  // A negative conductivity has no root: NaN, like any other, then fails the comparisons with the range.
  const x = Math.sqrt(RtFromConductivity(conductivityMsPerCm, t, pDbar));
  const scale = pss78(x, t);
  const SP = scale < 2 ? +freshEnd(x, t) : scale;
  return salinityInRange(SP) ? (SP as PracticalSalinity) : refused();
}

/** At x = 0 the terms of Hill's equation cancel exactly on paper and not quite in a double. */
const freshEnd = (x: number, t: number): number => (x === 0 ? 0 : hill1986(x, t));
