import * as z from "zod";
import {
  PROOF_PARTS,
  PROOF_UNITS,
  PROVING_RUNS,
  type ProofPart,
  type ProofReading,
  type ProvingRun,
  type RunEnd,
} from "../../../shared/contract/proving.ts";
import { PROOF_OVERDUE_MS, PROOF_WARNING_MS } from "../../../shared/settings/limits.ts";
import type { Settings } from "../../../shared/settings/schema.ts";
import { storedAgeMs } from "../stored.ts";
import { eachPart, overdueAfterMs, SEEN_BOTH_WAYS, type SeenBothWays } from "./parts.ts";
import { type Print, printsOf, storedPrint } from "./prints.ts";

/** What is known of one part. A part that was never proven stays off; a proof that is old warns and stops nothing. */
const storedProof = z
  .object({
    /** Age in milliseconds; null = never proven. A charge: it takes all time, off-time too. */
    ageMs: storedAgeMs.nullable(),
    by: z.string().nullable(),
    reading: z
      .object({ value: z.number(), unit: z.enum(PROOF_UNITS) })
      .readonly()
      .nullable(),
    /** What took the proof back: the part's own settings, or only the port of its board; null = nothing. */
    changed: z.enum(["settings", "port"]).nullable(),
  })
  .readonly();
export type Proof = z.infer<typeof storedProof>;

/** What is kept a second time: parts that were proven, each with the fingerprint of its own settings. */
export const storedProofsTestimony = z
  .object({ proven: z.partialRecord(z.enum(PROOF_PARTS), storedPrint).readonly() })
  .readonly();
export type ProofsTestimony = z.infer<typeof storedProofsTestimony>;

/** Durable. */
export interface ProofsMemory {
  readonly parts: Readonly<Record<ProofPart, Proof>>;
  /** Time that is not in the ages yet: they are made older once a minute. */
  readonly sinceMs: number;
  /** The settings of each part when it was last looked at, as a fingerprint. */
  readonly prints: Readonly<Record<ProofPart, Print>>;
  /** A run is under way, or its end was not called proven yet; null = none. */
  readonly running: ProvingRun | null;
}

const UNKNOWN: Proof = { ageMs: null, by: null, reading: null, changed: null };

const withAge = (ageOf: (part: ProofPart) => number | null, settings: Settings): ProofsMemory => ({
  parts: eachPart((part) => ({ ...UNKNOWN, ageMs: ageOf(part) })),
  sinceMs: 0,
  prints: printsOf(settings),
  running: null,
});

export const everythingProven = (settings: Settings): ProofsMemory => withAge(() => 0, settings);
/**
 * Proofs that a lost memory made void: what is known to have been proven is overdue, and the budget small until it is
 * again, because a dead memory must not chill the box; of everything else nobody knows that it ever worked.
 */
export function proofsVoid(settings: Settings, { proven }: ProofsTestimony): ProofsMemory {
  const memory = withAge((part) => (proven[part] === undefined ? null : overdueAfterMs(part)), settings);
  return { ...memory, prints: eachPart((part) => proven[part] ?? memory.prints[part]) };
}
/** A box that never ran. */
export const nothingProven = (settings: Settings): ProofsMemory => withAge(() => null, settings);

export const isProven = ({ parts }: ProofsMemory, part: ProofPart): boolean => parts[part].ageMs !== null;

export const areProven = (memory: ProofsMemory, parts: readonly ProofPart[]): boolean => {
  for (const part of parts) if (!isProven(memory, part)) return false;
  return true;
};

export const ageOf = ({ parts, sinceMs }: ProofsMemory, part: ProofPart): number | null => {
  const { ageMs } = parts[part];
  return ageMs === null ? null : ageMs + sinceMs;
};

/** Too old to be trusted with the full budget. */
export const isOverdue = (memory: ProofsMemory, part: ProofPart): boolean =>
  (ageOf(memory, part) ?? 0) >= PROOF_OVERDUE_MS;

export const setProof = (memory: ProofsMemory, part: ProofPart, proof: Proof): ProofsMemory => ({
  ...memory,
  parts: { ...memory.parts, [part]: proof },
});

/** The settings are others than those that the proofs were made under: what no longer matches falls. */
export function proofsUnder(memory: ProofsMemory, settings: Settings): ProofsMemory {
  const prints = printsOf(settings);
  if (memory.prints === prints) return memory;
  const parts = eachPart((part) => {
    const proof = memory.parts[part];
    const before = memory.prints[part];
    const now = prints[part];
    if (proof.ageMs === null || (before.part === now.part && before.port === now.port)) return proof;
    if (before.part !== now.part) return { ...UNKNOWN, changed: "settings" as const };
    // The same part on a port of another name: most likely the same board. It is overdue, and works on.
    return { ...proof, ageMs: Math.max(proof.ageMs, overdueAfterMs(part)), changed: "port" as const };
  });
  return { ...memory, parts, prints };
}

/** What it was proven with counts no longer: the settings say something else. */
export const fallen = (memory: ProofsMemory, part: ProofPart): ProofsMemory =>
  isProven(memory, part) ? setProof(memory, part, { ...UNKNOWN, changed: "settings" }) : memory;

