import type { GravityReference, PracticalSalinity, SpecificGravity } from "../units/index.ts";
import { practicalSalinityValue } from "../units/index.ts";
import { rho, rhoSlope, rhoWater } from "./density-eos80.ts";
import { SALTIEST_SP, salinityInRange, temperatureInRange } from "./range.ts";
import { t68FromT90 } from "./temperature-scale.ts";

/** Specific gravity: density of sea water of salinity SP at sampleC over density of pure water at waterC [°C, ITS-90].
 *  Source: a ratio of two densities of EOS-80 (see densityEos80), its own pure water below the line.
 *  Valid SP 0…42, both temperatures −2…40 °C; outside, or not finite: null.
 *  A number without its two temperatures means nothing: "1.025" is SP 33.2 at 25/25 °C and 35.3 at 20/4 °C.
 *  Check: SP 35 is 1.026373 at 25/25, 1.026604 at 20/20, 1.024787 at 20/4 °C. */
export function specificGravity(SP: PracticalSalinity, { sampleC, waterC }: GravityReference): SpecificGravity | null {
  if (!salinityInRange(SP) || !temperatureInRange(sampleC) || !temperatureInRange(waterC)) return null;
  return (rho(SP, t68FromT90(sampleC)) / rhoWater(t68FromT90(waterC))) as SpecificGravity;
}

/** Practical salinity from a specific gravity and its two temperatures: the inverse, by Newton's method.
 *  Source and range as above; a gravity of no salinity from 0 to 42: null. A hydrometer's glass expands and a
 *  refractometer measures light, not weight: neither is corrected here. */
export function salinityFromSpecificGravity(
  sg: SpecificGravity,
  { sampleC, waterC }: GravityReference,
): PracticalSalinity | null {
  if (!temperatureInRange(sampleC) || !temperatureInRange(waterC)) return null;
  const t = t68FromT90(sampleC);
  const wanted = sg * rhoWater(t68FromT90(waterC));
  if (!(wanted >= rho(0, t) && wanted <= rho(SALTIEST_SP, t))) return null;
  // Density is close to straight in salinity; from the chord's guess four steps reach the last digit.
  let S = (SALTIEST_SP * (wanted - rho(0, t))) / (rho(SALTIEST_SP, t) - rho(0, t));
  for (let left = 4; left; left--) S -= (rho(S, t) - wanted) / rhoSlope(S, t);
  return practicalSalinityValue(Math.min(SALTIEST_SP, Math.max(0, S)));
}
