/** Water that leaves by evaporation, and the heat it takes along. Sources: trade facts §5. */

/** Saturation pressure over pure water [kPa] (Magnus form, Alduchov & Eskridge 1996); sea water × (1 − 0.000537 S). */
export const saturationKPa = (celsius: number): number => 0.61094 * Math.exp((17.625 * celsius) / (celsius + 243.04));

/** Latent heat [J/kg]: h = 2501 − 2.361 t kJ/kg. */
export const latentJPerKg = (celsius: number): number => (2501 - 2.361 * celsius) * 1000;

export interface Air {
  readonly celsius: number;
  /** 0–1. */
  readonly humidity: number;
}

/**
 * Evaporation into a room without draught [L/h per m²], one kilogram taken as one litre.
 * Shah: E = 35 ρw (ρr − ρw)^⅓ (Ww − Wr), densities in kg dry air per m³; the larger of this and 0.00005 (pw − pr) [Pa].
 * Check: 28 °C water, 28 °C air, 50 %, fresh water: 0.1353 (tabulated 0.1360, Shah 2012).
 */
export function evaporationLPerHM2(waterC: number, salinity: number, air: Air): number {
  const waterKPa = saturationKPa(waterC) * (1 - 0.000537 * salinity);
  const airKPa = saturationKPa(air.celsius) * air.humidity;
  if (waterKPa <= airKPa) return 0;
  const waterDensity = dryAirKgPerM3(waterKPa, waterC);
  const lift = Math.max(0, dryAirKgPerM3(airKPa, air.celsius) - waterDensity);
  const natural = 35 * waterDensity * Math.cbrt(lift) * (humidityRatio(waterKPa) - humidityRatio(airKPa));
  return Math.max(natural, 0.00005 * (waterKPa - airKPa) * 1000);
}

const PRESSURE_KPA = 101.325;
const humidityRatio = (vapourKPa: number): number => (0.622 * vapourKPa) / (PRESSURE_KPA - vapourKPa);
const dryAirKgPerM3 = (vapourKPa: number, celsius: number): number =>
  (PRESSURE_KPA - vapourKPa) / (0.28705 * (celsius + 273.15));
