import { evaporationLPerHM2 } from "../../controller/rehearsal/plant/evaporation.ts";

/**
 * The settings file of a box of another size, as its keeper measures it: what stands in the file of the default tank of
 * 140 L, drawn in proportion. What lies along the glass grows with the surface, the surface with the ⅔ power of the
 * volume, as it does for boxes of one shape.
 */
export interface BoxOptions {
  readonly volumeL: number;
  readonly salinity: number;
  /** What evaporates a day, as it was commissioned. */
  readonly evaporationLPerDay: number;
  /** Days that a full reservoir lasts; more than the box can take is accepted by name. */
  readonly reservoirDays: number;
  readonly roomC: number;
}

export const surfaceOf = (volumeL: number): number => round(0.35 * (volumeL / 140) ** (2 / 3));

export function boxSettings({ volumeL, salinity, evaporationLPerDay, reservoirDays, roomC }: BoxOptions) {
  const share = volumeL / 140;
  const flat = surfaceOf(volumeL) / 0.35;
  return {
    tank: {
      netVolumeL: round(volumeL),
      surfaceM2: surfaceOf(volumeL),
      lastChamberM2: round(0.02 * flat, 4),
      freeVolumePumpOffL: round(10.5 * flat),
      freeVolumeWeirBlockedL: round(4.4 * flat),
    },
    topOff: {
      provenFlowLPerMin: round(1.5 * share),
      coastMl: Math.round(20 * share),
      // What changes salinity by 0.06, and never more than a slice may be.
      sliceMl: Math.max(20, Math.min(250, Math.floor((60 * volumeL) / salinity))),
      evaporationLPerDay: round(evaporationLPerDay),
      dailyBudgetL: round(Math.max(1.5 * share, 2 * evaporationLPerDay)),
      reservoirL: round(reservoirDays * evaporationLPerDay),
    },
    heat: {
      // Larger boxes lose more through their walls, and are given more heat in the same proportion.
      heaterW: Math.round(200 * flat),
      lossWPerK: round(15 * flat),
      roomC: round(roomC),
      returnPumpW: Math.round(25 * share),
    },
  };
}

/** The plant's own stirring of the air. */
const STIRRED = 1.2;
const WATER_C = 25.2;

/** What a keeper finds in the first weeks: the litres that a box of this surface loses in this room in a day. */
export const evaporationInRoom = (surfaceM2: number, roomC: number, humidityPct: number): number =>
  evaporationLPerHM2(WATER_C, 35, { celsius: roomC, humidity: humidityPct / 100 }) * STIRRED * surfaceM2 * 24;

function round(value: number, decimals = 3): number {
  const scale = 10 ** decimals;
  return Math.round(value * scale) / scale;
}
