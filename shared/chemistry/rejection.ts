import type { Fraction, Quantity } from "../units/index.ts";
import { fraction } from "../units/index.ts";
import { isAmount, isPositive } from "./amount.ts";

/** Share of the dissolved content that a membrane holds back: 1 − product / feed, in any one unit.
 *  Below zero when the product is worse than the feed. A feed of zero, or not finite: null.
 *  Common practice: 95…98 % is healthy, under 90 % calls for a new membrane. */
export function rejection<Q extends Quantity<string>>(feed: Q, product: Q): Fraction | null {
  return isPositive(feed) && isAmount(product) ? fraction(1 - product / feed) : null;
}
