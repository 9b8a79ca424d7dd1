import type { Quantity } from "./quantity.ts";

/** Sea pressure: what the water above adds to one atmosphere. 1 dbar is close to one metre of sea water. */
export type Decibars = Quantity<"dbar">;
export type Kilopascals = Quantity<"kPa">;
export type Bars = Quantity<"bar">;
export type PoundsPerSquareInch = Quantity<"psi">;

/** One pound-force per square inch: 0.45359237 kg × 9.80665 m/s² on 645.16 mm², exact up to the last digit shown. */
export const KILOPASCALS_PER_PSI = 6.894757293168361;
/** The standard atmosphere, exact. */
export const STANDARD_ATMOSPHERE = 101.325 as Kilopascals;

export const decibars = (value: number): Decibars => value as Decibars;
export const kilopascals = (value: number): Kilopascals => value as Kilopascals;
export const bars = (value: number): Bars => value as Bars;
export const poundsPerSquareInch = (value: number): PoundsPerSquareInch => value as PoundsPerSquareInch;

export const kilopascalsFromBars = (bar: Bars): Kilopascals => kilopascals(bar * 100);
export const barsFromKilopascals = (kPa: Kilopascals): Bars => bars(kPa / 100);
export const kilopascalsFromPsi = (psi: PoundsPerSquareInch): Kilopascals => kilopascals(psi * KILOPASCALS_PER_PSI);
export const psiFromKilopascals = (kPa: Kilopascals): PoundsPerSquareInch =>
  poundsPerSquareInch(kPa / KILOPASCALS_PER_PSI);
