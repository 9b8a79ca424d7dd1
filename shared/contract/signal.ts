import type { ReadingFault } from "./reading.ts";

export type Quality = "good" | "uncertain" | "bad";

/** Why a signal is not simply good. */
export type Doubt =
  | ReadingFault
  | "stale"
  | "out-of-range"
  | "stuck"
  | "spike"
  | "rate" // faster than water can change: out of the water, perhaps
  | "disagrees" // with the other thermometer
  | "single" // nothing to compare it with
  | "own-chamber" // the return pump is not shown running: not the whole tank
  | "bubbles" // the return pump has just started
  | "being-calibrated" // it hangs in a standard, and says nothing about the tank
  | "extrapolated" // outside the range the equation was fitted to
  | "not-fitted";

/** A measured value with its doubt. `value` is null exactly when the quality is `bad`. */
export interface Signal {
  readonly value: number | null;
  readonly quality: Quality;
  readonly doubt: Doubt | null;
  readonly ageMs: number;
  /** Half-width at k = 2, in the unit of the value; null when there is no value. */
  readonly uncertainty: number | null;
  /** The last value that was not bad, to be shown greyed, with its age; null = there was none since the start. */
  readonly lastValue: number | null;
  readonly lastValueAgeMs: number;
}

/** A float or another contact. `unknown` counts as whatever is dangerous where it is used. */
export interface ContactSignal {
  readonly position: "on" | "off" | "unknown";
  readonly doubt: Doubt | null;
  readonly ageMs: number;
  readonly chattering: boolean;
}
