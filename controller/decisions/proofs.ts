import { PROOF_PARTS, type ProofPart, type ProvenRequest } from "../../shared/contract/requests.ts";
import type { ContactSignal } from "../../shared/contract/signal.ts";
import { PROOF_EVIDENCE_MS, PROOF_OVERDUE_MS, PROOF_WARNING_MS } from "../../shared/settings/limits.ts";

/**
 * Which parts have been seen to work, and how long ago. A part that was never proven stays off; a proof that is old
 * warns and makes the budget small, and never stops anything. Durable.
 */
export interface ProofsMemory {
  /** Age of the proof in milliseconds; null = never proven. Charges: they take all time, off-time too. */
  readonly ages: Readonly<Record<ProofPart, number | null>>;
  /** For how long what was seen of a part may still be called its proof. */
  readonly seenLeftMs: Readonly<Record<ProofPart, number>>;
  /** The high float has been seen wet and not yet dry again. */
  readonly highWasWet: boolean;
}

const each = <Value>(value: Value): Record<ProofPart, Value> =>
  Object.fromEntries(PROOF_PARTS.map((part) => [part, value])) as Record<ProofPart, Value>;

export const EVERYTHING_PROVEN: ProofsMemory = { ages: each<number | null>(0), seenLeftMs: each(0), highWasWet: false };
/** Proofs that a lost memory made void: everything is due again, and the budget small until then. */
export const PROOFS_VOID: ProofsMemory = { ...EVERYTHING_PROVEN, ages: each<number | null>(PROOF_OVERDUE_MS) };
/** A box that never ran. */
export const NOTHING_PROVEN: ProofsMemory = { ...EVERYTHING_PROVEN, ages: each<number | null>(null) };

export interface ProofsFacts {
  readonly elapsedMs: number;
  readonly high: ContactSignal;
  /** A proving run of pump or heater ended in this scan without a trip. */
  readonly pumpRan: boolean;
  readonly heaterRan: boolean;
}

/** Time passes, and what is seen of a part becomes evidence for a while. */
export function followProofs(memory: ProofsMemory, facts: ProofsFacts): ProofsMemory {
  const { ages, seenLeftMs } = memory;
  const { elapsedMs } = facts;
  const bothWays = memory.highWasWet && facts.high.position === "off";
  return {
    ages: {
      "top-off-pump": aged(ages["top-off-pump"], elapsedMs),
      "high-float": aged(ages["high-float"], elapsedMs),
      "heater-1": aged(ages["heater-1"], elapsedMs),
    },
    seenLeftMs: {
      "top-off-pump": left(seenLeftMs["top-off-pump"], facts.pumpRan, elapsedMs),
      "high-float": left(seenLeftMs["high-float"], bothWays, elapsedMs),
      "heater-1": left(seenLeftMs["heater-1"], facts.heaterRan, elapsedMs),
    },
    highWasWet: facts.high.position === "on" || (memory.highWasWet && !bothWays),
  };
}

const left = (leftMs: number, seen: boolean, elapsedMs: number): number =>
  seen ? PROOF_EVIDENCE_MS : Math.max(0, leftMs - elapsedMs);

const MOST_AGE_MS = 10 * 365 * 86_400_000;
const aged = (age: number | null, byMs: number): number | null =>
  age === null ? null : Math.min(MOST_AGE_MS, age + byMs);

/** Off-time that nobody knows makes a proof due: it may only have become older. */
export function proofsAfterRestart(memory: ProofsMemory, offMs: number | null): ProofsMemory {
  const after = (age: number | null) =>
    age === null ? null : offMs === null ? Math.max(age, PROOF_WARNING_MS) : aged(age, offMs);
  const { ages } = memory;
  return {
    ages: {
      "top-off-pump": after(ages["top-off-pump"]),
      "high-float": after(ages["high-float"]),
      "heater-1": after(ages["heater-1"]),
    },
    seenLeftMs: each(0),
    highWasWet: false,
  };
}

/** A person says at the tank that a part works; believed only of what was seen within the last minutes. */
export function proven(
  memory: ProofsMemory,
  request: ProvenRequest,
): { memory: ProofsMemory; accepted: boolean; why: string } {
  const { part, at } = request;
  if (at !== "tank")
    return { memory, accepted: false, why: "Parts are proven at the tank, by somebody who sees them." };
  if (memory.seenLeftMs[part] === 0) return { memory, accepted: false, why: WHAT_TO_SHOW[part] };
  const ages = { ...memory.ages, [part]: 0 };
  return {
    memory: { ...memory, ages, seenLeftMs: { ...memory.seenLeftMs, [part]: 0 } },
    accepted: true,
    why: "Proven.",
  };
}

const WHAT_TO_SHOW: Readonly<Record<ProofPart, string>> = {
  "top-off-pump": "Run the pump into a jug first (prove top-off-pump), and look at what it pours.",
  "high-float": "Start a hold, lift the high float until it reads wet, and let it fall until it reads dry.",
  "heater-1": "Run the heater first (prove heater-1), and see that it warms.",
};

export const isProven = ({ ages }: ProofsMemory, part: ProofPart): boolean => ages[part] !== null;

/** Too old to be trusted with the full budget. */
export const isOverdue = ({ ages }: ProofsMemory, part: ProofPart): boolean => (ages[part] ?? 0) >= PROOF_OVERDUE_MS;
