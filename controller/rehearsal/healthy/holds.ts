/**
 * What a box must never suffer while nothing in it is broken, or one sensor is, as a scenario of this folder is held to
 * it. The checkers are the tests' own: they share no code with what decides.
 */
export type Hold =
  /** Nothing fails: no lock, no throttle, no alarm above low priority, salinity and temperature stay. `allows`: alarms that
   *  are true of this weather. */
  | { readonly promise: "H1"; readonly allows?: readonly string[] }
  /** The same without a conductivity probe: for fourteen days from the eighth on, then throttled at a bounded cost. */
  | { readonly promise: "H2" }
  /** Never worse than a bare float and thermostat. */
  | { readonly promise: "H3"; readonly throttledFromH?: number }
  /** What somebody forgot or mistyped, a restart, a lost memory: it costs little before it is told twice. */
  | { readonly promise: "H4"; readonly atH: number }
  /** Rarely loud, and besides refills no more than one ask a week. */
  | { readonly promise: "H5" }
  /** One failed sensor, told by one of these alarms. */
  | {
      readonly promise: "H6";
      readonly atH: number;
      readonly place: SensorPlace;
      readonly tells: readonly string[];
    }
  /** Nothing harms in silence. */
  | { readonly promise: "H7"; readonly atH: number };

/**
 * Where a failed sensor stood: one of two or three that say the same; alone; or one of those that may stop everything,
 * because it shows water or an uncontrolled pump, or because nothing else shows the level.
 */
export type SensorPlace = "spare" | "alone" | "stops";

/** A scenario of this folder, what it shows, and all that it is held to. Nothing may come onto the floor in any. */
export interface HealthyRow {
  /** File in `scenarios`, without its ending. */
  readonly scenario: string;
  readonly shows: string;
  readonly holds: readonly Hold[];
}

export interface HealthyChapter {
  readonly title: string;
  readonly rows: readonly HealthyRow[];
}
