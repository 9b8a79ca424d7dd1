import type { LitresPerDay } from "../units/index.ts";
import { evaporationPenman } from "./evaporation-penman.ts";
import { evaporationPool } from "./evaporation-pool.ts";
import { evaporationShah } from "./evaporation-shah.ts";
import type { OpenWater } from "./open-water.ts";

export type EvaporationBand = {
  readonly lowest: LitresPerDay;
  readonly highest: LitresPerDay;
  readonly pool: LitresPerDay;
  readonly shah: LitresPerDay;
  readonly penman: LitresPerDay;
};

/** Evaporation as a band [L/d], because no formula was made for an aquarium: the pool formula at 0.6 of full activity,
 *  Shah's for still air, and Penman's, from the lowest to the highest of them. A cover, a lamp or a draught moves a
 *  tank out of it. Out of range: null.
 *  Check: 0.35 m² at 26 °C in a room of 22 °C and 50 %, air at 0.1 m/s, loses 1.4…1.9 L/d (common practice). */
export function evaporationBand(open: OpenWater): EvaporationBand | null {
  const pool = evaporationPool(open);
  // The three share one range, so one null speaks for all.
  if (pool === null) return null;
  const shah = evaporationShah(open)!;
  const penman = evaporationPenman(open)!;
  return {
    lowest: Math.min(pool, shah, penman) as LitresPerDay,
    highest: Math.max(pool, shah, penman) as LitresPerDay,
    pool,
    shah,
    penman,
  };
}
