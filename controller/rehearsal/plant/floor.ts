/** The floor under the box: what falls on it stays until it dries or somebody wipes it. */
export interface Floor {
  standingL: number;
  driedL: number;
}

export const createFloor = (): Floor => ({ standingL: 0, driedL: 0 });

/** A puddle of a few millimetres under the sensor; *common practice*. */
const WETS_SENSOR_L = 0.02;
const DRIES_L_PER_H = 0.05;

export const floorWet = (floor: Floor): boolean => floor.standingL >= WETS_SENSOR_L;

export function dry(floor: Floor, hours: number): void {
  const gone = Math.min(floor.standingL, DRIES_L_PER_H * hours);
  floor.standingL -= gone;
  floor.driedL += gone;
}

export function wipe(floor: Floor): void {
  floor.driedL += floor.standingL;
  floor.standingL = 0;
}
