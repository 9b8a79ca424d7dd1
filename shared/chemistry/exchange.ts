import { salinityInRange } from "../seawater/range.ts";
import type { Kilograms, PracticalSalinity } from "../units/index.ts";
import { kilograms } from "../units/index.ts";
import { isAmount } from "./amount.ts";
import { STRONGEST_MIX_SP } from "./strongest-mix.ts";

/** Mass [kg] to take out and to put back, the same, so that a mass of water [kg] goes from one practical salinity to
 *  another by exchange against water of a third: x = M (S_t − S) / (S_m − S). Raises with strong water, lowers with
 *  fresh (S_m = 0). Exact in mass; counted in litres instead, it errs by less than 0.1 in salinity.
 *  Source: conservation of mass. A target that this water cannot bring about, SP outside, or not finite: null.
 *  Water mixed strong for this may be up to SP 100: it is a ratio of salt to water here, not a measurement.
 *  Check: 140 from 33 to 35 with 40 takes 40; 140 from 37 to 35 with fresh water takes 7.6. */
export function massToExchange(
  mass: Kilograms,
  presentSP: PracticalSalinity,
  targetSP: PracticalSalinity,
  newSP: PracticalSalinity,
): Kilograms | null {
  if (!isAmount(mass) || !salinityInRange(presentSP) || !salinityInRange(targetSP)) return null;
  if (!(newSP >= 0 && newSP <= STRONGEST_MIX_SP)) return null;
  if (targetSP === presentSP) return kilograms(0);
  const share = (targetSP - presentSP) / (newSP - presentSP);
  return share >= 0 && share <= 1 ? kilograms(mass * share) : null;
}

/** Practical salinity of the new water that reaches the target when a given share of the water is exchanged, once or
 *  several times with the same new water: S_m = S + (S_t − S) / (1 − (1 − f)ⁿ). Share outside 0…1 or zero, no whole
 *  number of times, or a water that cannot be mixed: null.
 *  Check: from 35 to 36 by 10 % is 45 at once, and 40.26 in two changes. */
export function newWaterSalinity(
  presentSP: PracticalSalinity,
  targetSP: PracticalSalinity,
  share: number,
  count = 1,
): PracticalSalinity | null {
  if (!salinityInRange(presentSP) || !salinityInRange(targetSP) || !(share > 0 && share <= 1)) return null;
  if (!Number.isInteger(count) || count < 1) return null;
  const exchanged = count === 1 ? share : 1 - (1 - share) ** count;
  const SP = presentSP + (targetSP - presentSP) / exchanged;
  return SP >= 0 && SP <= STRONGEST_MIX_SP ? (SP as PracticalSalinity) : null;
}
