import type { OutputPart } from "./parts.ts";
import type { Readings } from "./reading.ts";
import type { Request } from "./requests.ts";
import type { Witness } from "./witness.ts";

/** Everything the decisions may know in one scan. There is no clock in it: only how long ago the last scan was. */
export interface Image {
  /** Milliseconds since the last scan, whole, ≥ 0, from the monotonic clock. */
  readonly elapsedMs: number;
  /** Set in the first image after the process started, else null. */
  readonly start: StartNews | null;
  readonly readings: Readings;
  /** Voltage or current sensed behind the contacts; null where it is not sensed. */
  readonly seen: { readonly [Part in OutputPart]: boolean | null };
  readonly board: BoardState;
  /** Guard firmware keeps the pump off, whatever it is told, until its board loses power. Absent: it does not. */
  readonly pumpLocked?: boolean;
  /** The newest memory sequence number known to be on disk. */
  readonly durableSequence: number;
  readonly disk: "working" | "failed";
  readonly requests: readonly Request[];
  /** Absent: there is nothing beside the scan, as in a rehearsed scenario. */
  readonly beside?: Beside;
}

/** How what serves people does, beside the scan. It is told and alarmed on; nothing is decided by it. */
export interface Beside {
  readonly front: FrontState;
  readonly history: "working" | "failed";
  /** What failed while it looked at a record, and why; null = nothing did lately. */
  readonly fault: string | null;
}

/**
 * The process that serves broker, page and history. `starting`: for the first time, and still within what that may take.
 * `restarted`: it runs, and had to be started again within the last minutes. `away`: it does not run.
 */
export const FRONT_STATES = ["running", "starting", "restarted", "away"] as const;
export type FrontState = (typeof FRONT_STATES)[number];

export const ALL_WELL_BESIDE: Beside = { front: "running", history: "working", fault: null };

/**
 * `silent`: a board that the outputs hang on does not report. `restarted`: it was reset since the last scan.
 * `unattended`: it is well, and yet energises nothing: nobody is beside the box, and nothing but this controller would
 * ever switch the outputs off.
 */
export const BOARD_STATES = ["ready", "silent", "restarted", "unattended"] as const;
export type BoardState = (typeof BOARD_STATES)[number];

export interface StartNews {
  /** `new`: nothing was ever kept here; parts of a new box have not been seen to work. */
  readonly memory: "sound" | "new" | "missing" | "corrupt" | "older";
  /** How long the controller was off; null = not known. */
  readonly offMs: number | null;
  /** What is still known where the memory is in doubt; absent or null = nothing. */
  readonly witness?: Witness | null;
}

/** What the scan wants of each switch: relay on, or guard contact closed. */
export type Commands = { readonly [Part in OutputPart]: boolean };

export const EVERYTHING_OFF: Commands = {
  "top-off-pump": false,
  "heater-1": false,
  "water-guard": false,
  "heat-guard": false,
  "heater-2": false,
  "heat-guard-2": false,
};
