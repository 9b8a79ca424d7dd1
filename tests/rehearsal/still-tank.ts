import { createTank, type Tank } from "../../controller/rehearsal/plant/tank.ts";
import { lastLevelMm, salinityOf } from "../../controller/rehearsal/plant/water.ts";
import type { Commands } from "../../shared/contract/index.ts";
import { EVERYTHING_OFF } from "../../shared/contract/index.ts";
import { settingsSchema } from "../../shared/settings/index.ts";

/** Switches as a test sets them by hand. */
export const OFF: Commands = { ...EVERYTHING_OFF, "heat-guard": true };
export const HEAT: Commands = { ...OFF, "heater-1": true };
export const POUR: Commands = { ...OFF, "top-off-pump": true, "water-guard": true };

export const SETTINGS = settingsSchema.parse({
  topOff: {
    reservoirL: 10,
    largeReservoir: {
      because: "for the tests of the simulated tank",
      noSiphon: "air-gap",
      highFloatInSeries: true,
      displayGuard: "no-weir",
    },
  },
});

/** The default tank, and how it is asked for its level, salinity and temperature. */
export const defaultTank = (seed = 1): Tank => createTank(seed, SETTINGS);
export const levelMm = (tank: Tank): number => lastLevelMm(tank.state.water, tank.state.geometry);
export const salinity = (tank: Tank): number => salinityOf(tank.state.water);
export const waterC = (tank: Tank): number => tank.state.heat.restC;

/** Lets time pass with the commands renewed four times a second, as the scan would. */
export function runFor(tank: Tank, seconds: number, commands: Commands = OFF): void {
  for (let scan = 0; scan < seconds * 4; scan++) tank.apply(commands, 250);
}

/** A tank for the heat figures of the trade facts: no swing, no lamp, air as still as Shah's. */
export function stillTank(roomC: number, heat: { heaterW?: number; returnPumpW?: number } = {}): Tank {
  const settings = settingsSchema.parse({ heat: { returnPumpW: 0, ...heat } });
  return createTank(1, settings, {
    room: { temperatureC: roomC, swingC: 0, humidityPct: 50 },
    start: { temperatureC: 26, salinity: 35, reservoirL: 4 },
    lampW: 0,
    stirred: 1,
  });
}

/** Hours until the water has come from one side to the other of this temperature. */
export function hoursUntil(tank: Tank, reached: (celsius: number) => boolean, mostH: number): number {
  let minutes = 0;
  while (!reached(waterC(tank)) && minutes < mostH * 60) {
    tank.apply(OFF, 60_000);
    minutes += 1;
  }
  return minutes / 60;
}
