import { type Geometry, WEIR_L_PER_S } from "./geometry.ts";
import { lastLevelMm, type Water } from "./water.ts";

/** Where clogging narrows the way of the water: 0 = clean, 1 = closed. */
export interface Clogging {
  weir: number;
  chamber: number;
}

/** The return pump loses its flow over the last millimetres above its intake. */
const STARVES_OVER_MM = 10;

/** Moves the water round the box for one short step: return pump, weir, baffle. Changes no volume. Weir and
 *  return pump look at the same moment, or the head over the weir would be short by what one step pumps. */
export function moveWater(water: Water, geometry: Geometry, clogging: Clogging, pumping: boolean, dtS: number): void {
  const returnedL = pumping ? returned(lastLevelMm(water, geometry), geometry, dtS) : 0;
  const overWeirL = weirFlow(water, geometry, clogging.weir, dtS);
  water.displayL += returnedL - overWeirL;
  water.pinnedL += overWeirL;
  water.pinnedL -= baffleFlow(water, geometry, clogging.chamber, dtS);
}

/** Litres above the rim of any chamber: they are on their way to the floor. Takes them out of their chamber. */
export function overTheRimL(water: Water, geometry: Geometry): number {
  const displayL = Math.max(0, water.displayL - geometry.rimMm * geometry.displayM2);
  const pinnedL = Math.max(0, water.pinnedL - geometry.rimMm * geometry.pinnedM2);
  const lastL = Math.max(0, lastLevelMm(water, geometry) - geometry.rimMm) * geometry.lastM2;
  water.displayL -= displayL;
  water.pinnedL -= pinnedL;
  return displayL + pinnedL + lastL;
}

function returned(levelMm: number, geometry: Geometry, dtS: number): number {
  const aboveIntakeMm = levelMm - geometry.intakeMm;
  if (aboveIntakeMm <= 0) return 0;
  return geometry.returnLPerS * Math.min(1, aboveIntakeMm / STARVES_OVER_MM) * dtS;
}

/** Free overfall, or drowned from below by Villemonte's factor (1947); negative = back into the display. */
function weirFlow(water: Water, geometry: Geometry, clogged: number, dtS: number): number {
  const displayMm = water.displayL / geometry.displayM2 - geometry.lipMm;
  const pinnedMm = water.pinnedL / geometry.pinnedM2 - geometry.lipMm;
  const highMm = Math.max(displayMm, pinnedMm);
  if (highMm <= 0) return 0;
  const freeL = WEIR_L_PER_S * geometry.weirM * (1 - clogged) * highMm * Math.sqrt(highMm) * dtS;
  const lowMm = Math.min(displayMm, pinnedMm);
  if (lowMm <= 0) return displayMm > pinnedMm ? freeL : -freeL;
  const drownedL = freeL * (1 - (lowMm / highMm) ** 1.5) ** 0.385;
  const evenAreaM2 = (geometry.displayM2 * geometry.pinnedM2) / (geometry.displayM2 + geometry.pinnedM2);
  const movedL = Math.min(drownedL, 0.5 * (highMm - lowMm) * evenAreaM2);
  return displayMm > pinnedMm ? movedL : -movedL;
}

/**
 * Head ∝ flow² across the grid over the baffle, solved for the end of the step, so that the small chamber cannot
 * overshoot however short its time constant: first as a free fall over the baffle, and where that would lift the lower
 * side above it, as two chambers that have become one.
 */
function baffleFlow(water: Water, geometry: Geometry, clogged: number, dtS: number): number {
  const lastMm = lastLevelMm(water, geometry);
  const pinnedMm = water.pinnedL / geometry.pinnedM2;
  const { baffleMm, pinnedM2, lastM2 } = geometry;
  const highMm = Math.max(pinnedMm, lastMm);
  if (highMm <= baffleMm) return 0;
  const lowMm = Math.min(pinnedMm, lastMm);
  const perRootMm = (geometry.returnLPerS / Math.sqrt(geometry.baffleHeadMm)) * (1 - clogged) * dtS;
  const fromM2 = pinnedMm > lastMm ? pinnedM2 : lastM2;
  const toM2 = pinnedMm > lastMm ? lastM2 : pinnedM2;
  let movedL = settled(highMm - baffleMm, fromM2, perRootMm);
  if (lowMm + movedL / toM2 > baffleMm) {
    movedL = settled(highMm - lowMm, (fromM2 * toM2) / (fromM2 + toM2), perRootMm);
  }
  return pinnedMm > lastMm ? movedL : -movedL;
}

/** Litres that leave while the head sinks to s², where s = √head is the positive root of s² + a·s − head = 0. */
function settled(headMm: number, areaM2: number, perRootMm: number): number {
  const a = perRootMm / areaM2;
  const s = (Math.sqrt(a * a + 4 * headMm) - a) / 2;
  return (headMm - s * s) * areaM2;
}
