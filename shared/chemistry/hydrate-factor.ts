import { absoluteSalinity, densityEos80 } from "../seawater/index.ts";
import type { Celsius, Fraction, Grams, GramsPerLitre, Litres, PracticalSalinity, Quantity } from "../units/index.ts";
import { isAmount } from "./amount.ts";

/** Grams of a bag's product for one gram of dry sea salt in it. Magnesium and calcium chloride carry crystal water and
 *  every open bag draws more, so it is a property of the bag, 1.0 to about 1.25, and is best measured. */
export type HydrateFactor = Quantity<"g product per g dry salt">;

export const hydrateFactor = (value: number): HydrateFactor => value as HydrateFactor;

const DAMPEST = 1.6;

/** 1 is bone-dry salt; 1.175 the recipe of Kester et al. 1967 weighed with MgCl₂·6H₂O and CaCl₂·2H₂O. */
export const hydrateFactorInRange = (h: number): boolean => h >= 1 && h <= 1.6;

/** The factor learned from a measured batch: product [g] dissolved in pure water [L at its temperature, °C] gave a
 *  practical salinity. SA = 1000 (m/h) / (m + w), the crystal water counted as water, so h = 1000 m / (SA (m + w)).
 *  Source: conservation of mass. A batch that makes no sense (h outside 0.9…1.6, or not finite): null; a factor just
 *  under 1 is a measurement's error and is returned as 1.
 *  Check: 361.62 g in 10 L at 25 °C that measure SA 35 g/kg are dry salt, h = 1 (within 0.001). */
export function hydrateFactorFromBatch(
  product: Grams,
  waterL: Litres,
  waterC: Celsius,
  measuredSP: PracticalSalinity,
): HydrateFactor | null {
  const SA = absoluteSalinity(measuredSP) ?? Number.NaN;
  const density = densityEos80(FRESH, waterC) ?? Number.NaN;
  return believable((1000 * product) / (SA * (product + waterL * density)));
}

/** The factor from grams of product per litre of *finished* sea water at a salinity and temperature [°C], as a bag
 *  prints it or as it was measured: h = (g/L × 1000) / (SA ρ). Range as above. */
export function hydrateFactorFromGramsPerLitre(
  product: GramsPerLitre,
  SP: PracticalSalinity,
  t90C: Celsius,
): HydrateFactor | null {
  return believable((1000 * product) / drySaltGramsPerCubicMetre(SP, t90C));
}

/** Grams of product in one litre of finished sea water: what a person weighs out. The inverse of the last.
 *  Check: the Kester recipe, h = 1.175, is 42.1 g per litre at 35 g/kg and 25 °C. */
export function gramsPerLitreOfMix(h: HydrateFactor, SP: PracticalSalinity, t90C: Celsius): GramsPerLitre | null {
  const grams = (h * drySaltGramsPerCubicMetre(SP, t90C)) / 1000;
  return hydrateFactorInRange(h) && isAmount(grams) ? (grams as GramsPerLitre) : null;
}

/** The product's content of dry sea salt, as a share: 1/h. */
export const drySaltShare = (h: HydrateFactor): Fraction => (1 / h) as Fraction;

const FRESH = 0 as PracticalSalinity;

/** NaN out of range, which then fails every comparison. */
const drySaltGramsPerCubicMetre = (SP: PracticalSalinity, t90C: Celsius): number =>
  (absoluteSalinity(SP) ?? Number.NaN) * (densityEos80(SP, t90C) ?? Number.NaN);

const believable = (h: number): HydrateFactor | null =>
  h >= 0.9 && h <= DAMPEST ? hydrateFactor(Math.max(1, h)) : null;
