import type { LitresPerDay } from "../units/index.ts";
import { driving, type OpenWater } from "./open-water.ts";

/** Evaporation [L/d] by the aerodynamic term of Penman: E = 2.6 (1 + 0.536 u)(e_s − e_a) [mm/d], u in m/s, e in kPa.
 *  A millimetre on a square metre is a litre. Made for open country, it reads high in a room.
 *  Source: Penman 1948, Proc. R. Soc. A 193, 120–145. Range as vapour-pressure; 0 where it would condense.
 *  Check: 1.89 L/d for the worked tank of evaporation-band.ts. */
export function evaporationPenman(open: OpenWater): LitresPerDay | null {
  const pressure = driving(open);
  if (pressure === null) return null;
  const mmPerDay = 2.6 * (1 + 0.536 * open.airSpeed) * (pressure.water - pressure.air);
  return Math.max(0, mmPerDay * open.surface) as LitresPerDay;
}
