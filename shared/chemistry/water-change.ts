import type { Fraction, Quantity } from "../units/index.ts";
import { isAmount } from "./amount.ts";

/** What is left of anything dissolved (any unit, the same for all) after water changes. The functions share one idea:
 *  the *difference* to the new water shrinks by the same share each time. Source: conservation of mass. */

/** After one change of a share f of the water: C' = C (1 − f) + C_new f.
 *  Share outside 0…1, a concentration negative or not finite: null. Check: 20 with 25 % of 0 is 15. */
export function afterOneChange<Q extends Quantity<string>>(
  concentration: Q,
  newConcentration: Q,
  share: Fraction,
): Q | null {
  return afterChanges(concentration, newConcentration, share, 1);
}

/** After n equal changes: C_n = C_new + (C − C_new)(1 − f)ⁿ. Check: four of 25 % leave 31.6 %. */
export function afterChanges<Q extends Quantity<string>>(
  concentration: Q,
  newConcentration: Q,
  share: Fraction,
  count: number,
): Q | null {
  if (!isAmount(concentration) || !isAmount(newConcentration) || !(share >= 0 && share <= 1)) return null;
  if (!isAmount(count) || !Number.isInteger(count)) return null;
  return (newConcentration + (concentration - newConcentration) * (1 - share) ** count) as Q;
}

/** How many equal changes until a target is reached, as a real number to be rounded up: n = ln r / ln (1 − f), with
 *  r the share of the difference that may remain. A target that the new water cannot reach: null.
 *  Check: halving takes 3.1 changes of 20 %. */
export function changesNeeded<Q extends Quantity<string>>(
  concentration: Q,
  newConcentration: Q,
  target: Q,
  share: Fraction,
): number | null {
  if (!isAmount(concentration) || !isAmount(newConcentration) || !isAmount(target)) return null;
  if (!(share > 0 && share < 1)) return null;
  if (target === concentration) return 0;
  const remaining = (target - newConcentration) / (concentration - newConcentration);
  return remaining > 0 && remaining < 1 ? Math.log(remaining) / Math.log(1 - share) : null;
}
