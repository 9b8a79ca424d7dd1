import { inchesFromMillimetres, millimetres } from "./length.ts";
import { celsius, fahrenheitDifferenceFromKelvin, fahrenheitFromCelsius, kelvin } from "./temperature.ts";
import { litres, ukGallonsFromLitres, usGallonsFromLitres } from "./volume.ts";

/** The units that a keeper chose to be spoken with. Files and messages stay in °C, L and mm. */
export interface KeeperUnits {
  readonly temperature: "°C" | "°F";
  readonly volume: "L" | "US gal" | "UK gal";
  readonly length: "mm" | "in";
}

export const METRIC: KeeperUnits = { temperature: "°C", volume: "L", length: "mm" };

export const formatTemperature = (valueC: number, { temperature }: KeeperUnits): string =>
  temperature === "°F" ? `${shorten(fahrenheitFromCelsius(celsius(valueC)), 1)} °F` : `${shorten(valueC, 1)} °C`;

/** A difference has no offset, and no Celsius keeper calls it otherwise than kelvin. */
export const formatDifference = (valueK: number, { temperature }: KeeperUnits): string =>
  temperature === "°F" ? `${shorten(fahrenheitDifferenceFromKelvin(kelvin(valueK)), 1)} °F` : `${shorten(valueK, 1)} K`;

export function formatVolume(valueL: number, { volume }: KeeperUnits): string {
  if (volume === "US gal") return `${shorten(usGallonsFromLitres(litres(valueL)), 1)} US gal`;
  if (volume === "UK gal") return `${shorten(ukGallonsFromLitres(litres(valueL)), 1)} UK gal`;
  return `${shorten(valueL, 1)} L`;
}

export const formatLength = (valueMm: number, { length }: KeeperUnits): string =>
  length === "in" ? `${shorten(inchesFromMillimetres(millimetres(valueMm)), 2)} in` : `${shorten(valueMm, 0)} mm`;

/** At most so many decimals, and none that say nothing. */
const shorten = (value: number, decimals: number): string => `${Number(value.toFixed(decimals))}`;
