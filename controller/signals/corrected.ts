import type { ConductivityReading, Reading, ThermometerReading } from "../../shared/contract/reading.ts";
import type { Signal } from "../../shared/contract/signal.ts";

/** What calibration has found, applied where a reading becomes a signal: everything behind sees corrected values. */
export interface Corrections {
  /** Kelvin that are added to what each thermometer says, and the doubt that is left, half-width at k = 2. */
  readonly firstK: number;
  readonly secondK: number;
  readonly firstDoubtK: number;
  readonly secondDoubtK: number;
  /** By which the conductivity is multiplied. */
  readonly cellFactor: number;
  /** They are others than in the last scan: a step that no water has made, so that windows begin anew. */
  readonly changed: boolean;
}

/** Half-width at k = 2 of a bare digital thermometer whose offset nobody has looked at: common practice. */
export const UNCALIBRATED_K = 0.5;

export const UNCORRECTED: Corrections = {
  firstK: 0,
  secondK: 0,
  firstDoubtK: UNCALIBRATED_K,
  secondDoubtK: UNCALIBRATED_K,
  cellFactor: 1,
  changed: false,
};

export function correctedTemperature(reading: ThermometerReading | null, addK: number): ThermometerReading | null {
  if (addK === 0 || reading === null || reading.value === null) return reading;
  const { ageMs, sample, value } = reading;
  return { value: value + addK, fault: null, ageMs, sample };
}

/** The signal of a corrected reading as the thermometer said it itself. */
export function asSaid(signal: Signal, addedK: number): Signal {
  if (addedK === 0 || signal.value === null) return signal;
  return { ...signal, value: signal.value - addedK };
}

export function correctedConductivity(
  reading: Reading<ConductivityReading> | null,
  factor: number,
): Reading<ConductivityReading> | null {
  if (factor === 1 || reading === null || reading.value === null) return reading;
  const { ageMs, sample, value } = reading;
  const { conductivityMsPerCm, temperatureC } = value;
  return { value: { conductivityMsPerCm: factor * conductivityMsPerCm, temperatureC }, fault: null, ageMs, sample };
}

export function withDoubt(signal: Signal, doubtK: number): Signal {
  if (signal.uncertainty === null || signal.uncertainty === doubtK) return signal;
  const { value, quality, doubt, ageMs, lastValue, lastValueAgeMs } = signal;
  return { value, quality, doubt, ageMs, uncertainty: doubtK, lastValue, lastValueAgeMs };
}
