import { salinityInRange, temperatureInRange } from "../seawater/range.ts";
import type { Celsius, Fraction, Kilopascals, PracticalSalinity } from "../units/index.ts";
import { kilopascals, refused } from "../units/index.ts";

/** Saturation vapour pressure [kPa] over pure water at temperature [°C]: e_s = 0.61094 exp(17.625 t / (t + 243.04)).
 *  Source: Magnus form, Alduchov & Eskridge 1996, J. Appl. Meteor. 35, 601–609; within 0.4 % over −40…50 °C.
 *  Used here for −2…40 °C; outside, or not finite: null. */
export function saturationPressure(t90C: Celsius): Kilopascals | null {
  return temperatureInRange(t90C) ? kilopascals(0.61094 * Math.exp((17.625 * t90C) / (t90C + 243.04))) : refused();
}

/** The same over sea water of practical salinity SP: lower by 0.0537 % for each unit, 0.981 at 35.
 *  Source: an oceanographers' rule, from memory; Raoult's law gives 0.981 too. Valid SP 0…42. */
export function seaWaterVapourPressure(t90C: Celsius, SP: PracticalSalinity): Kilopascals | null {
  const pure = saturationPressure(t90C);
  return pure === null || !salinityInRange(SP) ? refused() : kilopascals(pure * (1 - 0.000537 * SP));
}

/** Vapour pressure [kPa] in air of a temperature [°C] and relative humidity (0…1). */
export function airVapourPressure(airC: Celsius, humidity: Fraction): Kilopascals | null {
  const saturated = saturationPressure(airC);
  return saturated === null || !(humidity >= 0 && humidity <= 1) ? refused() : kilopascals(saturated * humidity);
}
