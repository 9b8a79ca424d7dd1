import type * as z from "zod";
import type { Elapsed } from "../../shared/contract/elapsed.ts";
import type { Commands, Image } from "../../shared/contract/image.ts";
import type { OutputPart, WaterThermometer } from "../../shared/contract/parts.ts";
import type { Gates, ProofPart, ProvingRun } from "../../shared/contract/proving.ts";
import type { Reason } from "../../shared/contract/reasons.ts";
import type { HeatStatus, Quantities, ScanRecord } from "../../shared/contract/record.ts";
import type { Request } from "../../shared/contract/requests.ts";
import { SENSED_LAG_MS } from "../../shared/settings/limits.ts";
import type { Settings } from "../../shared/settings/schema.ts";
import type { FanSeen } from "../quantities/fan.ts";
import type { Corrections } from "../signals/corrected.ts";
import type { Signals } from "../signals/index.ts";
import type { Proposal } from "./arbitrate.ts";
import type { StartMemory } from "./start.ts";

/**
 * One shape for every part that decides. A part is a folder: what it remembers, how that is lost, restored and stored,
 * what it decides, what it answers and what it shows stand together in it, and one line in the list makes the scan run
 * it. The scan knows the list and no name in it; parts know each other by their keys.
 */
export interface Machine<Durable, Volatile, Verdict = null, Testimony = null> {
  readonly key: Key<Durable, Volatile, Verdict>;

  /** Absent: every box has it. In a box without it nothing is stepped, watched or shown; what it remembers stays. */
  isFitted?(settings: Settings): boolean;

  /** In a box that is well kept: everything proven, budgets unused, nothing latched. What a rehearsal starts with. */
  fresh(settings: Settings): Kept<Durable, Volatile>;
  /** Without a memory that can be believed. */
  lost(settings: Settings, doubt: Doubt<Testimony>): Durable;
  /** What was stored, as a new process takes it up. */
  afterRestart(kept: Kept<Durable, Volatile>, restart: Restart<Testimony>, settings: Settings): Kept<Durable, Volatile>;
  /** What it is stored as: types and bounds. Outside them all memory counts as corrupt, unless the schema catches it. */
  schema(settings: Settings): z.ZodType<Durable>;
  /** The little that is kept a second time, in a file of its own, because forgotten it would be dangerous. */
  readonly testimony?: {
    readonly schema: z.ZodType<Testimony>;
    of(durable: Durable): Testimony;
  };

  /** Proofs and calibrations that were made under another file than this one fall. */
  underSettings?(kept: Kept<Durable, Volatile>, context: SettingsContext): Kept<Durable, Volatile>;
  /** What time and water alone do, before anybody is heard. */
  passTime?(kept: Kept<Durable, Volatile>, context: ScanContext): Kept<Durable, Volatile>;
  /** Null = no business of this machine. Asked of machines that are not fitted, too: they say so. */
  request?(kept: Kept<Durable, Volatile>, request: Request, context: ScanContext): Answer<Durable, Volatile> | null;
  step?(kept: Kept<Durable, Volatile>, context: ScanContext): Decision<Durable, Volatile, Verdict>;
  /** Looks at what was decided. */
  watch?(kept: Kept<Durable, Volatile>, context: WatchContext): Watched<Durable, Volatile>;
  /** Writes what it shows into the record of this scan. */
  show?(draft: RecordDraft, kept: Kept<Durable, Volatile>, context: WatchContext): void;

  /** Proving runs in which this machine switches its part, under all of its trips. */
  readonly runs?: readonly ProvingRun[];
  runOf?(verdict: Verdict): MachineRun;
  /** Parts without whose proof it stays off, and what they are said to keep off. */
  readonly gates?: { readonly name: NonNullable<Gates>; of(settings: Settings): readonly ProofPart[] };
}

/** What one machine remembers. */
export interface Kept<Durable = unknown, Volatile = unknown> {
  /** What must survive a restart. */
  readonly durable: Durable;
  /** What begins anew with the process. */
  readonly volatile: Volatile;
}

/** What all machines remember, by their names. */
export type Memories = Readonly<Record<string, Kept>>;

/** How one machine names another, with the types of what that one remembers and decides. */
export interface Key<Durable, Volatile, Verdict = null> {
  readonly name: string;
  /** Never there: it only carries the types. */
  readonly types?: readonly [Durable, Volatile, Verdict];
}

/** What is known where memory is lost, or older than known. */
export interface Doubt<Testimony> {
  /** What was kept a second time; null = that is lost as well. */
  readonly testimony: Testimony | null;
  /** Above every number that a lock ever had. */
  readonly occurrence: number;
  /** Nothing was ever kept here. */
  readonly isNew: boolean;
}

