import type { Signal } from "../../shared/contract/signal.ts";
import {
  practicalSalinity,
  salinityStanding,
  salinityUncertainty,
  specificGravity,
} from "../../shared/seawater/index.ts";
import type { Settings } from "../../shared/settings/schema.ts";
import {
  celsius,
  days,
  halfWidth,
  kelvin,
  millisiemensPerCm,
  percent,
  practicalSalinityValue,
  standardDeviation,
} from "../../shared/units/index.ts";

/** Reckoned anew only when a probe has said something new. Volatile. */
export interface SalinityMemory {
  readonly conductivity: number | null;
  readonly temperatureC: number | null;
  readonly calibrationDays: number;
  readonly cellPercent: number;
  readonly salinity: number | null;
  readonly gravity: number | null;
  readonly uncertainty: number | null;
  /** The salinity that the doubt was reckoned at. */
  readonly uncertaintyAt: number | null;
  readonly lastSalinity: number | null;
  readonly lastGravity: number | null;
  readonly lastAgeMs: number;
}

export const FRESH_SALINITY: SalinityMemory = {
  conductivity: null,
  temperatureC: null,
  calibrationDays: 0,
  cellPercent: 0,
  salinity: null,
  gravity: null,
  uncertainty: null,
  uncertaintyAt: null,
  lastSalinity: null,
  lastGravity: null,
  lastAgeMs: 0,
};

/** Composition of a synthetic salt against standard sea water, and noise: from memory, see the reference notes. */
const COMPOSITION = practicalSalinityValue(0.15);
const NOISE = millisiemensPerCm(0.05);
const AT_25 = { sampleC: celsius(25), waterC: celsius(25) };
/** Practical salinity changes specific gravity 25/25 °C by this much per unit (EOS-80, near 35). */
const GRAVITY_PER_SALINITY = 0.000758;

/** Practical salinity and specific gravity 25/25 °C from raw conductivity and the temperature of the same water. */
export function salinityFrom(
  memory: SalinityMemory,
  conductivity: Signal,
  water: Signal,
  calibrationDays: number,
  elapsedMs: number,
  settings: Settings,
): { memory: SalinityMemory; salinity: Signal; gravity: Signal } {
  const unchanged = conductivity.value === memory.conductivity && water.value === memory.temperatureC;
  const next = unchanged
    ? older(memory, elapsedMs)
    : reckoned(memory, conductivity, water, calibrationDays, elapsedMs, settings);
  const salinity = signalFrom(next.salinity, next.lastSalinity, next.uncertainty, next, conductivity, water);
  const gravityDoubt = next.uncertainty === null ? null : next.uncertainty * GRAVITY_PER_SALINITY;
  const gravity = signalFrom(next.gravity, next.lastGravity, gravityDoubt, next, conductivity, water);
  return { memory: next, salinity, gravity };
}

const older = (memory: SalinityMemory, elapsedMs: number): SalinityMemory =>
  memory.salinity === null ? { ...memory, lastAgeMs: memory.lastAgeMs + elapsedMs } : memory;

function reckoned(
  memory: SalinityMemory,
  conductivity: Signal,
  water: Signal,
  calibrationDays: number,
  elapsedMs: number,
  settings: Settings,
): SalinityMemory {
  const cellPercent = settings.conductivity.cellConstantPercent;
  const inputs = { conductivity: conductivity.value, temperatureC: water.value, calibrationDays, cellPercent };
  const salinity =
    inputs.conductivity === null || inputs.temperatureC === null
      ? null
      : practicalSalinity(millisiemensPerCm(inputs.conductivity), celsius(inputs.temperatureC));
  if (salinity === null) {
    const lastAgeMs = memory.lastAgeMs + elapsedMs;
    return { ...memory, ...inputs, salinity, gravity: null, uncertainty: null, uncertaintyAt: null, lastAgeMs };
  }
  const gravity = specificGravity(salinity, AT_25);
  const kept = doubtStillHolds(memory, salinity, inputs);
  return {
    conductivity: inputs.conductivity,
    temperatureC: inputs.temperatureC,
    calibrationDays,
    cellPercent,
    salinity,
    gravity,
    uncertainty: kept ? memory.uncertainty : uncertaintyOf(inputs, settings),
    uncertaintyAt: kept ? memory.uncertaintyAt : salinity,
    lastSalinity: salinity,
    lastGravity: gravity,
    lastAgeMs: 0,
  };
}

interface Inputs {
  readonly conductivity: number | null;
  readonly temperatureC: number | null;
  readonly calibrationDays: number;
  readonly cellPercent: number;
}

/** The doubt hardly moves with the water: kept until a day has passed or salinity has moved by half a unit, which the
 *  noise of a quiet probe never does. */
const DOUBT_HOLDS_WITHIN = 0.5;

const doubtStillHolds = (memory: SalinityMemory, salinity: number, { calibrationDays, cellPercent }: Inputs): boolean =>
  memory.uncertainty !== null &&
  memory.uncertaintyAt !== null &&
  Math.abs(memory.uncertaintyAt - salinity) < DOUBT_HOLDS_WITHIN &&
  cellPercent === memory.cellPercent &&
  Math.floor(calibrationDays) === Math.floor(memory.calibrationDays);

function uncertaintyOf(inputs: Inputs, settings: Settings): number | null {
  const { temperatureK, driftPercentPerMonth } = settings.conductivity;
  const found = salinityUncertainty({
    conductivityMsPerCm: millisiemensPerCm(inputs.conductivity ?? 0),
    t90C: celsius(inputs.temperatureC ?? 0),
    cellConstant: halfWidth(percent(inputs.cellPercent)),
    temperature: halfWidth(kelvin(temperatureK)),
    noise: standardDeviation(NOISE),
    driftPer30Days: halfWidth(percent(driftPercentPerMonth)),
    sinceCalibration: days(inputs.calibrationDays),
    composition: halfWidth(COMPOSITION),
  });
  return found === null ? null : found.expanded;
}

function signalFrom(
  value: number | null,
  lastValue: number | null,
  uncertainty: number | null,
  memory: SalinityMemory,
  conductivity: Signal,
  water: Signal,
): Signal {
  const extrapolated =
    memory.temperatureC !== null && salinityStanding(celsius(memory.temperatureC)) === "extrapolated";
  const source = conductivity.value === null ? conductivity : water.value === null ? water : null;
  const doubt = source?.doubt ?? conductivity.doubt ?? water.doubt ?? (extrapolated ? "extrapolated" : null);
  return {
    value,
    quality: value === null ? "bad" : doubt === null ? "good" : "uncertain",
    doubt: value === null ? (doubt ?? "out-of-range") : doubt,
    ageMs: Math.max(conductivity.ageMs, water.ageMs),
    uncertainty: value === null ? null : uncertainty,
    lastValue,
    lastValueAgeMs: memory.lastAgeMs,
  };
}
