import type { GravityReference, PracticalSalinity, SpecificGravity } from "../units/index.ts";
import { practicalSalinityValue, refused } from "../units/index.ts";
import { A, B, rho, rhoWater, salt, saltSlope } from "./density-eos80.ts";
import { SALTIEST_SP, salinityInRange, temperatureInRange } from "./range.ts";
import { t68FromT90 } from "./temperature-scale.ts";

/** Specific gravity: density of sea water of salinity SP at sampleC over density of pure water at waterC [°C, ITS-90].
 *  Source: a ratio of two densities of EOS-80 (see densityEos80), its own pure water below the line.
 *  Valid SP 0…42, both temperatures −2…40 °C; outside, or not finite: null.
 *  A number without its two temperatures means nothing: "1.025" is SP 33.2 at 25/25 °C and 35.3 at 20/4 °C.
 *  Check: SP 35 is 1.026373 at 25/25, 1.026604 at 20/20, 1.024787 at 20/4 °C. */
export function specificGravity(SP: PracticalSalinity, { sampleC, waterC }: GravityReference): SpecificGravity | null {
  if (!salinityInRange(SP) || !temperatureInRange(sampleC) || !temperatureInRange(waterC)) return refused();
  return (rho(SP, t68FromT90(sampleC)) / rhoWater(t68FromT90(waterC))) as SpecificGravity;
}

/** Practical salinity from a specific gravity and its two temperatures: the inverse, by Newton's method.
 *  Source and range as above; a gravity of no salinity from 0 to 42: null. A hydrometer's glass expands and a
 *  refractometer measures light, not weight: neither is corrected here. */
export function salinityFromSpecificGravity(
  sg: SpecificGravity,
  { sampleC, waterC }: GravityReference,
): PracticalSalinity | null {
  if (!temperatureInRange(sampleC) || !temperatureInRange(waterC)) return refused();
  const t = t68FromT90(sampleC);
  const a = A(t);
  const b = B(t);
  const difference = sg * rhoWater(t68FromT90(waterC)) - rhoWater(t);
  const most = salt(SALTIEST_SP, a, b);
  if (!(difference >= -LAST_BIT && difference <= most + LAST_BIT)) return refused();
  const wanted = Math.max(0, difference);
  // What the salt adds is close to straight; from the chord's guess four steps reach the last digit.
  let S = (SALTIEST_SP * wanted) / most;
  for (let left = 4; left; left--) S -= (salt(S, a, b) - wanted) / saltSlope(S, a, b);
  return practicalSalinityValue(Math.min(SALTIEST_SP, S));
}

/** Rounding of a ratio of densities [kg/m³]: pure water and SP 42 must come back from their own gravities. */
const LAST_BIT = 1e-9;
