import type { KeeperUnits } from "../units/index.ts";
import type { AlarmWords } from "./record.ts";

/** What the web server answers on the dashboard's own origin. Every answer carries its version. */

/** `GET /api/v1/tank`: what changes only when somebody calibrates or starts the controller anew. */
export interface TankAnswer {
  readonly version: 1;
  /** Id of the tank in topics, `a–z 0–9 -`. */
  readonly tank: string;
  readonly name: string;
  /** The units that the keeper chose to be spoken with; all values of the contract stay in °C, L and mm. */
  readonly units: KeeperUnits;
  readonly water: "real" | "rehearsal";
  /** Seconds of simulated time per second of the clock; 1 on real water. */
  readonly speed: number;
  /** Path of the MQTT WebSocket on this origin. */
  readonly mqttPath: string;
  readonly targets: {
    readonly temperatureC: number;
    readonly salinity: number;
    /** Alarm limits, the inner pair and the outer pair. */
    readonly temperatureBandC: readonly [number, number];
    readonly temperatureLimitsC: readonly [number, number];
    readonly salinityBand: readonly [number, number];
    readonly salinityLimits: readonly [number, number];
  };
  readonly geometry: {
    readonly netVolumeL: number;
    /** Heights above the working mark, as calibrated; the topic of the calibrations says when they change. */
    readonly highFloatMm: number;
    readonly lowFloatMm: number;
    readonly reservoirL: number;
  };
  readonly alarms: readonly AlarmWords[];
  readonly cautions: readonly string[];
}

/**
 * `GET /api/v1/history?channels=temperature,salinity&fromMs=…&toMs=…&buckets=600`
 * Columns of equal length, time ascending; a bucket without samples has null in every column.
 */
export interface HistoryAnswer {
  readonly version: 1;
  /** Middle of each bucket, Unix milliseconds (simulated in a rehearsal). */
  readonly atMs: readonly number[];
  readonly channels: Readonly<Record<string, HistoryColumns>>;
}

export interface HistoryColumns {
  readonly min: readonly (number | null)[];
  readonly max: readonly (number | null)[];
  readonly last: readonly (number | null)[];
}

/** Quantities kept in history, by the id of their node. */
export const HISTORY_CHANNELS = [
  "temperature",
  "salinity",
  "conductivity",
  "thermometer-1",
  "thermometer-2",
  "room",
  "heat-duty",
  "top-off-poured",
] as const;
export type HistoryChannel = (typeof HISTORY_CHANNELS)[number];

/** `GET /api/v1/health`: for a watcher that wants no page. Status 200 where `healthy`, else 503. */
export interface HealthAnswer {
  readonly version: 1;
  /** The scan runs and no alarm of high priority stands. */
  readonly healthy: boolean;
  /** How the box is doing, in one sentence. */
  readonly sentence: string;
  /** Scans since the start. */
  readonly scans: number;
}

/** `GET /api/v1/probes`: what hangs on this computer and what it says, one plain sentence each. */
export interface ProbesAnswer {
  readonly version: 1;
  readonly connections: readonly string[];
  readonly inputs: readonly string[];
}

/** What every refused request is answered with, beside its status. */
export interface RefusedAnswer {
  readonly version: 1;
  /** One plain sentence. */
  readonly why: string;
}

/** Where the web server answers. */
export const HTTP_PATHS = {
  tank: "/api/v1/tank",
  history: "/api/v1/history",
  settingsSchema: "/api/v1/settings-schema",
  health: "/api/v1/health",
  probes: "/api/v1/probes",
  mqtt: "/mqtt",
} as const;
