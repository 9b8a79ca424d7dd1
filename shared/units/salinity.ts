import type { Quantity } from "./quantity.ts";
import type { Celsius } from "./temperature.ts";

/** Practical salinity on PSS-78. It has no unit; near 35 it is numerically close to g of salt per kg of sea water. */
export type PracticalSalinity = Quantity<"SP">;
/** Grams of salt per kilogram of sea water: parts per thousand *by mass*, and the unit of absolute salinity. */
export type GramsPerKilogram = Quantity<"g/kg">;
/** Grams per litre of solution. Not parts per thousand: at 35 g/kg and 25 °C it is 35.8 g/L. */
export type GramsPerLitre = Quantity<"g/L">;
/** Density of the sample over the density of pure water; means nothing without its two temperatures. */
export type SpecificGravity = Quantity<"SG">;
export type KilogramsPerCubicMetre = Quantity<"kg/m³">;

/** The two temperatures behind a specific gravity: the sample's, and that of the pure water it is compared with. */
export type GravityReference = { readonly sampleC: Celsius; readonly waterC: Celsius };

export const practicalSalinityValue = (value: number): PracticalSalinity => value as PracticalSalinity;
export const gramsPerKilogram = (value: number): GramsPerKilogram => value as GramsPerKilogram;
export const gramsPerLitre = (value: number): GramsPerLitre => value as GramsPerLitre;
export const specificGravityValue = (value: number): SpecificGravity => value as SpecificGravity;
export const kilogramsPerCubicMetre = (value: number): KilogramsPerCubicMetre => value as KilogramsPerCubicMetre;

/** Mass fraction to mass per volume, for a solution of known density. */
export const gramsPerLitreFromGramsPerKilogram = (
  fraction: GramsPerKilogram,
  density: KilogramsPerCubicMetre,
): GramsPerLitre => gramsPerLitre((fraction * density) / 1000);
export const gramsPerKilogramFromGramsPerLitre = (
  content: GramsPerLitre,
  density: KilogramsPerCubicMetre,
): GramsPerKilogram => gramsPerKilogram((content * 1000) / density);
