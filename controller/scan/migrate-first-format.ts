import type { Witness } from "../../shared/contract/witness.ts";
import { FRESH_HEAT_DURABLE } from "../decisions/heat/memory.ts";
import { NEVER_MEASURED } from "../quantities/ledger/index.ts";

/** Memory as version 0.1.0 wrote it: without a version, and with each part under a name of its own. */
export const isFirstFormat = (stored: unknown): stored is Stored =>
  isObject(stored) && stored.version === undefined && isObject(stored.topOff);

type Stored = Readonly<Record<string, unknown>>;

/** The same in the second format. What is in it is judged by the schemas, as everything that is stored. */
export function migrateFirstFormat(stored: Stored): unknown {
  const { sequence, topOff, heat, secondHeat, hold, alarms, calibrationMs, answered, ...rest } = stored;
  const { proofs, calibration, ledger, cartridge, outOfWater, stoppedBy } = rest;
  // In its first weeks it knew neither a second heater nor what was measured in a reservoir.
  return {
    version: 2,
    sequence,
    machines: {
      hold,
      calibration: isObject(calibration) ? { ...calibration, cellAgeMs: calibrationMs } : calibration,
      proving: proofs,
      "heater-1": migrateHeat(heat),
      "heater-2": migrateHeat(secondHeat ?? FRESH_HEAT_DURABLE),
      "top-off": topOff,
      ledger: isObject(ledger) ? { ...NEVER_MEASURED, ...ledger } : ledger,
      "source-water": cartridge,
      "thermometer-trust": outOfWater,
    },
    alarms,
    answered,
    stoppedBy,
  };
}

/** Before heat went on by one contact there were two that were well, or a lock. */
const migrateHeat = (heat: unknown): unknown => (isObject(heat) ? { oneContact: null, ...heat } : heat);

/** What 0.1.0 kept a second time, as the machines tell it now. */
export const isFirstWitness = (stored: unknown): stored is Stored => isObject(stored) && isObject(stored.proven);

export function migrateFirstWitness(stored: Stored): Witness {
  const { proven, flowLPerMin, calibrations, topOffLock, waterGuardLocked, outOfWater } = stored;
  const { heatLock, heaterNoEffect, secondHeatLock, secondHeaterNoEffect, holdMs, holdWithHeat, question } = stored;
  return {
    // One from before it kept the question does not know whether one was open: then it was.
    hold: { holdMs, withHeat: holdWithHeat, question: question ?? true },
    calibration: { flowLPerMin, calibrations },
    proving: { proven },
    "heater-1": { lock: heatLock, noEffect: heaterNoEffect },
    "heater-2": { lock: secondHeatLock, noEffect: secondHeaterNoEffect },
    "top-off": { lock: topOffLock, guardLocked: waterGuardLocked },
    "thermometer-trust": { outOfWater },
  };
}

const isObject = (value: unknown): value is Stored =>
  typeof value === "object" && value !== null && !Array.isArray(value);
