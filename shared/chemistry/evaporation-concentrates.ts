import { salinityInRange } from "../seawater/range.ts";
import type { Litres, PracticalSalinity } from "../units/index.ts";
import { isPositive } from "./amount.ts";
import { STRONGEST_MIX_SP } from "./strongest-mix.ts";

/** Practical salinity after a volume [L] has lost water to the air [L] and no salt: S' = S V / (V − E).
 *  All of it gone or more, a result over SP 100, or not finite: null. Check: 140 L at 35 less 1.5 L is 35.38. */
export function salinityAfterEvaporation(
  volumeL: Litres,
  presentSP: PracticalSalinity,
  evaporatedL: Litres,
): PracticalSalinity | null {
  if (!isPositive(volumeL) || !salinityInRange(presentSP) || !(evaporatedL >= 0 && evaporatedL < volumeL)) return null;
  const SP = (presentSP * volumeL) / (volumeL - evaporatedL);
  return SP <= STRONGEST_MIX_SP ? (SP as PracticalSalinity) : null;
}
