import type { Quantity } from "./quantity.ts";

export type Milliseconds = Quantity<"ms">;
export type Seconds = Quantity<"s">;
export type Hours = Quantity<"h">;
export type Days = Quantity<"d">;

export const milliseconds = (value: number): Milliseconds => value as Milliseconds;
export const seconds = (value: number): Seconds => value as Seconds;
export const hours = (value: number): Hours => value as Hours;
export const days = (value: number): Days => value as Days;

export const millisecondsFromSeconds = (s: Seconds): Milliseconds => milliseconds(s * 1000);
export const secondsFromMilliseconds = (ms: Milliseconds): Seconds => seconds(ms / 1000);
export const hoursFromDays = (d: Days): Hours => hours(d * 24);
export const daysFromHours = (h: Hours): Days => days(h / 24);
