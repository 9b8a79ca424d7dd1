import type { Celsius, Decibars, MillisiemensPerCm, PracticalSalinity } from "../units/index.ts";
import { decibars, refused } from "../units/index.ts";
import { hill1986 } from "./hill1986.ts";
import { pss78FromConductivity, RtFromConductivity } from "./pss78.ts";
import { t68FromT90 } from "./temperature-scale.ts";

const SURFACE = decibars(0);

/** Practical salinity (PSS-78) from conductivity [mS/cm], temperature [°C, ITS-90] and sea pressure [dbar].
 *  The conductivity is the real one at that temperature: undo an instrument's compensation first (rawConductivity).
 *  Source: UNESCO Tech. Pap. Mar. Sci. 44 (1983); below SP 2 Hill et al. 1986, joined as in TEOS-10.
 *  Valid for SP 0…42, −2…40 °C (35…40 extrapolated: salinityStanding), 0…10 000 dbar; outside, or not finite: null
 *  (a negative conductivity has no root, and its NaN fails the comparisons).
 *  Check: 42.914 mS/cm at 15 / 1.00024 °C and 0 dbar gives 35 within 1e-6 (definition of the scale). */
export function practicalSalinity(
  conductivityMsPerCm: MillisiemensPerCm,
  t90C: Celsius,
  pDbar: Decibars = SURFACE,
): PracticalSalinity | null {
  const SP = pss78FromConductivity(conductivityMsPerCm, t90C, pDbar);
  if (SP >= 2 && SP <= 42) return SP as PracticalSalinity;
  return SP < 2 ? brackish(conductivityMsPerCm, t90C, pDbar) : refused();
}

/** At conductivity 0 the terms of Hill's equation cancel exactly on paper and not quite in a double. */
function brackish(conductivity: MillisiemensPerCm, t90C: Celsius, pDbar: Decibars): PracticalSalinity | null {
  const t = t68FromT90(t90C);
  const Rt = RtFromConductivity(conductivity, t, pDbar);
  const SP = Rt === 0 ? 0 : hill1986(Math.sqrt(Rt), t);
  return SP >= 0 ? (SP as PracticalSalinity) : refused();
}
