import type { Quantity } from "./quantity.ts";

export type Percent = Quantity<"%">;
/** Linear temperature compensation of a conductivity meter: percent of the reference value per kelvin. */
export type PercentPerKelvin = Quantity<"%/K">;
/** A plain share, 0 to 1. */
export type Fraction = Quantity<"fraction">;

export const percent = (value: number): Percent => value as Percent;
export const percentPerKelvin = (value: number): PercentPerKelvin => value as PercentPerKelvin;
export const fraction = (value: number): Fraction => value as Fraction;

export const fractionFromPercent = (p: Percent): Fraction => fraction(p / 100);
export const percentFromFraction = (share: Fraction): Percent => percent(share * 100);
