import { salinityInRange, temperatureInRange } from "../seawater/range.ts";
import { t68FromT90 } from "../seawater/temperature-scale.ts";
import type { Celsius, PracticalSalinity } from "../units/index.ts";
import { refused } from "../units/index.ts";
import type { MilligramsPerLitreO2 } from "./nitrification.ts";

const COLDEST_C = 0;

/** Oxygen [mg/L] in water at equilibrium with moist air at 101.325 kPa, from practical salinity and temperature
 *  [°C, ITS-90, converted to the paper's IPTS-68].
 *  Source: Benson & Krause 1984, Limnol. Oceanogr. 29, 620–632. Valid SP 0…42, 0…40 °C; outside, or not finite: null.
 *  Check: fresh water at t68 20 °C is 9.092, SP 35 at t68 25 °C is 6.772 mg/L. */
export function oxygenSaturationMgPerL(SP: PracticalSalinity, t90C: Celsius): MilligramsPerLitreO2 | null {
  if (!salinityInRange(SP) || !temperatureInRange(t90C) || t90C < COLDEST_C) return refused();
  const u = 1 / (t68FromT90(t90C) + 273.15);
  const lnC =
    -139.34411 +
    u * (157570.1 + u * (-6.642308e7 + u * (1.2438e10 + u * -8.621949e11))) -
    SP * (0.017674 + u * (-10.754 + u * 2140.7));
  return Math.exp(lnC) as MilligramsPerLitreO2;
}
