import type { Geometry } from "./geometry.ts";

/**
 * The water and the salt of the tank. `volumeL` and `saltG` change only by what comes in or goes out; where the water
 * stands inside the box is two further numbers, so that no law of levels can lose a drop.
 */
export interface Water {
  volumeL: number;
  saltG: number;
  /** Display and pinned chambers, litres above the height of the working mark; the last chamber has the rest. */
  displayL: number;
  pinnedL: number;
  /** `volumeL` at which nothing stands above the working mark. */
  readonly belowMarkL: number;
}

/** Volumes are taken as additive, and a litre at practical salinity 1 as holding this much salt: sea water of 35 at
 *  25 °C has 1.0233 kg/L and 35.165 g/kg (TEOS-10). Below 0.1 in salinity against the mass form (trade facts §4). */
export const SALT_G_PER_L = 1.0233 * (35.16504 / 35);

export function createWater(geometry: Geometry, volumeL: number, salinity: number): Water {
  const displayL = geometry.displayM2 * (geometry.lipMm + geometry.weirHeadMm);
  const pinnedL = geometry.pinnedM2 * (geometry.baffleMm + geometry.baffleHeadMm);
  const saltG = volumeL * salinity * SALT_G_PER_L;
  return { volumeL, saltG, displayL, pinnedL, belowMarkL: volumeL - displayL - pinnedL };
}

export const salinityOf = (water: Water): number => water.saltG / (water.volumeL * SALT_G_PER_L);

export const lastLevelMm = (water: Water, geometry: Geometry): number =>
  (water.volumeL - water.belowMarkL - water.displayL - water.pinnedL) / geometry.lastM2;
