import type { Settings } from "../../../shared/settings/index.ts";
import type { ReservoirMarks } from "./contact-sensor.ts";

/**
 * What no settings file asks of a keeper, and what a box of another size has more or less of: drawn in proportion from
 * the default tank of 140 L and 0.35 m² (its figures are the reference tank's of the trade facts; that others follow in
 * proportion is *common practice*).
 */
const DEFAULT_L = 140;
const DEFAULT_SURFACE_M2 = 0.35;

type Tank = Settings["tank"];

/** The water goes round fourteen times an hour, in a small box as in a large one. */
export const returnFlowLPerH = ({ netVolumeL }: Pick<Tank, "netVolumeL">): number => (2000 * netVolumeL) / DEFAULT_L;

/** A weir is as wide as a side of the box lets it be: 0.2 m. */
export const weirWidthM = ({ surfaceM2 }: Pick<Tank, "surfaceM2">): number =>
  0.2 * Math.sqrt(surfaceM2 / DEFAULT_SURFACE_M2);

/** Half of a lamp of 80 W goes into the water. */
export const lampInWaterW = ({ surfaceM2 }: Pick<Tank, "surfaceM2">): number => 40 * (surfaceM2 / DEFAULT_SURFACE_M2);

/** The heater's chamber: 8 L. */
export const heaterChamberL = (volumeL: number): number => (volumeL * 8) / DEFAULT_L;

/** The reservoir's float hangs where a twentieth is left: half a litre of ten. */
export const reservoirMarks = ({ reservoirL }: Settings["topOff"]): ReservoirMarks => ({
  wetAtL: 0.06 * reservoirL,
  dryAtL: 0.05 * reservoirL,
});
