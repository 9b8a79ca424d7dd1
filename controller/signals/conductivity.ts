import type { Elapsed } from "../../shared/contract/elapsed.ts";
import type { ConductivityReading, Reading } from "../../shared/contract/reading.ts";
import type { Signal } from "../../shared/contract/signal.ts";
import { doubted, FRESH_PROBE, followProbe, notFitted, type ProbeKind, type ProbeMemory, signalOf } from "./probe.ts";
import { WATER_THERMOMETER } from "./thermometer.ts";

/** Fresh water to beyond any sea, mS/cm. A cell in the water is never perfectly quiet: 0.001 mS/cm is its noise. */
const CONDUCTIVITY_PROBE: ProbeKind = {
  least: 0.05,
  most: 90,
  spikeFloor: 0.5,
  stillStep: 0.001,
  rate: { bins: 2, binMs: 60_000 },
};
const STUCK_MS = 3_600_000;
/** Noise of the cell as a share of the value, k = 2. */
const NOISE_SHARE = 0.002;

export interface ConductivityMemory {
  readonly conductivity: ProbeMemory;
  readonly temperature: ProbeMemory;
}

export const FRESH_CONDUCTIVITY: ConductivityMemory = { conductivity: FRESH_PROBE, temperature: FRESH_PROBE };

export interface ConductivitySignals {
  readonly conductivity: Signal;
  /** The probe's own water temperature. */
  readonly temperature: Signal;
}

export function readConductivity(
  memory: ConductivityMemory,
  reading: Reading<ConductivityReading> | null,
  elapsed: Elapsed,
  bubbles: boolean,
): { memory: ConductivityMemory; signals: ConductivitySignals } {
  if (reading === null) return NOT_FITTED;
  const raw = part(reading, (value) => value.conductivityMsPerCm);
  const own = part(reading, (value) => value.temperatureC);
  const next = {
    conductivity: followProbe(memory.conductivity, raw, CONDUCTIVITY_PROBE, elapsed),
    temperature: followProbe(memory.temperature, own, WATER_THERMOMETER, elapsed),
  };
  const value = next.conductivity.value ?? 0;
  let conductivity = signalOf(next.conductivity, raw, NOISE_SHARE * value);
  if (next.conductivity.stillMs > STUCK_MS) conductivity = doubted(conductivity, "bad", "stuck");
  else if (bubbles && conductivity.value !== null) conductivity = doubted(conductivity, "uncertain", "bubbles");
  return { memory: next, signals: { conductivity, temperature: signalOf(next.temperature, own, 0.5) } };
}

function part(
  reading: Reading<ConductivityReading>,
  pick: (value: ConductivityReading) => number | null,
): Reading<number> {
  const { ageMs, sample } = reading;
  if (reading.value === null) return { value: null, fault: reading.fault, ageMs, sample };
  const value = pick(reading.value);
  return value === null ? { value: null, fault: "not-yet", ageMs, sample } : { value, fault: null, ageMs, sample };
}

const NOT_FITTED = {
  memory: FRESH_CONDUCTIVITY,
  signals: { conductivity: notFitted, temperature: notFitted },
};
