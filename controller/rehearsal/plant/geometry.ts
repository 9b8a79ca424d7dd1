import type { Settings } from "../../../shared/settings/index.ts";
import { returnFlowLPerH, weirWidthM } from "./proportions.ts";

/**
 * The box in heights above the working mark [mm] and surfaces [m²]; one millimetre on one square metre is one litre.
 * Display → weir lip → pinned rear chambers → baffle → last chamber → return pump → display.
 */
export interface Geometry {
  readonly displayM2: number;
  /** Rear chambers before the last; their level is pinned by the baffle. */
  readonly pinnedM2: number;
  readonly lastM2: number;
  readonly surfaceM2: number;
  readonly rimMm: number;
  readonly lipMm: number;
  readonly baffleMm: number;
  /** The return pump sucks air below this. */
  readonly intakeMm: number;
  readonly weirM: number;
  readonly returnLPerS: number;
  /** Head over the weir lip, and over the baffle, with the return pump at full flow and nothing clogged. */
  readonly weirHeadMm: number;
  readonly baffleHeadMm: number;
}

/** Rectangular weir, q = 1.84 L h^1.5 in metres and seconds (trade facts §10); here in litres and millimetres. */
export const WEIR_L_PER_S = (1.84 * 1000) / 1000 ** 1.5;

const REAR_SHARE = 0.2;
const BAFFLE_HEAD_MM = 1;
/** The return pump draws from under the low float, so that the float can warn before it sucks air. */
const INTAKE_UNDER_LOW_FLOAT_MM = 40;

/**
 * The settings give what a keeper can measure: the level after a return-pump stop and two free volumes. Rim, lip and
 * baffle are placed so that the simulated box shows exactly these; where no box can, the free volume of the blocked
 * weir gives way.
 */
export function geometryOf(tank: Settings["tank"]): Geometry {
  const weirM = weirWidthM(tank);
  const intakeMm = tank.lowFloatMm - INTAKE_UNDER_LOW_FLOAT_MM;
  const pinnedM2 = Math.max(tank.surfaceM2 * REAR_SHARE - tank.lastChamberM2, tank.lastChamberM2 / 4);
  const displayM2 = tank.surfaceM2 - pinnedM2 - tank.lastChamberM2;
  const returnLPerS = returnFlowLPerH(tank) / 3600;
  const weirHeadMm = (returnLPerS / (WEIR_L_PER_S * weirM)) ** (2 / 3);
  const rimMm = tank.pumpOffLevelMm + tank.freeVolumePumpOffL / tank.surfaceM2;
  const movedL = tank.lastChamberM2 * -intakeMm;
  const lipMm = Math.min(tank.pumpOffLevelMm, rimMm - weirHeadMm - (tank.freeVolumeWeirBlockedL + movedL) / displayM2);
  const pinnedL = tank.surfaceM2 * tank.pumpOffLevelMm - displayM2 * (lipMm + weirHeadMm);
  const baffleMm = Math.max(tank.floatHysteresisMm + 5, Math.min(lipMm, pinnedL / pinnedM2 - BAFFLE_HEAD_MM));
  return {
    displayM2,
    pinnedM2,
    lastM2: tank.lastChamberM2,
    surfaceM2: tank.surfaceM2,
    rimMm,
    lipMm,
    baffleMm,
    intakeMm,
    weirM,
    returnLPerS,
    weirHeadMm,
    baffleHeadMm: BAFFLE_HEAD_MM,
  };
}
