import { heaterChamberL } from "./proportions.ts";

/**
 * Heat in two bodies of water: the heater's chamber, and the rest with rock and sand. The return pump makes them one.
 * C dT/dt = P_heater + P_pump + P_lamp − UA (T − T_room) − E h + what water carries in and out (trade facts §10).
 */
export interface Heat {
  /** Joules above 0 °C. */
  restJ: number;
  chamberJ: number;
  restC: number;
  chamberC: number;
  /** Heat from the heater since the last step. */
  heaterJ: number;
  readonly rockJPerK: number;
  readonly chamberL: number;
  /** Sides, surface and bottom, without evaporation. */
  readonly lossWPerK: number;
}

/** Sea water of 35 at 26 °C: 1.023 kg/L × 3998 J/(kg K) (Millero 1973); taken for every water that comes or goes. */
export const WATER_J_PER_L_K = 1.023 * 3998;
/** 35 kg of rock and sand in 140 L: what makes 573 kJ/K the 602 kJ/K of the reference tank (trade facts §3). */
const ROCK_J_PER_K_L = 29_400 / 140;
/** Share of the loss that leaves through the heater's chamber. */
const CHAMBER_LOSS_SHARE = 0.1;
/** Exchange between the two bodies with the return pump stopped, for each litre of the chamber; a guess at slow mixing. */
const STILL_W_PER_K_L = 0.5;

export function createHeat(volumeL: number, celsius: number, lossWPerK: number): Heat {
  const chamberL = heaterChamberL(volumeL);
  const rockJPerK = volumeL * ROCK_J_PER_K_L;
  const chamberJ = chamberL * WATER_J_PER_L_K * celsius;
  const restJ = (rockJPerK + (volumeL - chamberL) * WATER_J_PER_L_K) * celsius;
  return { restJ, chamberJ, restC: celsius, chamberC: celsius, heaterJ: 0, rockJPerK, chamberL, lossWPerK };
}

export interface HeatStep {
  readonly dtS: number;
  readonly volumeL: number;
  readonly roomC: number;
  readonly returnLPerS: number;
  /** Pump and lamp, into the rest. */
  readonly sourcesJ: number;
}

/** One second or so. Returns the joules that left for the room. */
export function balanceHeat(heat: Heat, step: HeatStep): number {
  const lossJPerK = heat.lossWPerK * step.dtS;
  const fromRestJ = (1 - CHAMBER_LOSS_SHARE) * lossJPerK * (heat.restC - step.roomC);
  const fromChamberJ = CHAMBER_LOSS_SHARE * lossJPerK * (heat.chamberC - step.roomC);
  const stillWPerK = STILL_W_PER_K_L * heat.chamberL;
  const mixedJ = (stillWPerK + step.returnLPerS * WATER_J_PER_L_K) * step.dtS * (heat.chamberC - heat.restC);
  heat.chamberJ += heat.heaterJ - mixedJ - fromChamberJ;
  heat.restJ += mixedJ - fromRestJ + step.sourcesJ;
  heat.heaterJ = 0;
  heat.chamberC = heat.chamberJ / (heat.chamberL * WATER_J_PER_L_K);
  heat.restC = heat.restJ / (heat.rockJPerK + (step.volumeL - heat.chamberL) * WATER_J_PER_L_K);
  return fromRestJ + fromChamberJ;
}
