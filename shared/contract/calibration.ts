/** Calibrations: what a reading is corrected by, since when, by whom, with what; each can be taken back. */

export const CALIBRATED = [
  /** Factor of the conductivity cell, without a unit: corrected = factor × what the instrument says. */
  "conductivity",
  /** Kelvin that are added to what the thermometer says. */
  "thermometer-1",
  "thermometer-2",
  /** Flow of the top-off pump, L/min: measured by proving it. */
  "top-off-flow",
  /** Marks of the floats, mm above the working mark, instead of those of the settings. */
  "high-float-mm",
  "low-float-mm",
  "float-hysteresis-mm",
  "pump-off-level-mm",
] as const;
export type Calibrated = (typeof CALIBRATED)[number];

export const MARKS = ["high-float-mm", "low-float-mm", "float-hysteresis-mm", "pump-off-level-mm"] as const;
export type Mark = (typeof MARKS)[number];

export const CALIBRATED_UNITS: Readonly<Record<Calibrated, string>> = {
  conductivity: "",
  "thermometer-1": "K",
  "thermometer-2": "K",
  "top-off-flow": "L/min",
  "high-float-mm": "mm",
  "low-float-mm": "mm",
  "float-hysteresis-mm": "mm",
  "pump-off-level-mm": "mm",
};

/**
 * A session at the probe: `conductivity` (clean, dry, one or two standards), one thermometer against a reference, or
 * both against each other in the same water (`thermometers`: their relative offset is removed).
 */
export const SESSIONS = ["conductivity", "thermometer-1", "thermometer-2", "thermometers"] as const;
export type Session = (typeof SESSIONS)[number];

/** Conductivity standards with their values at every temperature; `label` = as its bottle says, at one temperature. */
export const STANDARDS = ["sea-water-35", "kcl-0.1-molal", "kcl-0.01-molal", "kcl-0.1-molar", "label"] as const;
export type Standard = (typeof STANDARDS)[number];

/** A standard that a session has taken. */
export interface StandardTaken {
  readonly standard: Standard;
  readonly lot: string | null;
  readonly temperatureC: number;
  /** What it must conduct at that temperature, and what the cell said, both mS/cm. */
  readonly expectedMsPerCm: number;
  readonly readMsPerCm: number;
}

export interface SessionStatus {
  readonly session: Session;
  readonly by: string | null;
  readonly leftMs: number;
  /** What the probe says at the moment, corrected as before the session: mS/cm or °C; null = nothing. */
  readonly reads: number | null;
  readonly temperatureC: number | null;
  /** It was watched without a jump for so long, at most `neededMs`. */
  readonly watchedMs: number;
  readonly neededMs: number;
  /** Watched for that long, and the newer half said the same as the older one: only then is a reading taken. */
  readonly steady: boolean;
  /** The cell was seen dry. */
  readonly dry: boolean;
  readonly taken: readonly StandardTaken[];
  /** What to do now, one or two plain sentences. */
  readonly next: string;
}

/** One calibration, kept with what it was made from. */
export interface CalibrationEntry {
  /** Names it in an `undo-calibration` request. */
  readonly number: number;
  readonly what: Calibrated;
  readonly before: number;
  readonly after: number;
  readonly unit: string;
  /** To the minute. */
  readonly ageMs: number;
  readonly by: string | null;
  readonly lot: string | null;
  readonly temperatureC: number | null;
  readonly standards: readonly StandardTaken[];
  /** `in-force`; `followed` by a later one; `undone`; `fallen`: the settings of the part have changed since. */
  readonly standing: "in-force" | "followed" | "undone" | "fallen";
}

export interface CalibrationValue {
  readonly value: number;
  readonly unit: string;
  /** Number of the entry that it comes from; null = as the settings say, or as the instrument does. */
  readonly number: number | null;
  /** Milliseconds since then, to the minute; null where nothing was calibrated. */
  readonly ageMs: number | null;
}

export interface CalibrationStatus {
  readonly inForce: { readonly [What in Calibrated]: CalibrationValue };
  readonly session: SessionStatus | null;
  /** Newest last, at most 24. */
  readonly entries: readonly CalibrationEntry[];
}
