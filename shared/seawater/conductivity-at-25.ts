import type { Celsius, MillisiemensPerCm } from "../units/index.ts";
import { celsius, refused } from "../units/index.ts";
import { conductivityFromSalinity } from "./conductivity-from-salinity.ts";
import { practicalSalinity } from "./practical-salinity.ts";

const REFERENCE_C = celsius(25);

/** Conductivity [mS/cm] that this very water would have at 25 °C, from its conductivity at temperature [°C, ITS-90].
 *  By sea water's own temperature law, through the salinity that both conductivities share, and not by a percentage
 *  per kelvin: that coefficient is 1.91 at 15 °C and 2.00 at 32 °C. Source: PSS-78, as practicalSalinity; surface.
 *  Valid for SP 0…42, −2…40 °C; outside, or not finite: null. Check: 42.9175 mS/cm at 15 °C is 53.0710 at 25 °C. */
export function conductivityAt25(mSPerCm: MillisiemensPerCm, t90C: Celsius): MillisiemensPerCm | null {
  const SP = practicalSalinity(mSPerCm, t90C);
  return SP === null ? refused() : conductivityFromSalinity(SP, REFERENCE_C);
}

/** The inverse: what a water, or a calibration standard labelled at 25 °C, conducts at another temperature [°C]. */
export function conductivityFromAt25(at25MsPerCm: MillisiemensPerCm, t90C: Celsius): MillisiemensPerCm | null {
  const SP = practicalSalinity(at25MsPerCm, REFERENCE_C);
  return SP === null ? refused() : conductivityFromSalinity(SP, t90C);
}
