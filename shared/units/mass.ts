import type { Quantity } from "./quantity.ts";

export type Kilograms = Quantity<"kg">;
export type Grams = Quantity<"g">;
export type Milligrams = Quantity<"mg">;
/** Avoirdupois pound. */
export type Pounds = Quantity<"lb">;

/** Exact by definition. */
export const KILOGRAMS_PER_POUND = 0.45359237;

export const kilograms = (value: number): Kilograms => value as Kilograms;
export const grams = (value: number): Grams => value as Grams;
export const milligrams = (value: number): Milligrams => value as Milligrams;
export const pounds = (value: number): Pounds => value as Pounds;

export const kilogramsFromPounds = (lb: Pounds): Kilograms => kilograms(lb * KILOGRAMS_PER_POUND);
export const poundsFromKilograms = (kg: Kilograms): Pounds => pounds(kg / KILOGRAMS_PER_POUND);
export const kilogramsFromGrams = (g: Grams): Kilograms => kilograms(g / 1000);
export const gramsFromKilograms = (kg: Kilograms): Grams => grams(kg * 1000);
export const gramsFromMilligrams = (mg: Milligrams): Grams => grams(mg / 1000);
export const milligramsFromGrams = (g: Grams): Milligrams => milligrams(g * 1000);
