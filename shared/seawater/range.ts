import type { Celsius } from "../units/index.ts";

/** What these equations are trusted for. Comparisons are written so that NaN and the infinities fail them, and with
 *  their limits in the line, where the compiler keeps them in the machine code. */

/** The coldest and warmest water, °C: −2 is where sea water freezes, 40 the end of EOS-80 and of TEOS-10's fit. */
export const temperatureInRange = (t90C: number): boolean => t90C >= -2 && t90C <= 40;

/** Practical salinity, 42 being the end of every one of the fits. */
export const salinityInRange = (SP: number): boolean => SP >= 0 && SP <= 42;

/** Temperature as above and sea pressure, 10 000 dbar being the deepest water of the fit. */
export const inFit = (t90C: number, pDbar: number): boolean =>
  t90C >= -2 && t90C <= 40 && pDbar >= 0 && pDbar <= 10_000;

export const SALTIEST_SP = 42;

export type Standing = "fitted" | "extrapolated" | "outside";

/** PSS-78 was measured up to 35 °C; from there to 40 °C it is arithmetic continued, and is marked so.
 *  Whether practical salinity at this temperature rests on measurements, on extrapolation, or is refused. */
export function salinityStanding(t90C: Celsius): Standing {
  if (!temperatureInRange(t90C)) return "outside";
  return t90C <= 35 ? "fitted" : "extrapolated";
}