/** Seen not to work: whatever was proven before is worth nothing. */
export const voided = (memory: ProofsMemory, part: ProofPart): ProofsMemory =>
  setProof(memory, part, { ...UNKNOWN, by: memory.parts[part].by });

/** Proofs last for weeks. Moved on more often than this, all that is shown of them would be made anew for nothing. */
const AGE_STEP_MS = 600_000;
const MOST_AGE_MS = 10 * 365 * 86_400_000;

export function olderProofs(memory: ProofsMemory, elapsedMs: number): ProofsMemory {
  const sinceMs = memory.sinceMs + elapsedMs;
  if (sinceMs < AGE_STEP_MS) return { parts: memory.parts, sinceMs, prints: memory.prints, running: memory.running };
  return { ...memory, parts: mapAges(memory, (age) => Math.min(MOST_AGE_MS, age + sinceMs)), sinceMs: 0 };
}

/** Off-time that nobody knows makes a proof due: it may only have become older. */
export function proofsAfterRestart(memory: ProofsMemory, offMs: number | null): ProofsMemory {
  const { sinceMs } = memory;
  const after = (age: number) =>
    offMs === null ? Math.max(age + sinceMs, PROOF_WARNING_MS) : Math.min(MOST_AGE_MS, age + sinceMs + offMs);
  return { ...memory, parts: mapAges(memory, after), sinceMs: 0 };
}

const mapAges = ({ parts }: ProofsMemory, older: (ageMs: number) => number): ProofsMemory["parts"] =>
  eachPart((part) => {
    const proof = parts[part];
    return proof.ageMs === null ? proof : { ...proof, ageMs: older(proof.ageMs) };
  });

/**
 * Proofs as they are stored, part by part: what is missing or cannot be read was never proven, and its part stays off;
 * nothing is locked by it.
 */
export function storedProofs(settings: Settings): z.ZodType<ProofsMemory> {
  const { prints } = nothingProven(settings);
  const parts = z.object(eachPart(() => storedProof.catch(UNKNOWN)));
  const own = z.object(eachPart((part) => storedPrint.catch(prints[part])));
  const nothing = eachPart(() => UNKNOWN);
  return z
    .object({
      parts: parts.catch(nothing),
      sinceMs: storedAgeMs.catch(0),
      prints: own.catch(prints),
      running: z.enum(PROVING_RUNS).nullable().catch(null),
    })
    .catch({ parts: nothing, sinceMs: 0, prints, running: null });
}

/** What the scan has seen of a contact that somebody lifts and lets fall. */
export interface ContactSeen {
  readonly position: "on" | "off" | "unknown";
  /** For how long it has stayed there, up to what counts as seen. */
  readonly stayedMs: number;
  /** The last place where it stayed long enough, and how often it has gone to the other since. */
  readonly settled: "on" | "off" | "unknown";
  readonly turns: number;
  /** For how long what was seen still counts. */
  readonly leftMs: number;
}

/** Volatile: what was seen before a restart proves nothing after it. */
export interface ProvingMemory {
  readonly contacts: Readonly<Record<SeenBothWays, ContactSeen>>;
  readonly run: Run | null;
  readonly lastRun: RunEnd | null;
  /** The run that has ended and may be called proven. */
  readonly shown: ShownRun | null;
  /** Flow of the first of two runs into a jug, mL/s. */
  readonly firstMlPerS: number | null;
}

export interface ShownRun {
  readonly part: ProvingRun;
  /** For how long yet. */
  readonly leftMs: number;
  /** How long pump or heater were on. */
  readonly ranMs: number;
  /** What the scan itself has read. */
  readonly reading: ProofReading | null;
}

export interface Run {
  readonly part: ProvingRun;
  readonly phase: "running" | "watching";
  /** Of a watch: what is left of it. */
  readonly leftMs: number;
  /** Of the pump or the heater: how long it was on. */
  readonly ranMs: number;
  /** Of a thermometer: what it and the other one said at the beginning. */
  readonly startC: number | null;
  readonly otherC: number | null;
  /** Power was sensed behind an open guard, or the thermostat was sensed to cut. */
  readonly sensedMs: number;
}

const NOT_SEEN: ContactSeen = { position: "unknown", stayedMs: 0, settled: "unknown", turns: 0, leftMs: 0 };

export const FRESH_PROVING: ProvingMemory = {
  contacts: Object.fromEntries(SEEN_BOTH_WAYS.map((part) => [part, NOT_SEEN])) as ProvingMemory["contacts"],
  run: null,
  lastRun: null,
  shown: null,
  firstMlPerS: null,
};

/** A restart ends every run, and takes what was seen with it. */
export const provingAfterRestart = (memory: ProvingMemory, running: ProvingRun | null): ProvingMemory =>
  running === null
    ? memory
    : {
        ...memory,
        lastRun: {
          part: running,
          ending: "interrupted",
          why: "The controller started anew before it was proven. Nothing is lost: begin the run again.",
        },
      };
