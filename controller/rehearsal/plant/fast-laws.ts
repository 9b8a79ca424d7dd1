import { GUARD_OF, type HeaterPart } from "../../../shared/contract/index.ts";
import { closed } from "./contact.ts";
import { floatTo, liftFloat, reservoirFloatTo } from "./contact-sensor.ts";
import { bringIn, carryOff } from "./exchange.ts";
import { floorWet } from "./floor.ts";
import { heatingWatts } from "./heater.ts";
import { moveWater, overTheRimL } from "./levels.ts";
import { powerThere } from "./mains.ts";
import { runPlumbing } from "./plumbing.ts";
import { swing } from "./slosh.ts";
import type { TankState } from "./tank-state.ts";
import { lastLevelMm, SALT_G_PER_L } from "./water.ts";

/** What changes from one quarter of a second to the next: power, water on its way, levels, floats. */
export function applyFastLaws(tank: TankState, dtS: number): void {
  const power = powerThere(tank.mains, tank.nowMs);
  runReturnPump(tank, power, dtS);
  pour(tank, power, dtS);
  if (tank.jobs.length > 0) handWater(tank, dtS);
  if (tank.leakLPerH > 0) leak(tank, dtS);
  moveWater(tank.water, tank.geometry, tank.clogging, tank.returnPump.running, dtS);
  spill(tank);
  const levelMm = lastLevelMm(tank.water, tank.geometry);
  if (levelMm > tank.extremes.peakLevelMm) tank.extremes.peakLevelMm = levelMm;
  runHeater(tank, "heater-1", power, levelMm, dtS);
  if (tank.heaters["heater-2"] !== null) runHeater(tank, "heater-2", power, levelMm, dtS);
  swing(tank.slosh, tank.random, tank.returnPump.running);
  moveContacts(tank, power, levelMm + tank.slosh.nowMm, dtS);
}

function runReturnPump(tank: TankState, power: boolean, dtS: number): void {
  const pump = tank.returnPump;
  pump.running = power && !pump.stopped && pump.restLeftS <= 0;
  if (pump.restLeftS > 0) pump.restLeftS -= dtS;
  pump.onForS = pump.running ? pump.onForS + dtS : 0;
}

function pour(tank: TankState, power: boolean, dtS: number): void {
  const { plumbing, contacts, accounts } = tank;
  runPlumbing(plumbing, power && closed(contacts["water-guard"]) && closed(contacts["top-off-pump"]), dtS);
  if (plumbing.outL === 0) return;
  if (plumbing.tubeOff) {
    accounts.tubeSpilledL += plumbing.outL;
    tank.floor.standingL += plumbing.outL;
    return;
  }
  accounts.pouredL += plumbing.outL;
  accounts.pouredG += plumbing.outSaltG;
  accounts.carriedJ += bringIn(tank, plumbing.outL, plumbing.outSaltG, tank.roomC, false);
}

const HAND_L_PER_S = 4 / 60;

function handWater(tank: TankState, dtS: number): void {
  const job = tank.jobs[0];
  if (job === undefined) return;
  const litres = Math.min(job.litresLeft, HAND_L_PER_S * dtS);
  job.litresLeft -= litres;
  if (job.outwards) {
    const off = carryOff(tank, litres);
    tank.water.displayL -= litres;
    tank.accounts.handsOutL += litres;
    tank.accounts.handsOutG += off.saltG;
    tank.accounts.carriedJ -= off.joules;
    tank.accounts.nitrogenOutMg += off.nitrogenMg;
  } else {
    const saltG = litres * job.salinity * SALT_G_PER_L;
    tank.accounts.handsInL += litres;
    tank.accounts.handsInG += saltG;
    tank.accounts.carriedJ += bringIn(tank, litres, saltG, job.celsius, true);
  }
  if (job.litresLeft <= 0) tank.jobs.shift();
}

/** A seam that seeps away where no floor sensor lies: the harder case to notice. It stops before the box is dry. */
function leak(tank: TankState, dtS: number): void {
  const litres = (tank.leakLPerH / 3600) * dtS;
  if (tank.water.volumeL < 0.2 * tank.water.belowMarkL + litres) return;
  const off = carryOff(tank, litres);
  tank.water.displayL -= litres;
  tank.accounts.leakedL += litres;
  tank.accounts.leakedG += off.saltG;
  tank.accounts.carriedJ -= off.joules;
  tank.accounts.nitrogenOutMg += off.nitrogenMg;
}

function spill(tank: TankState): void {
  const litres = overTheRimL(tank.water, tank.geometry);
  if (litres === 0) return;
  const off = carryOff(tank, litres);
  tank.accounts.overRimL += litres;
  tank.accounts.overRimG += off.saltG;
  tank.accounts.carriedJ -= off.joules;
  tank.accounts.nitrogenOutMg += off.nitrogenMg;
  tank.floor.standingL += litres;
}

function runHeater(tank: TankState, part: HeaterPart, power: boolean, levelMm: number, dtS: number): void {
  const { contacts, accounts, heat } = tank;
  const heater = tank.heaters[part];
  if (!power || heater === null || !closed(contacts[part]) || !closed(contacts[GUARD_OF[part]])) return;
  const watts = heatingWatts(heater, heat.chamberC);
  if (watts === 0) return;
  accounts.heaterOnS += dtS;
  if (heater.uncovered || (heater.coveredToMm !== null && levelMm < heater.coveredToMm)) {
    accounts.heaterDryS += dtS;
    return;
  }
  heat.heaterJ += watts * dtS;
  accounts.heaterJ += watts * dtS;
}

const FLOATS = ["working-float", "high-float", "low-float", "reservoir-float"] as const;

function moveContacts(tank: TankState, power: boolean, surfaceMm: number, dtS: number): void {
  const { sensors, marks } = tank;
  floatTo(sensors["working-float"], marks["working-float"], surfaceMm);
  floatTo(sensors["high-float"], marks["high-float"], surfaceMm);
  floatTo(sensors["low-float"], marks["low-float"], surfaceMm);
  reservoirFloatTo(sensors["reservoir-float"], tank.reservoirMarks, tank.plumbing.reservoirL);
  for (const float of FLOATS) liftFloat(sensors[float], dtS);
  sensors["floor-sensor"].at = floorWet(tank.floor);
  sensors["mains-sensor"].at = power;
  sensors["return-sensor"].at = tank.returnPump.running;
}
