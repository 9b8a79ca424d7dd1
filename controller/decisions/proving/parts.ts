import {
  PROOF_PARTS,
  type ProofPart,
  type ProvingRun,
  SECOND_HEATER_PROOFS,
} from "../../../shared/contract/proving.ts";
import { PROOF_OVERDUE_MS, PROOF_WARNING_MS, PROOF_YEARLY_MS } from "../../../shared/settings/limits.ts";
import type { Settings } from "../../../shared/settings/schema.ts";

/** Inputs that are proven by being seen both ways. */
export const SEEN_BOTH_WAYS = [
  "high-float",
  "working-float",
  "low-float",
  "reservoir-float",
  "floor-sensor",
] as const satisfies readonly ProofPart[];
export type SeenBothWays = (typeof SEEN_BOTH_WAYS)[number];

/** Runs in which the pump may pour: a hold ends them. */
export const POURING_RUNS = ["top-off-pump", "siphon", "water-guard"] as const satisfies readonly ProvingRun[];

/** Lifted and pressed once a month; everything else once a year. */
const MONTHLY: readonly ProofPart[] = ["high-float", "protective-device"];
export const dueAfterMs = (part: ProofPart): number => (MONTHLY.includes(part) ? PROOF_WARNING_MS : PROOF_YEARLY_MS);
export const overdueAfterMs = (part: ProofPart): number =>
  MONTHLY.includes(part) ? PROOF_OVERDUE_MS : PROOF_YEARLY_MS + PROOF_OVERDUE_MS;

/** A box without boards is a rehearsal: it has every part. Elsewhere a part is there when the settings name it. */
export function isFitted(part: ProofPart, { boards, inputs, outputs, heat }: Settings): boolean {
  if ((SECOND_HEATER_PROOFS as readonly ProofPart[]).includes(part)) return heat.secondHeater !== null;
  if (Object.keys(boards).length === 0) return true;
  switch (part) {
    case "top-off-pump":
    case "siphon":
      return outputs["top-off-pump"] !== undefined;
    case "pump-off-level":
      return inputs["high-float"] !== undefined;
    case "heater-thermostat":
      return outputs["heater-1"] !== undefined;
    case "heater-1":
    case "water-guard":
    case "heat-guard":
      return outputs[part] !== undefined;
    case "protective-device":
      return true;
    default:
      return inputs[part as keyof typeof inputs] !== undefined;
  }
}

export const eachPart = <Value>(made: (part: ProofPart) => Value): Record<ProofPart, Value> =>
  Object.fromEntries(PROOF_PARTS.map((part) => [part, made(part)])) as Record<ProofPart, Value>;
