import { measure } from "./conductivity-probe.ts";
import { evaporationLPerHM2, latentJPerKg } from "./evaporation.ts";
import { fanned } from "./fan.ts";
import { dry } from "./floor.ts";
import { balanceHeat, WATER_J_PER_L_K } from "./heat-balance.ts";
import { powerThere } from "./mains.ts";
import { BACTERIA_STEP_S, conditionsIn, feed, letBacteriaEat } from "./nitrogen.ts";
import { airOf, lampShines, roomCelsius } from "./room.ts";
import type { TankState } from "./tank-state.ts";
import { convert } from "./thermometer.ts";
import { salinityOf } from "./water.ts";

/** Room, lamp, fan and rate of evaporation are looked up anew after this many steps; their integrals go on every step. */
const SLOW_STEPS = 8;

/** What changes from second to second: heat, evaporation, and the probes, which are asked once a second. */
export function applySecondLaws(tank: TankState, dtS: number): void {
  if (tank.seconds % SLOW_STEPS === 0) lookAtRoom(tank);
  tank.seconds += 1;
  evaporate(tank, dtS);
  warm(tank, dtS);
  nourish(tank, dtS);
  if (tank.saltLossPercentPerDay > 0) loseSalt(tank, dtS);
  if (tank.floor.standingL > 0) dry(tank.floor, dtS / 3600);
  watchExtremes(tank);
  askProbes(tank, dtS);
}

function lookAtRoom(tank: TankState): void {
  const hour = tank.nowMs / 3_600_000;
  const air = airOf(tank.room, hour);
  tank.roomC = roomCelsius(tank.room, hour);
  const power = powerThere(tank.mains, tank.nowMs);
  tank.lampOn = lampShines(hour) && power;
  const perHourM2 = evaporationLPerHM2(tank.heat.restC, salinityOf(tank.water), air);
  const times = tank.stirred * tank.evaporationFactor * fanned(tank.fan, tank.heat.restC, power);
  tank.evaporationLPerS = (perHourM2 * times * tank.geometry.surfaceM2) / 3600;
}

function evaporate(tank: TankState, dtS: number): void {
  const { water, geometry, heat, accounts } = tank;
  const litres = tank.evaporationLPerS * dtS;
  water.volumeL -= litres;
  water.displayL -= (litres * geometry.displayM2) / geometry.surfaceM2;
  water.pinnedL -= (litres * geometry.pinnedM2) / geometry.surfaceM2;
  const latentJ = litres * latentJPerKg(heat.restC);
  const carriedJ = litres * WATER_J_PER_L_K * heat.restC;
  heat.restJ -= latentJ + carriedJ;
  accounts.evaporatedL += litres;
  accounts.latentJ += latentJ;
  accounts.carriedJ -= carriedJ;
}

function warm(tank: TankState, dtS: number): void {
  const { accounts, returnPump, geometry, water, roomC } = tank;
  const pumpJ = returnPump.running ? returnPump.watts * dtS : 0;
  const lampJ = tank.lampOn ? tank.lampW * dtS : 0;
  const returnLPerS = returnPump.running ? geometry.returnLPerS : 0;
  const step = { dtS, volumeL: water.volumeL, roomC, returnLPerS, sourcesJ: pumpJ + lampJ };
  accounts.roomJ += balanceHeat(tank.heat, step);
  accounts.returnPumpJ += pumpJ;
  accounts.lampJ += lampJ;
}

function nourish(tank: TankState, dtS: number): void {
  const { nitrogen, water, heat } = tank;
  tank.accounts.nitrogenInMg += feed(nitrogen, dtS);
  if (nitrogen.waitingS < BACTERIA_STEP_S) return;
  letBacteriaEat(nitrogen, water.volumeL, conditionsIn(heat.restC, salinityOf(water)));
}

function loseSalt(tank: TankState, dtS: number): void {
  const lostG = (tank.water.saltG * (tank.saltLossPercentPerDay / 100) * dtS) / 86_400;
  tank.water.saltG -= lostG;
  tank.accounts.saltLostG += lostG;
}

function watchExtremes(tank: TankState): void {
  const { extremes, heat } = tank;
  const salinity = salinityOf(tank.water);
  if (salinity < extremes.salinityMin) extremes.salinityMin = salinity;
  if (salinity > extremes.salinityMax) extremes.salinityMax = salinity;
  if (heat.restC < extremes.temperatureMinC) extremes.temperatureMinC = heat.restC;
  if (heat.restC > extremes.temperatureMaxC) extremes.temperatureMaxC = heat.restC;
}

/** Thermometer 1 hangs beside the heater, thermometer 2 in the display. */
function askProbes(tank: TankState, dtS: number): void {
  const { thermometers, heat, roomC, random } = tank;
  convert(thermometers["thermometer-1"], heat.chamberC, roomC, dtS, random);
  convert(thermometers["thermometer-2"], heat.restC, roomC, dtS, random);
  convert(thermometers["room-thermometer"], roomC, roomC, dtS, random);
  const around = {
    salinity: salinityOf(tank.water),
    waterC: heat.restC,
    roomC,
    returnOnForS: tank.returnPump.running ? tank.returnPump.onForS : null,
  };
  measure(tank.probe, around, dtS, random);
}
