import {
  type Gates,
  PROOF_PARTS,
  PROOF_UNITS,
  PROVING_RUNS,
  type ProofPart,
  type ProofStanding,
  type ProvingRun,
} from "../../shared/contract/proving.ts";
import { fieldsOf, listOf, numberOf, parsed, sentenceOf, wordOf } from "./fields.ts";

/** How the proofs stand, as far as the page could understand what it was told. */
export interface ShownProving {
  /** Those that are fitted, in the order of the walk. */
  readonly parts: readonly ShownProof[];
  readonly run: ShownRun | null;
  readonly lastRun: { readonly part: ProvingRun; readonly why: string } | null;
  readonly atTankLeftMs: number;
  readonly fallen: readonly { readonly part: ProofPart; readonly why: string }[];
}

export interface ShownProof {
  readonly part: ProofPart;
  readonly standing: Exclude<ProofStanding, "not-fitted"> | "unknown";
  readonly ageMs: number | null;
  readonly by: string;
  readonly reading: string;
  readonly gates: Gates;
  readonly isReady: boolean;
  readonly next: string;
}

export interface ShownRun {
  readonly part: ProvingRun;
  readonly phase: "waiting-for-disk" | "running" | "watching";
  readonly leftMs: number;
}

/** Null = nothing that can be understood was told. */
export function readProving(text: string): ShownProving | null {
  const status = parsed(text);
  const parts = fieldsOf(status?.parts);
  if (status === null || parts === null) return null;
  const lastRun = fieldsOf(status.lastRun);
  const lastPart = wordOf(lastRun?.part, PROVING_RUNS);
  return {
    parts: PROOF_PARTS.flatMap((part) => readProof(part, parts[part])),
    run: readRun(status.run),
    lastRun: lastPart === null ? null : { part: lastPart, why: sentenceOf(lastRun?.why) },
    atTankLeftMs: numberOf(status.atTankLeftMs) ?? 0,
    fallen: listOf(status.fallen, PROOF_PARTS.length).flatMap((raw) => {
      const part = wordOf(fieldsOf(raw)?.part, PROOF_PARTS);
      return part === null ? [] : [{ part, why: sentenceOf(fieldsOf(raw)?.why) }];
    }),
  };
}

const STANDINGS = ["never", "fallen", "proven", "due", "overdue"] as const;

function readProof(part: ProofPart, raw: unknown): ShownProof[] {
  const proof = fieldsOf(raw);
  if (proof?.standing === "not-fitted") return [];
  const reading = fieldsOf(proof?.reading);
  const value = numberOf(reading?.value);
  const unit = wordOf(reading?.unit, PROOF_UNITS);
  const gates = wordOf(proof?.gates, ["top-off", "heat"]);
  const decimals = unit === "mL/s" || unit === "K" ? 1 : 0;
  return [
    {
      part,
      standing: wordOf(proof?.standing, STANDINGS) ?? "unknown",
      ageMs: numberOf(proof?.ageMs),
      by: sentenceOf(proof?.by),
      reading: value === null || unit === null ? "" : `${value.toFixed(decimals)} ${unit}`,
      gates,
      isReady: proof?.ready === true,
      next: sentenceOf(proof?.next),
    },
  ];
}

function readRun(raw: unknown): ShownRun | null {
  const run = fieldsOf(raw);
  const part = wordOf(run?.part, PROVING_RUNS);
  const phase = wordOf(run?.phase, ["waiting-for-disk", "running", "watching"]);
  const leftMs = numberOf(run?.leftMs);
  return part === null || phase === null || leftMs === null ? null : { part, phase, leftMs };
}
