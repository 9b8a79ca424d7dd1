import type { TankState } from "./tank-state.ts";

/** What really happened to the water, never what anybody believed. */
export interface Truth {
  /** Over a rim or out of the tube onto the floor. */
  readonly spilledL: number;
  /** What a leak took. */
  readonly leakedL: number;
  /** Highest level in the last chamber above the working mark. */
  readonly peakLevelMm: number;
  readonly salinityMin: number;
  readonly salinityMax: number;
  readonly temperatureMinC: number;
  readonly temperatureMaxC: number;
  /** Out of the tube into the tank. */
  readonly pouredL: number;
  readonly evaporatedL: number;
  readonly pumpDryS: number;
  readonly heaterDryS: number;
  readonly heaterOnH: number;
}

export function truthOf(tank: TankState): Truth {
  const { accounts, extremes } = tank;
  return {
    spilledL: accounts.overRimL + accounts.tubeSpilledL,
    leakedL: accounts.leakedL,
    peakLevelMm: extremes.peakLevelMm,
    salinityMin: extremes.salinityMin,
    salinityMax: extremes.salinityMax,
    temperatureMinC: extremes.temperatureMinC,
    temperatureMaxC: extremes.temperatureMaxC,
    pouredL: accounts.pouredL,
    evaporatedL: accounts.evaporatedL,
    pumpDryS: tank.plumbing.dryS,
    heaterDryS: accounts.heaterDryS,
    heaterOnH: accounts.heaterOnS / 3600,
  };
}
