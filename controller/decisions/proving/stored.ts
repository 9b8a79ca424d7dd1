import { PROOF_UNITS, PROVING_RUNS, type ProofPart, type ProofReading } from "../../../shared/contract/proving.ts";
import type { Settings } from "../../../shared/settings/schema.ts";
import { nothingProven, type Proof, type ProofsMemory } from "./memory.ts";
import { eachPart } from "./parts.ts";
import type { Print } from "./prints.ts";

/**
 * Proofs as they were stored, part by part: what is missing or cannot be read was never proven. Memory from before
 * there were fingerprints keeps its ages under the settings of today, for nobody can say that they have changed.
 */
export function proofsFrom(stored: unknown, settings: Settings): ProofsMemory {
  const nothing = nothingProven(settings);
  if (!isObject(stored)) return nothing;
  const { parts, ages, prints, sinceMs, running } = stored as Partial<Record<string, unknown>>;
  const proofOf = (part: ProofPart): Proof => {
    if (isObject(parts)) return isProof(parts[part]) ? parts[part] : nothing.parts[part];
    const ageMs = isObject(ages) ? ages[part] : null;
    return isAge(ageMs) ? { ...nothing.parts[part], ageMs } : nothing.parts[part];
  };
  return {
    parts: eachPart(proofOf),
    prints: eachPart((part) => (isObject(prints) && isPrint(prints[part]) ? prints[part] : nothing.prints[part])),
    sinceMs: isAge(sinceMs) ? sinceMs : 0,
    running: PROVING_RUNS.find((part) => part === running) ?? null,
  };
}

const isObject = (value: unknown): value is Record<string, unknown> => typeof value === "object" && value !== null;
/** An age may lie a little below zero: the time that is not in the ages yet is not its own. */
const isAge = (value: unknown): value is number =>
  typeof value === "number" && Number.isFinite(value) && value > -3.6e6;

function isProof(value: unknown): value is Proof {
  if (!isObject(value)) return false;
  const { ageMs, by, reading, changed } = value;
  return (
    (ageMs === null || isAge(ageMs)) &&
    (by === null || typeof by === "string") &&
    (reading === null || isReading(reading)) &&
    (changed === null || changed === "settings" || changed === "port")
  );
}

const isReading = (value: unknown): value is ProofReading =>
  isObject(value) && Number.isFinite(value.value) && (PROOF_UNITS as readonly unknown[]).includes(value.unit);

const isPrint = (value: unknown): value is Print =>
  isObject(value) && typeof value.part === "string" && typeof value.port === "string";
