import type { Quantity } from "../units/index.ts";
import { MOLAR_MASS_N, MOLAR_MASS_NH3, MOLAR_MASS_NH4, MOLAR_MASS_NO2, MOLAR_MASS_NO3 } from "./molar-masses.ts";

/** Milligrams per litre, counted as the nitrogen in it: the basis in which this project keeps every figure. Test kits
 *  differ in basis without saying so; "2 ppm ammonia" is three different amounts. */
export type MilligramsPerLitreN = Quantity<"mg/L as N">;
export type MilligramsPerLitreNH3 = Quantity<"mg/L as NH3">;
export type MilligramsPerLitreNH4 = Quantity<"mg/L as NH4">;
export type MilligramsPerLitreNO2 = Quantity<"mg/L as NO2">;
export type MilligramsPerLitreNO3 = Quantity<"mg/L as NO3">;

export const milligramsPerLitreN = (value: number): MilligramsPerLitreN => value as MilligramsPerLitreN;
export const milligramsPerLitreNH3 = (value: number): MilligramsPerLitreNH3 => value as MilligramsPerLitreNH3;
export const milligramsPerLitreNH4 = (value: number): MilligramsPerLitreNH4 => value as MilligramsPerLitreNH4;
export const milligramsPerLitreNO2 = (value: number): MilligramsPerLitreNO2 => value as MilligramsPerLitreNO2;
export const milligramsPerLitreNO3 = (value: number): MilligramsPerLitreNO3 => value as MilligramsPerLitreNO3;

/** Nitrogen ↔ the molecule or ion that carries it, by molar mass: × 1.21589 for NH₃, 1.28786 for NH₄⁺, 3.28443 for
 *  NO₂⁻, 4.42664 for NO₃⁻. Source: IUPAC atomic weights. Exact for any amount. */
export const nitrogenFromNH3 = (nh3: MilligramsPerLitreNH3): MilligramsPerLitreN =>
  milligramsPerLitreN((nh3 * MOLAR_MASS_N) / MOLAR_MASS_NH3);
export const nitrogenFromNH4 = (nh4: MilligramsPerLitreNH4): MilligramsPerLitreN =>
  milligramsPerLitreN((nh4 * MOLAR_MASS_N) / MOLAR_MASS_NH4);
export const nitrogenFromNO2 = (no2: MilligramsPerLitreNO2): MilligramsPerLitreN =>
  milligramsPerLitreN((no2 * MOLAR_MASS_N) / MOLAR_MASS_NO2);
export const nitrogenFromNO3 = (no3: MilligramsPerLitreNO3): MilligramsPerLitreN =>
  milligramsPerLitreN((no3 * MOLAR_MASS_N) / MOLAR_MASS_NO3);
export const nh3FromNitrogen = (n: MilligramsPerLitreN): MilligramsPerLitreNH3 =>
  milligramsPerLitreNH3((n * MOLAR_MASS_NH3) / MOLAR_MASS_N);
export const nh4FromNitrogen = (n: MilligramsPerLitreN): MilligramsPerLitreNH4 =>
  milligramsPerLitreNH4((n * MOLAR_MASS_NH4) / MOLAR_MASS_N);
export const no2FromNitrogen = (n: MilligramsPerLitreN): MilligramsPerLitreNO2 =>
  milligramsPerLitreNO2((n * MOLAR_MASS_NO2) / MOLAR_MASS_N);
export const no3FromNitrogen = (n: MilligramsPerLitreN): MilligramsPerLitreNO3 =>
  milligramsPerLitreNO3((n * MOLAR_MASS_NO3) / MOLAR_MASS_N);
