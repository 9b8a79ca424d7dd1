import type { Celsius, Fraction, PracticalSalinity, Quantity, SquareMetres } from "../units/index.ts";
import { isAmount } from "./amount.ts";
import { airVapourPressure, seaWaterVapourPressure } from "./vapour-pressure.ts";

export type MetresPerSecond = Quantity<"m/s">;

export const metresPerSecond = (value: number): MetresPerSecond => value as MetresPerSecond;

/** The water, the air above it, and the surface between them. */
export type OpenWater = {
  readonly surface: SquareMetres;
  readonly waterC: Celsius;
  readonly SP: PracticalSalinity;
  readonly airC: Celsius;
  readonly humidity: Fraction;
  readonly airSpeed: MetresPerSecond;
};

/** The vapour pressures [kPa] that drive evaporation, or null where the air or water is out of range. */
export function driving(open: OpenWater): { readonly water: number; readonly air: number } | null {
  const water = seaWaterVapourPressure(open.waterC, open.SP);
  const air = airVapourPressure(open.airC, open.humidity);
  if (water === null || air === null || !isAmount(open.surface) || !isAmount(open.airSpeed)) return null;
  return { water, air };
}
