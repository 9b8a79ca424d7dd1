import type { ContactSignal } from "../../../shared/contract/signal.ts";
import { PROOF_DWELL_MS, PROOF_EVIDENCE_MS } from "../../../shared/settings/limits.ts";
import type { ContactSeen, ProvingMemory } from "./memory.ts";
import { SEEN_BOTH_WAYS, type SeenBothWays } from "./parts.ts";

type Contacts = ProvingMemory["contacts"];

/** Each contact that can be lifted: has it gone to its other position and come back within the last minutes? */
export function followContacts(
  memory: Contacts,
  signals: Readonly<Record<SeenBothWays, ContactSignal>>,
  elapsedMs: number,
): Contacts {
  let next: Contacts | null = null;
  for (const part of SEEN_BOTH_WAYS) {
    const seen = followed(memory[part], signals[part].position, elapsedMs);
    if (seen !== memory[part]) next = { ...(next ?? memory), [part]: seen };
  }
  return next ?? memory;
}

function followed(seen: ContactSeen, position: ContactSeen["position"], elapsedMs: number): ContactSeen {
  const stands = position === seen.position && seen.leftMs === 0;
  // Nearly always: it stands where it stood, and nothing is to be counted.
  if (stands && (position === seen.settled || position === "unknown")) return seen;
  const stayedMs = position === seen.position ? Math.min(PROOF_DWELL_MS, seen.stayedMs + elapsedMs) : 0;
  const leftMs = Math.max(0, seen.leftMs - elapsedMs);
  const turns = leftMs === 0 ? 0 : seen.turns;
  if (position === "unknown" || stayedMs < PROOF_DWELL_MS || position === seen.settled) {
    return { position, stayedMs, settled: seen.settled, turns, leftMs };
  }
  if (seen.settled === "unknown") return { position, stayedMs, settled: position, turns: 0, leftMs: 0 };
  return { position, stayedMs, settled: position, turns: Math.min(2, turns + 1), leftMs: PROOF_EVIDENCE_MS };
}

export const wasSeenBothWays = (seen: ContactSeen): boolean => seen.turns >= 2 && seen.leftMs > 0;

const WET: Readonly<Record<SeenBothWays, string>> = {
  "high-float": "wet",
  "working-float": "full",
  "low-float": "covered",
  "reservoir-float": "water",
  "floor-sensor": "wet",
};
const DRY: Readonly<Record<SeenBothWays, string>> = {
  "high-float": "dry",
  "working-float": "low",
  "low-float": "uncovered",
  "reservoir-float": "empty",
  "floor-sensor": "dry",
};

/** Which way has not been seen yet, and how to show it. */
export function contactWords(part: SeenBothWays, seen: ContactSeen): string {
  if (wasSeenBothWays(seen)) return "Seen both ways.";
  const floor = part === "floor-sensor";
  const up = floor ? "Touch it with a wet cloth" : "In a hold, lift it";
  const down = floor ? "wipe it dry" : "let it fall";
  const lock = floor ? " It locks top-off: clear that afterwards." : "";
  if (seen.position === "unknown") return "It gives no reading: look at its wire and its plug first.";
  if (seen.turns === 1 && seen.settled === "on")
    return `Seen ${WET[part]}; now ${down} until it reads ${DRY[part]}.${lock}`;
  if (seen.turns === 1) return `Seen ${DRY[part]}; now ${floor ? "touch it" : "lift it"} until it reads ${WET[part]}.`;
  if (seen.settled === "on" && !floor) {
    return `In a hold, press it down until it reads ${DRY[part]}, then let it rise until it reads ${WET[part]}.`;
  }
  return `${up} until it reads ${WET[part]}, then ${down} until it reads ${DRY[part]}.${lock}`;
}
