import type { Celsius } from "../units/index.ts";

/** What these equations are trusted for. Comparisons are written so that NaN and the infinities fail them. */
export const COLDEST_C = -2;
export const WARMEST_C = 40;
/** PSS-78 was measured up to 35 °C; from there to 40 °C it is arithmetic continued, and is marked so. */
export const PSS78_WARMEST_FITTED_C = 35;
export const SALTIEST_SP = 42;
/** The deepest water of the fit, in decibars of sea pressure. */
export const DEEPEST_DBAR = 10_000;

export type Standing = "fitted" | "extrapolated" | "outside";

export const temperatureInRange = (t90C: number): boolean => t90C >= COLDEST_C && t90C <= WARMEST_C;
export const salinityInRange = (SP: number): boolean => SP >= 0 && SP <= SALTIEST_SP;
export const pressureInRange = (pDbar: number): boolean => pDbar >= 0 && pDbar <= DEEPEST_DBAR;

/** Whether practical salinity at this temperature rests on measurements, on extrapolation, or is refused. */
export function salinityStanding(t90C: Celsius): Standing {
  if (!temperatureInRange(t90C)) return "outside";
  return t90C <= PSS78_WARMEST_FITTED_C ? "fitted" : "extrapolated";
}
