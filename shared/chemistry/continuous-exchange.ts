import type { Litres, Quantity } from "../units/index.ts";
import { isAmount, isPositive } from "./amount.ts";

/** After a continuous exchange, new water in and mixed water out at one rate: C = C_new + (C − C_new) e^(−x/V).
 *  Volume not above zero, or anything negative or not finite: null. Check: one whole volume leaves 36.8 %. */
export function afterContinuousExchange<Q extends Quantity<string>>(
  concentration: Q,
  newConcentration: Q,
  exchangedL: Litres,
  volumeL: Litres,
): Q | null {
  if (!isAmount(concentration) || !isAmount(newConcentration) || !isAmount(exchangedL) || !isPositive(volumeL)) {
    return null;
  }
  return (newConcentration + (concentration - newConcentration) * Math.exp(-exchangedL / volumeL)) as Q;
}
