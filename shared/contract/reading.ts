import type { ContactPart, ThermometerPart } from "./parts.ts";

/** Why a driver has no value. Each is found by the driver itself, on the wire. */
export type ReadingFault =
  | "not-yet" // nothing has been reported since the connection opened
  | "no-answer" // asked and not answered
  | "garbled" // answered, but cut short or with a wrong checksum
  | "not-a-number" // answered with something that is no number
  | "open-circuit"
  | "short-circuit"
  | "power-on-value" // 85.0 °C: the conversion never ran
  | "all-zero" // a shorted bus reads eight zero bytes, whose checksum passes
  | "disconnected"; // the board or the line is gone

/**
 * What one input says.
 * `ageMs` is the age of the last *sampled report* at the time of the scan; a query that only proves the link does not
 * make it younger. `sample` counts reports, so that the same value twice can be told from one value seen twice.
 */
export type Reading<Value> =
  | { readonly value: Value; readonly fault: null; readonly ageMs: number; readonly sample: number }
  | { readonly value: null; readonly fault: ReadingFault; readonly ageMs: number; readonly sample: number };

/** Raw conductivity, not compensated for temperature, with the water temperature that the probe itself measured. */
export interface ConductivityReading {
  readonly conductivityMsPerCm: number;
  /** °C, ITS-90; null where the instrument has no thermometer of its own. */
  readonly temperatureC: number | null;
}

/** Floats and the floor sensor: true = wet. Mains sensor: true = power is there. Return-pump sensor: true = running. */
export type ContactReading = Reading<boolean>;
/** °C, ITS-90. */
export type ThermometerReading = Reading<number>;

/** One entry for each input; null = the settings name no such part. */
export type Readings = { readonly [Part in ContactPart]: ContactReading | null } & {
  readonly [Part in ThermometerPart]: ThermometerReading | null;
} & {
  readonly "conductivity-probe": Reading<ConductivityReading> | null;
  /** In the water that fills the reservoir; nothing is decided by it. */
  readonly "source-probe"?: Reading<ConductivityReading> | null;
};
