import {
  type Gates,
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
import type { MachineRun } from "../machine.ts";
import { contactWords, wasSeenBothWays } from "./contacts.ts";
import { ageOf, type Proof, type ProofsMemory, type ProvingMemory } from "./memory.ts";
import { dueAfterMs, eachPart, isFitted, overdueAfterMs, SEEN_BOTH_WAYS, type SeenBothWays } from "./parts.ts";
import { WHAT_TO_SHOW } from "./words.ts";

/** What is told of proving beside its own memory. */
export interface ToldOfProving {
  /** The run under way, as the machine that switches its part tells of it; null = none does. */
  readonly run: Pick<MachineRun, "leftMs" | "waiting"> | null;
  /** For how long somebody is known to stand at the tank. */
  readonly atTankMs: number;
  readonly gateOf: (part: ProofPart) => Gates;
}

/** What proving shows of itself. */
export function provingStatus(
  proofs: ProofsMemory,
  proving: ProvingMemory,
  told: ToldOfProving,
  settings: Settings,
): ProvingStatus {
  const parts = eachPart((part) => partStatus(part, proofs, proving, told.gateOf(part), settings));
  return {
    parts,
    next: PROOF_PARTS.find((part) => WANTED.includes(parts[part].standing)) ?? null,
    run: runStatus(proving, told.run),
    lastRun: proving.lastRun,
    atTankLeftMs: told.atTankMs,
    fallen: PROOF_PARTS.flatMap((part) => {
      const { changed } = proofs.parts[part];
      return changed === null || !isFitted(part, settings) ? [] : [{ part, why: WHY_FALLEN[changed] }];
    }),
  };
}

/** Whether two memories are shown alike: what was seen grows older in every scan, and nobody sees that. */
export function looksAlike(one: ProvingMemory, other: ProvingMemory): boolean {
  if (one === other) return true;
  if (one.run !== other.run || one.lastRun !== other.lastRun || one.firstMlPerS !== other.firstMlPerS) return false;
  if (one.shown?.part !== other.shown?.part) return false;
  if (one.contacts === other.contacts) return true;
  for (const part of SEEN_BOTH_WAYS) {
    const [before, after] = [one.contacts[part], other.contacts[part]];
    if (before === after) continue;
    if (before.position !== after.position || before.settled !== after.settled) return false;
    if (before.turns !== after.turns || before.leftMs > 0 !== after.leftMs > 0) return false;
  }
  return true;
}

const WANTED: readonly ProofStanding[] = ["never", "fallen", "due", "overdue"];

const WHY_FALLEN: Readonly<Record<NonNullable<Proof["changed"]>, string>> = {
  settings: "Its settings have changed since it was proven, so it counts as never proven.",
  port: "The port of its board has another name now: prove it again, to be sure that it is the same board.",
};

function partStatus(
  part: ProofPart,
  proofs: ProofsMemory,
  proving: ProvingMemory,
  gates: Gates,
  settings: Settings,
): ProofStatus {
  const { by, reading } = proofs.parts[part];
  const ready = isReady(part, proving);
  return {
    standing: standingOf(part, proofs, settings),
    ageMs: ageOf(proofs, part),
    by,
    reading,
    gates,
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

/** What to do now for the proof of this part. */
export function nextWords(part: ProofPart, proving: ProvingMemory, ready: boolean): string {
  if (isSeenBothWays(part)) return contactWords(part, proving.contacts[part]);
  if (part === "protective-device") return WHAT_TO_SHOW[part];
  const end = proving.lastRun?.part === part ? proving.lastRun : null;
  if (ready && end !== null) return end.why;
  if (part === "top-off-pump" && proving.firstMlPerS !== null) {
    return `The first run gave ${proving.firstMlPerS.toFixed(1)} mL/s. Run the pump into the emptied jug once more.`;
  }
  return end === null || end.ending === "done" ? WHAT_TO_SHOW[part] : end.why;
}

function runStatus({ run }: ProvingMemory, switched: ToldOfProving["run"]): RunStatus | null {
  if (run === null) return null;
  if (run.phase === "watching") return { part: run.part, phase: "watching", leftMs: run.leftMs };
  const { waiting, leftMs } = switched ?? { waiting: false, leftMs: 0 };
  return { part: run.part, phase: waiting ? "waiting-for-disk" : "running", leftMs: Math.max(0, leftMs) };
}
