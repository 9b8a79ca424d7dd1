import type { Settings } from "../../../shared/settings/index.ts";

/**
 * A fan over the water, with a thermostat of its own. How air moves over water is not reckoned: its keeper has measured
 * what evaporates with it and without, and still air is taken that much faster. What it takes from the water or gives to
 * it without evaporation is left out: some watts for each kelvin to the room.
 */
export interface Fan {
  readonly aboveC: number;
  /** What evaporates while it blows, against still air. */
  readonly times: number;
  blowing: boolean;
  dead: boolean;
  stuckOn: boolean;
}

/** A thermostat that has come on stays on until the water is this much cooler (*common practice*). */
const PLAY_K = 0.3;

export const createFan = ({ fan, evaporationLPerDay }: Settings["topOff"]): Fan | null =>
  fan === null
    ? null
    : {
        aboveC: fan.aboveC,
        times: fan.evaporationLPerDay / evaporationLPerDay,
        blowing: false,
        dead: false,
        stuckOn: false,
      };

/** Looks at the water, and says how many times as much evaporates now. */
export function fanned(fan: Fan | null, waterC: number, power: boolean): number {
  if (fan === null) return 1;
  const wanted = fan.stuckOn || waterC > fan.aboveC - (fan.blowing ? PLAY_K : 0);
  fan.blowing = power && wanted && !fan.dead;
  return fan.blowing ? fan.times : 1;
}
