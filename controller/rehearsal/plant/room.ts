import type { Air } from "./evaporation.ts";

/** The room and the lamp, by the hour of the local day; hour 0 is midnight. */
export interface Room {
  meanC: number;
  swingC: number;
  humidity: number;
  /** A heatwave or an open window in place of the daily course. */
  overrideC: number | null;
}

const WARMEST_AT_H = 16;
const LAMP_FROM_H = 12;
const LAMP_UNTIL_H = 20;

export const roomCelsius = (room: Room, hour: number): number =>
  room.overrideC ?? room.meanC + room.swingC * Math.cos(((hour - WARMEST_AT_H) / 24) * 2 * Math.PI);

export const airOf = (room: Room, hour: number): Air => ({ celsius: roomCelsius(room, hour), humidity: room.humidity });

export function lampShines(hour: number): boolean {
  const ofDay = hour % 24;
  return ofDay >= LAMP_FROM_H && ofDay < LAMP_UNTIL_H;
}
