import type { Quantity } from "./quantity.ts";

export type Litres = Quantity<"L">;
/** US liquid gallon, 231 cubic inches. */
export type UsGallons = Quantity<"US gal">;
/** Imperial gallon. A fifth larger than the US one: 30 US gallons are 25 UK gallons. */
export type UkGallons = Quantity<"UK gal">;

/** 231 in³ at 25.4 mm to the inch, exact. */
export const LITRES_PER_US_GALLON = 3.785411784;
/** Defined in litres, exact. */
export const LITRES_PER_UK_GALLON = 4.54609;

export const litres = (value: number): Litres => value as Litres;
export const usGallons = (value: number): UsGallons => value as UsGallons;
export const ukGallons = (value: number): UkGallons => value as UkGallons;

export const litresFromUsGallons = (gallons: UsGallons): Litres => litres(gallons * LITRES_PER_US_GALLON);
export const usGallonsFromLitres = (l: Litres): UsGallons => usGallons(l / LITRES_PER_US_GALLON);
export const litresFromUkGallons = (gallons: UkGallons): Litres => litres(gallons * LITRES_PER_UK_GALLON);
export const ukGallonsFromLitres = (l: Litres): UkGallons => ukGallons(l / LITRES_PER_UK_GALLON);
