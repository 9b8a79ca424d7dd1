import type { Quantity } from "./quantity.ts";
import { LITRES_PER_US_GALLON } from "./volume.ts";

export type LitresPerHour = Quantity<"L/h">;
export type LitresPerDay = Quantity<"L/d">;
/** How the makers of reverse osmosis membranes rate them. */
export type UsGallonsPerDay = Quantity<"US gal/d">;

export const litresPerHour = (value: number): LitresPerHour => value as LitresPerHour;
export const litresPerDay = (value: number): LitresPerDay => value as LitresPerDay;
export const usGallonsPerDay = (value: number): UsGallonsPerDay => value as UsGallonsPerDay;

export const litresPerHourFromUsGallonsPerDay = (flow: UsGallonsPerDay): LitresPerHour =>
  litresPerHour((flow * LITRES_PER_US_GALLON) / 24);
export const usGallonsPerDayFromLitresPerHour = (flow: LitresPerHour): UsGallonsPerDay =>
  usGallonsPerDay((flow * 24) / LITRES_PER_US_GALLON);
export const litresPerHourFromLitresPerDay = (flow: LitresPerDay): LitresPerHour => litresPerHour(flow / 24);
export const litresPerDayFromLitresPerHour = (flow: LitresPerHour): LitresPerDay => litresPerDay(flow * 24);
