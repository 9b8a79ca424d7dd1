import { absoluteSalinity, densityEos80 } from "../seawater/index.ts";
import type { Celsius, Grams, Litres, PracticalSalinity } from "../units/index.ts";
import { grams } from "../units/index.ts";
import { isAmount } from "./amount.ts";
import type { HydrateFactor } from "./hydrate-factor.ts";
import { hydrateFactorInRange } from "./hydrate-factor.ts";

/** Salt product [g], dissolved outside the tank, that raises a volume [L at its temperature, °C] from one practical
 *  salinity to a higher one: m = M (S_t − S) / (1000/h − S_t) with M the water's mass [g/1000] and S in g/kg.
 *  Source: conservation of mass. A target below the present salinity, SP outside 0…42, or not finite: null.
 *  Check: 140 L from 33 to 35 take 296 g of dry salt (common practice; spread over a day for each unit). */
export function saltToRaise(
  volumeL: Litres,
  t90C: Celsius,
  presentSP: PracticalSalinity,
  targetSP: PracticalSalinity,
  h: HydrateFactor,
): Grams | null {
  const S = absoluteSalinity(presentSP) ?? Number.NaN;
  const St = absoluteSalinity(targetSP) ?? Number.NaN;
  const density = densityEos80(presentSP, t90C) ?? Number.NaN;
  const product = (volumeL * density * (St - S)) / (1000 / h - St);
  return St >= S && isAmount(product) && hydrateFactorInRange(h) ? grams(product) : null;
}
