import {
  PROOF_PARTS,
  PROVING_RUNS,
  type ProofPart,
  type ProofStanding,
  type ProofStatus,
  type ProvingRun,
  type ProvingStatus,
  type RunStatus,
} from "../../../shared/contract/proving.ts";
import type { Settings } from "../../../shared/settings/schema.ts";
import { contactWords, wasSeenBothWays } from "./contacts.ts";
import { ageOf, type Proof, type ProofsMemory, type ProvingMemory } from "./memory.ts";
import { dueAfterMs, gateOf, isFitted, overdueAfterMs, SEEN_BOTH_WAYS, type SeenBothWays } from "./parts.ts";
import { WHAT_TO_SHOW } from "./words.ts";

/** What proving shows of itself. `waiting`: the litres of the run under way are not on disk yet. */
export function provingStatus(
  proofs: ProofsMemory,
  proving: ProvingMemory,
  waiting: boolean,
  leftMs: number,
  settings: Settings,
): ProvingStatus {
  const parts = Object.fromEntries(
    PROOF_PARTS.map((part) => [part, partStatus(part, proofs, proving, settings)]),
  ) as Record<ProofPart, ProofStatus>;
  return {
    parts,
    next: PROOF_PARTS.find((part) => WANTED.includes(parts[part].standing)) ?? null,
    run: runStatus(proving, waiting, leftMs),
    lastRun: proving.lastRun,
    atTankLeftMs: proving.atTankMs,
    fallen: PROOF_PARTS.flatMap((part) => {
      const { changed } = proofs.parts[part];
      return changed === null || !isFitted(part, settings) ? [] : [{ part, why: WHY_FALLEN[changed] }];
    }),
  };
}

const WANTED: readonly ProofStanding[] = ["never", "fallen", "due", "overdue"];

const WHY_FALLEN: Readonly<Record<NonNullable<Proof["changed"]>, string>> = {
  settings: "Its settings have changed since it was proven, so it counts as never proven.",
  port: "The port of its board has another name now: prove it again, to be sure that it is the same board.",
};

function partStatus(part: ProofPart, proofs: ProofsMemory, proving: ProvingMemory, settings: Settings): ProofStatus {
  const { by, reading } = proofs.parts[part];
  const ready = isReady(part, proving);
  return {
    standing: standingOf(part, proofs, settings),
    ageMs: ageOf(proofs, part),
    by,
    reading,
    gates: gateOf(part, settings),
    ready,
    next: nextWords(part, proving, ready),
  };
}

export function standingOf(part: ProofPart, proofs: ProofsMemory, settings: Settings): ProofStanding {
  if (!isFitted(part, settings)) return "not-fitted";
  const ageMs = ageOf(proofs, part);
  if (ageMs === null) return proofs.parts[part].changed === null ? "never" : "fallen";
  if (ageMs >= overdueAfterMs(part)) return "overdue";
  return ageMs >= dueAfterMs(part) ? "due" : "proven";
}

export function isReady(part: ProofPart, proving: ProvingMemory): boolean {
  if (part === "protective-device") return true;
  if (isSeenBothWays(part)) return wasSeenBothWays(proving.contacts[part]);
  return proving.shown?.part === part;
}

export const isSeenBothWays = (part: ProofPart): part is SeenBothWays =>
  (SEEN_BOTH_WAYS as readonly ProofPart[]).includes(part);

export const needsRun = (part: ProofPart): part is ProvingRun => (PROVING_RUNS as readonly ProofPart[]).includes(part);

function nextWords(part: ProofPart, proving: ProvingMemory, ready: boolean): string {
  if (isSeenBothWays(part)) return contactWords(part, proving.contacts[part]);
  if (part === "protective-device") return WHAT_TO_SHOW[part];
  const end = proving.lastRun?.part === part ? proving.lastRun : null;
  if (ready && end !== null) return end.why;
  if (part === "top-off-pump" && proving.firstMlPerS !== null) {
    return `The first run gave ${proving.firstMlPerS.toFixed(1)} mL/s. Run the pump into the emptied jug once more.`;
  }
  return end === null || end.ending === "done" ? WHAT_TO_SHOW[part] : end.why;
}

function runStatus({ run }: ProvingMemory, waiting: boolean, leftMs: number): RunStatus | null {
  if (run === null) return null;
  if (run.phase === "watching") return { part: run.part, phase: "watching", leftMs: run.leftMs };
  return { part: run.part, phase: waiting ? "waiting-for-disk" : "running", leftMs };
}
