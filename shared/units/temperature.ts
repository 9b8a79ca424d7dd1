import type { Quantity } from "./quantity.ts";

/** °C on the International Temperature Scale of 1990 (ITS-90), the scale of every thermometer sold today. */
export type Celsius = Quantity<"°C">;
export type Fahrenheit = Quantity<"°F">;
export type Kelvin = Quantity<"K">;

export const celsius = (value: number): Celsius => value as Celsius;
export const fahrenheit = (value: number): Fahrenheit => value as Fahrenheit;
export const kelvin = (value: number): Kelvin => value as Kelvin;

export const celsiusFromFahrenheit = (f: Fahrenheit): Celsius => celsius((f - 32) / 1.8);
export const fahrenheitFromCelsius = (c: Celsius): Fahrenheit => fahrenheit(c * 1.8 + 32);
export const kelvinFromCelsius = (c: Celsius): Kelvin => kelvin(c + 273.15);
export const celsiusFromKelvin = (k: Kelvin): Celsius => celsius(k - 273.15);

/** A *difference* of temperature has no offset: 1 °F of difference is 5/9 K, and must never pass through 32. */
export const kelvinDifferenceFromFahrenheit = (difference: Fahrenheit): Kelvin => kelvin(difference / 1.8);
export const fahrenheitDifferenceFromKelvin = (difference: Kelvin): Fahrenheit => fahrenheit(difference * 1.8);
