import type { Settings } from "./schema.ts";

/** How much fresh water the box can take at worst, and which limit is the smallest. */
export interface BoxBudget {
  readonly largestReservoirL: number;
  readonly because: string;
  readonly byRimL: number;
  readonly byBlockedWeirL: number;
  readonly byDilutionL: number;
  /** Days that a full reservoir lasts at the commissioned evaporation. */
  readonly autonomyDays: number;
}

type Dilutable = Pick<Settings, "tank" | "targets">;

/**
 * Litres of fresh water in place of sea water that lower the salinity of the whole tank by `step`, V·step/(S − step): a
 * mass balance of salt, with the volume held.
 */
export const dilutionL = ({ tank, targets }: Dilutable, step: number): number =>
  (tank.netVolumeL * step) / (targets.salinity - step);

/** Litres nobody asked for that the settings let into the tank before top-off locks. */
export const allowedDilutionL = (settings: Dilutable & Pick<Settings, "topOff">): number =>
  dilutionL(settings, settings.topOff.allowedDilution);

/**
 * No single or double fault can pour more than the reservoir holds, so its size is the last barrier. It should not
 * exceed the smallest of: free volume to the rim with the return pump off, free volume of the display with the weir
 * blocked, and the fresh water that lowers the salinity by one.
 */
export function boxBudget(settings: Pick<Settings, "tank" | "targets" | "topOff">): BoxBudget {
  const { tank, topOff } = settings;
  const limits: [number, string][] = [
    [tank.freeVolumePumpOffL, "free volume to the rim with the return pump off"],
    [tank.freeVolumeWeirBlockedL, "free volume of the display with the weir blocked"],
    [dilutionL(settings, 1), "fresh water that lowers salinity by 1"],
  ];
  const [byRimL, byBlockedWeirL, byDilutionL] = limits.map(([litres]) => litres) as [number, number, number];
  const [largestReservoirL, because] = limits.reduce((least, limit) => (limit[0] < least[0] ? limit : least));
  const autonomyDays = topOff.reservoirL / topOff.evaporationLPerDay;
  return { largestReservoirL, because, byRimL, byBlockedWeirL, byDilutionL, autonomyDays };
}
