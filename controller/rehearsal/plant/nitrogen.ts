import {
  type MilligramsPerLitreCod,
  type MilligramsPerLitreN,
  type MilligramsPerLitreO2,
  type NitrifyingConditions,
  nitrify,
  oxygenSaturationMgPerL,
  phNbs,
  unionisedAmmoniaNbs,
} from "../../../shared/chemistry/index.ts";
import { celsius, days, practicalSalinityValue } from "../../../shared/units/index.ts";

/**
 * The nitrogen of the box [mg, as N] and the bacteria that turn it over [mg of oxygen demand]. Nitrogen is dissolved and
 * leaves with the water; bacteria sit on rock and glass and stay.
 */
export interface Nitrogen {
  ammoniaMg: number;
  nitriteMg: number;
  nitrateMg: number;
  ammoniaOxidisersMg: number;
  nitriteOxidisersMg: number;
  /** What is fed and comes out of animals and rot as ammonia. */
  fedMgPerDay: number;
  /** Time since bacteria were last reckoned. */
  waitingS: number;
}

export interface NitrogenStart {
  /** Per litre, as N. */
  readonly ammoniaMgPerL: number;
  readonly nitrateMgPerL: number;
  readonly ammoniaOxidisersMgPerL: number;
  readonly nitriteOxidisersMgPerL: number;
  readonly fedMgPerLDay: number;
}

/**
 * A box that has run for a year: what is fed is eaten as fast, and there are as many bacteria as it can feed, yield ×
 * food ÷ decay of the simulator set (a project's own choice; the feed is *common practice*, 0.2 mg of N per litre a day).
 */
export const MATURE: NitrogenStart = {
  ammoniaMgPerL: 0.02,
  nitrateMgPerL: 1,
  ammoniaOxidisersMgPerL: 0.5,
  nitriteOxidisersMgPerL: 0.17,
  fedMgPerLDay: 0.2,
};

export function createNitrogen(volumeL: number, start: NitrogenStart): Nitrogen {
  return {
    ammoniaMg: start.ammoniaMgPerL * volumeL,
    nitriteMg: 0,
    nitrateMg: start.nitrateMgPerL * volumeL,
    ammoniaOxidisersMg: start.ammoniaOxidisersMgPerL * volumeL,
    nitriteOxidisersMg: start.nitriteOxidisersMgPerL * volumeL,
    fedMgPerDay: start.fedMgPerLDay * volumeL,
    waitingS: 0,
  };
}

/** 0.005 d: by steps of this length the kinetics agree with finer ones to half a percent. */
export const BACTERIA_STEP_S = 432;
const S_PER_DAY = 86_400;

/** Returns what was fed meanwhile [mg]. */
export function feed(nitrogen: Nitrogen, dtS: number): number {
  const fedMg = (nitrogen.fedMgPerDay * dtS) / S_PER_DAY;
  nitrogen.ammoniaMg += fedMg;
  nitrogen.waitingS += dtS;
  return fedMg;
}

/** One step of the bacteria. */
export function letBacteriaEat(nitrogen: Nitrogen, volumeL: number, around: NitrifyingConditions): void {
  nitrogen.waitingS -= BACTERIA_STEP_S;
  const before = {
    ammonia: (nitrogen.ammoniaMg / volumeL) as MilligramsPerLitreN,
    nitrite: (nitrogen.nitriteMg / volumeL) as MilligramsPerLitreN,
    nitrate: (nitrogen.nitrateMg / volumeL) as MilligramsPerLitreN,
    ammoniaOxidisers: (nitrogen.ammoniaOxidisersMg / volumeL) as MilligramsPerLitreCod,
    nitriteOxidisers: (nitrogen.nitriteOxidisersMg / volumeL) as MilligramsPerLitreCod,
  };
  const after = nitrify(before, around, days(BACTERIA_STEP_S / S_PER_DAY));
  // Too cold or too hot for the rate laws: nobody eats.
  if (after === null) return;
  nitrogen.ammoniaMg += (after.ammonia - before.ammonia) * volumeL;
  nitrogen.nitriteMg += (after.nitrite - before.nitrite) * volumeL;
  nitrogen.nitrateMg += (after.nitrate - before.nitrate) * volumeL;
  nitrogen.ammoniaOxidisersMg = after.ammoniaOxidisers * volumeL;
  nitrogen.nitriteOxidisersMg = after.nitriteOxidisers * volumeL;
}

/** pH of a box in order by a meter calibrated in dilute buffers, and the oxygen of well-moved water: 6.4 mg/L at 26 °C
 *  and 35, as the simulator set has it. */
const PH = phNbs(8.2);
const OXYGEN_SHARE = 6.4 / 6.659;
const NO_FOOD_IS_TOXIC = 0 as NitrifyingConditions["unionised"];
const NO_OXYGEN = 0 as MilligramsPerLitreO2;

export function conditionsIn(waterC: number, salinity: number): NitrifyingConditions {
  const t90C = celsius(waterC);
  const SP = practicalSalinityValue(salinity);
  const saturation = oxygenSaturationMgPerL(SP, t90C);
  return {
    t90C,
    oxygen: saturation === null ? NO_OXYGEN : ((saturation * OXYGEN_SHARE) as MilligramsPerLitreO2),
    unionised: unionisedAmmoniaNbs(PH, SP, t90C) ?? NO_FOOD_IS_TOXIC,
  };
}

/** Nitrogen dissolved in the box [mg]. */
export const dissolvedMg = (nitrogen: Nitrogen): number => nitrogen.ammoniaMg + nitrogen.nitriteMg + nitrogen.nitrateMg;

/** Takes this share of what is dissolved along; returns it [mg]. */
export function carryNitrogen(nitrogen: Nitrogen, share: number): number {
  const goneMg = dissolvedMg(nitrogen) * share;
  nitrogen.ammoniaMg -= nitrogen.ammoniaMg * share;
  nitrogen.nitriteMg -= nitrogen.nitriteMg * share;
  nitrogen.nitrateMg -= nitrogen.nitrateMg * share;
  return goneMg;
}
