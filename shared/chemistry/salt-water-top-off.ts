import { salinityInRange } from "../seawater/range.ts";
import type { Litres, PracticalSalinity } from "../units/index.ts";
import { isAmount, isPositive } from "./amount.ts";

/** Volume [L] of salt water to top off with, in place of the fresh water that evaporated, to raise a volume [L]:
 *  x = V (S_t − S) / S_m, since evaporation took no salt. Target below the present salinity, or not finite: null. */
export function saltWaterToTopOff(
  volumeL: Litres,
  presentSP: PracticalSalinity,
  targetSP: PracticalSalinity,
  topOffSP: PracticalSalinity,
): Litres | null {
  if (!isAmount(volumeL) || !salinityInRange(presentSP) || !salinityInRange(targetSP)) return null;
  if (!isPositive(topOffSP) || !(targetSP >= presentSP)) return null;
  return ((volumeL * (targetSP - presentSP)) / topOffSP) as Litres;
}
