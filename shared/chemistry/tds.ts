import type { MicrosiemensPerCm, Quantity } from "../units/index.ts";
import { isAmount } from "./amount.ts";

export type MilligramsPerLitreTds = Quantity<"mg/L TDS">;

export const milligramsPerLitreTds = (value: number): MilligramsPerLitreTds => value as MilligramsPerLitreTds;

/** Dissolved solids [mg/L] from conductivity at 25 °C [µS/cm] and a factor that *must* be named: 0.5 for sodium
 *  chloride, 0.55…0.8 for natural waters, 0.675 for sea water. Factor outside 0.4…1, or not finite: null.
 *  Common practice. Keep the conductivity; the "ppm" of two meters differ by their factors. */
export function tdsFromConductivity(at25: MicrosiemensPerCm, factor: number): MilligramsPerLitreTds | null {
  return isAmount(at25) && tdsFactorInRange(factor) ? ((factor * at25) as MilligramsPerLitreTds) : null;
}

/** The inverse: what a TDS meter of that factor saw. */
export function conductivityFromTds(tds: MilligramsPerLitreTds, factor: number): MicrosiemensPerCm | null {
  return isAmount(tds) && tdsFactorInRange(factor) ? ((tds / factor) as MicrosiemensPerCm) : null;
}

const tdsFactorInRange = (factor: number): boolean => factor >= 0.4 && factor <= 1;