export type Restart<Testimony> =
  /** `offMs`: null = not known. */
  { readonly memory: "sound"; readonly offMs: number | null } | ({ readonly memory: "older" } & Doubt<Testimony>);

/** The machines as they see each other. */
export interface Others {
  /** As whoever acted before has left it. */
  keptOf<Durable, Volatile>(key: Key<Durable, Volatile, unknown>): Kept<Durable, Volatile>;
  /** As it was at the beginning of the scan; while a request is answered, as it was before anybody had answered it. */
  before<Durable, Volatile>(key: Key<Durable, Volatile, unknown>): Kept<Durable, Volatile>;
}

export interface SettingsContext extends Others {
  /** The settings as they stand in their file. */
  readonly file: Settings;
  /** The first scan of this process. */
  readonly isStart: boolean;
}

/** What was sensed in one scan, before anything is decided. */
export interface Sensed {
  readonly image: Image;
  readonly elapsed: Elapsed;
  /** As calibrated: what was measured here takes the place of what the file says. */
  readonly settings: Settings;
  readonly file: Settings;
  readonly signals: Signals;
  /** Thermometers that moved faster than water can, and have not been believed again since. */
  readonly outOfWater: readonly WaterThermometer[];
  readonly quantities: Quantities;
  /** K/h over twenty full minutes; null = not known. */
  readonly temperatureRateKPerH: number | null;
  readonly start: StartMemory;
  readonly corrections: Corrections;
  readonly fan: FanSeen;
  /** Since the cell was calibrated. */
  readonly calibrationDays: number;
}

export interface ScanContext extends Sensed, Others {
  /** What the last scan commanded, and for how long each output has been commanded off. */
  readonly commanded: Commands;
  readonly offForMs: { readonly [Part in OutputPart]: number };
  /** The sequence number that the memory of this scan will get when it must be written. */
  readonly nextSequence: number;
  /** What a machine that comes earlier in the list has decided in this scan; null = nothing, in this box. */
  verdictOf<Verdict>(key: Key<unknown, unknown, Verdict>): Verdict | null;
  /** Whether some machine switches a part for this run. */
  isSwitched(run: ProvingRun): boolean;
  /** The run as the machine that switches it tells of it; null = none does, in this box. */
  runOf(run: ProvingRun): MachineRun | null;
  gateOf(part: ProofPart): Gates;
}

export interface WatchContext extends ScanContext {
  readonly commands: Commands;
}

export interface Answer<Durable, Volatile> {
  /** A refusal may keep what was found out by it. */
  readonly kept: Kept<Durable, Volatile>;
  /** One refusal refuses the request whole, and nothing that others have answered counts. */
  readonly accepted: boolean;
  /** A plain sentence; null = others say what there is to say. */
  readonly why: string | null;
  /** What it has made of another machine that it builds on. */
  readonly also?: { readonly key: { readonly name: string }; readonly kept: Kept };
}

export interface Decision<Durable, Volatile, Verdict> {
  readonly kept: Kept<Durable, Volatile>;
  readonly verdict: Verdict;
  /** What it wants of its outputs; null = it has none. */
  readonly proposal: Proposal | null;
  /** What changed must be on disk before it matters. */
  readonly urgent: boolean;
}

export interface Watched<Durable, Volatile> {
  readonly kept: Kept<Durable, Volatile>;
  readonly urgent: boolean;
}

/** A proving run, as the machine tells of it that switches the part. */
export interface MachineRun {
  readonly relay: OutputPart;
  readonly underWay: boolean;
  /** It ended in this scan without a trip. */
  readonly ended: boolean;
  /** What stands in its way, or what it does. */
  readonly why: Reason;
  readonly leftMs: number;
  /** What it may cost is not on disk yet. */
  readonly waiting: boolean;
}

/** The record of a scan while it is written. */
export type RecordDraft = { -readonly [Field in Exclude<keyof ScanRecord, "heaters">]: ScanRecord[Field] } & {
  readonly heaters: HeatStatus[];
};

/** It has power although it has been commanded off for longer than what is sensed may lag. */
export const isSeenOn = (relay: OutputPart, { image, offForMs }: ScanContext): boolean =>
  image.seen[relay] === true && offForMs[relay] > SENSED_LAG_MS;

/** What a machine has that keeps nothing over a restart. */
export const FORGETFUL = {
  lost: () => null,
  afterRestart: <Volatile>(kept: Kept<null, Volatile>) => kept,
} as const;

export const accept = <Durable, Volatile>(
  kept: Kept<Durable, Volatile>,
  why: string | null,
): Answer<Durable, Volatile> => ({ kept, accepted: true, why });

export const refuse = <Durable, Volatile>(kept: Kept<Durable, Volatile>, why: string): Answer<Durable, Volatile> => ({
  kept,
  accepted: false,
  why,
});
