import type { Grams, GramsPerLitre, Litres } from "../units/index.ts";
import { litres } from "../units/index.ts";
import { isAmount, isPositive } from "./amount.ts";

/** Net volume of water [L] from how far a known mass [g] of something dissolved raised its concentration [g/L]:
 *  V = m / (C_after − C_before). Rock, sand and equipment are then left out of the count by themselves.
 *  Source: conservation of mass. No rise, or anything not finite: null. Mix well and wait before measuring again. */
export function netVolumeByDilution(added: Grams, before: GramsPerLitre, after: GramsPerLitre): Litres | null {
  if (!isPositive(added) || !isAmount(before) || !isAmount(after) || !(after > before)) return null;
  return litres(added / (after - before));
}
