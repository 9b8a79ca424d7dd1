import { salinityInRange } from "../seawater/range.ts";
import type { Litres, PracticalSalinity } from "../units/index.ts";
import { isAmount } from "./amount.ts";

/** Volume [L] of fresh water to add, taking nothing out, that dilutes a volume [L] to a lower practical salinity:
 *  x = V (S/S_t − 1). Target above the present salinity or zero, or not finite: null.
 *  Check: 140 L from 35 to 34 is 4.1 L. */
export function freshToAdd(volumeL: Litres, presentSP: PracticalSalinity, targetSP: PracticalSalinity): Litres | null {
  if (!isAmount(volumeL) || !salinityInRange(presentSP)) return null;
  return targetSP > 0 && targetSP <= presentSP ? ((volumeL * (presentSP / targetSP - 1)) as Litres) : null;
}
