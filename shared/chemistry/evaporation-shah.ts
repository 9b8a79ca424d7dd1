import type { LitresPerDay } from "../units/index.ts";
import { driving, type OpenWater } from "./open-water.ts";

const ATMOSPHERE_KPA = 101.325;
/** Gas constant of dry air [kJ/(kg K)]. */
const DRY_AIR = 0.287055;
/** Ratio of the molar masses of water and dry air. */
const WATER_TO_AIR = 0.62198;
const HOURS_PER_DAY = 24;

/** Evaporation [L/d] into still air by natural convection, or by the room's own air movement where that is more:
 *  E = max(35 ρ_w (ρ_r − ρ_w)^⅓ (W_w − W_r), 0.00005 (p_w − p_r)) [kg/(m² h)], with ρ in kg of dry air per m³, W the
 *  humidity ratios and p in Pa; w is air saturated at the water's temperature, r the room's.
 *  Source: Shah 2012, ASHRAE Trans. 118 (form), constants from memory. Range as vapour-pressure; 0 where it would
 *  condense. Check: water and air at 28 °C, 50 %, pure water: 0.1353 kg/(m² h), tabulated 0.1360. */
export function evaporationShah(open: OpenWater): LitresPerDay | null {
  const pressure = driving(open);
  if (pressure === null) return null;
  const buoyant = naturalConvection(open, pressure.water, pressure.air);
  const stirred = 0.05 * (pressure.water - pressure.air);
  return Math.max(0, Math.max(buoyant, stirred) * open.surface * HOURS_PER_DAY) as LitresPerDay;
}

function naturalConvection(open: OpenWater, waterKpa: number, airKpa: number): number {
  const rhoWater = dryAirDensity(waterKpa, open.waterC);
  const rhoRoom = dryAirDensity(airKpa, open.airC);
  const lift = Math.max(0, rhoRoom - rhoWater);
  return 35 * rhoWater * Math.cbrt(lift) * (humidityRatio(waterKpa) - humidityRatio(airKpa));
}

const dryAirDensity = (vapourKpa: number, tC: number): number =>
  (ATMOSPHERE_KPA - vapourKpa) / (DRY_AIR * (tC + 273.15));
const humidityRatio = (vapourKpa: number): number => (WATER_TO_AIR * vapourKpa) / (ATMOSPHERE_KPA - vapourKpa);
