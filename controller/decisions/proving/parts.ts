import { GUARD_OF, type HeaterPart } from "../../../shared/contract/parts.ts";
import { type Gates, PROOF_PARTS, type ProofPart, SECOND_HEATER_PROOFS } from "../../../shared/contract/proving.ts";
import { PROOF_OVERDUE_MS, PROOF_WARNING_MS, PROOF_YEARLY_MS } from "../../../shared/settings/limits.ts";
import { heaterOf, type Settings } from "../../../shared/settings/schema.ts";

/** Inputs that are proven by being seen both ways. */
export const SEEN_BOTH_WAYS = [
  "high-float",
  "working-float",
  "low-float",
  "reservoir-float",
  "floor-sensor",
] as const satisfies readonly ProofPart[];
export type SeenBothWays = (typeof SEEN_BOTH_WAYS)[number];

/**
 * Top-off stands on these: two floats that read both ways, a high float that stays dry when the return pump stops, a
 * pump of known flow that does not run on, and a second switch. Settings that name a pump name all of them.
 */
export const GATES_TOP_OFF = [
  "high-float",
  "working-float",
  "pump-off-level",
  "water-guard",
  "top-off-pump",
  "siphon",
] as const satisfies readonly ProofPart[];

/** Where the heater stands in the falling water, its low float is as good as missing until it was seen to work. */
export function gatesHeat(settings: Settings, heater: HeaterPart): readonly ProofPart[] {
  const own = heaterOf(settings, heater);
  if (own === null) return [];
  const switches: readonly ProofPart[] = [GUARD_OF[heater], heater];
  return own.heaterPlace === "last-chamber" ? [...switches, "low-float"] : switches;
}

export function gateOf(part: ProofPart, settings: Settings): Gates {
  if ((GATES_TOP_OFF as readonly ProofPart[]).includes(part)) return "top-off";
  if (gatesHeat(settings, "heater-1").includes(part)) return "heat";
  return gatesHeat(settings, "heater-2").includes(part) ? "second-heat" : null;
}

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
