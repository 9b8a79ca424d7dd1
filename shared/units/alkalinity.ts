import type { Quantity } from "./quantity.ts";

/** Milliequivalents per litre (the chemist's unit of total alkalinity). */
export type MilliequivalentsPerLitre = Quantity<"meq/L">;
/** Degrees of carbonate hardness, German scale: 10 mg/L of CaO each. */
export type Dkh = Quantity<"dKH">;
/** Milligrams per litre *as calcium carbonate*, the "ppm" of alkalinity test kits. */
export type MilligramsPerLitreCaCO3 = Quantity<"mg/L CaCO3">;

/** Molar mass of CaCO₃ over its two charges: 100.0869 / 2 mg per milliequivalent (standard atomic weights). */
export const MILLIGRAMS_CACO3_PER_MEQ = 50.04345;
/** Molar mass of CaO, 56.0774, over two charges: 28.0387 mg/meq, and 10 mg/L of CaO to the degree. */
export const DKH_PER_MEQ_PER_LITRE = 2.80387;

export const milliequivalentsPerLitre = (value: number): MilliequivalentsPerLitre => value as MilliequivalentsPerLitre;
export const dkh = (value: number): Dkh => value as Dkh;
export const milligramsPerLitreCaCO3 = (value: number): MilligramsPerLitreCaCO3 => value as MilligramsPerLitreCaCO3;

export const dkhFromMilliequivalents = (meq: MilliequivalentsPerLitre): Dkh => dkh(meq * DKH_PER_MEQ_PER_LITRE);
export const milliequivalentsFromDkh = (degrees: Dkh): MilliequivalentsPerLitre =>
  milliequivalentsPerLitre(degrees / DKH_PER_MEQ_PER_LITRE);
export const caCO3FromMilliequivalents = (meq: MilliequivalentsPerLitre): MilligramsPerLitreCaCO3 =>
  milligramsPerLitreCaCO3(meq * MILLIGRAMS_CACO3_PER_MEQ);
export const milliequivalentsFromCaCO3 = (mg: MilligramsPerLitreCaCO3): MilliequivalentsPerLitre =>
  milliequivalentsPerLitre(mg / MILLIGRAMS_CACO3_PER_MEQ);
