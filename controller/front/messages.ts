import type { AlarmWords, ScanRecord } from "../../shared/contract/index.ts";
import type { Settings } from "../../shared/settings/index.ts";
import type { Values } from "../decisions/calibration/memory.ts";
import type { PublishedOutcome, TreeContext } from "../publish/index.ts";
import type { Note } from "../record/index.ts";
import type { PortWish } from "./ports.ts";

/** What the scan process and the front say to each other. Nothing else passes between them. */

/** The first words to a front that has just started: all that it will ever know of the box without being told. */
export interface Opening {
  readonly settings: Settings;
  readonly water: "real" | "rehearsal";
  readonly speed: number;
  /** Where it is remembered. The front owns its history there, and touches nothing else. */
  readonly folder: string;
  readonly alarms: readonly AlarmWords[];
  readonly ports: Ports;
}

export interface Ports {
  readonly web: Omit<PortWish, "usual">;
  readonly mqtt: Omit<PortWish, "usual">;
}

/** How the box is, as of the newest scan. */
export interface Report {
  readonly record: ScanRecord;
  readonly context: Omit<TreeContext, "tank" | "alarms">;
  /** By which news is paced, milliseconds. */
  readonly paceMs: number;
  readonly calibration: Values;
  /** One plain sentence for each input that is wired. */
  readonly inputs: readonly string[];
  readonly healthy: boolean;
}

/** Each but the first and the last is answered with `took` before the next of its kind is sent: that bounds the pipe. */
export type ToFront =
  | { readonly say: "open"; readonly opening: Opening }
  | { readonly say: "report"; readonly report: Report }
  | { readonly say: "notes"; readonly notes: readonly Note[] }
  | { readonly say: "answers"; readonly answers: readonly PublishedOutcome[] }
  | { readonly say: "close" };

export type Lane = "report" | "notes" | "answers";

export type FromFront =
  | { readonly say: "took"; readonly lane: Lane }
  /** Page and broker can be reached. */
  | { readonly say: "listening"; readonly web: number; readonly mqtt: number }
  /** Every second: it lives, and how it does. */
  | { readonly say: "alive"; readonly residentBytes: number; readonly historyFailed: boolean }
  /** Something that whoever runs the program should know, once. */
  | { readonly say: "notice"; readonly words: string }
  /** Every note up to this number is on disk. */
  | { readonly say: "kept"; readonly upTo: number }
  /** Somebody on the network asks; as it came, for it is read where it is decided. */
  | { readonly say: "request"; readonly kind: string; readonly payload: string }
  /** Its last words before it ends by itself. */
  | { readonly say: "failing"; readonly why: string };
