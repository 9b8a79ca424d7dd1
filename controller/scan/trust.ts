import type { Image } from "../../shared/contract/image.ts";
import { PART_WORDS, WATER_THERMOMETERS, type WaterThermometer } from "../../shared/contract/parts.ts";
import type { Outcome, TrustRequest } from "../../shared/contract/requests.ts";
import type { SignalsMemory } from "../signals/index.ts";
import { believed } from "../signals/thermometer.ts";

/** A thermometer that hung in the air is believed again when it agrees with another, or when a person says so here. */

const NONE: readonly WaterThermometer[] = [];

export function outOfWater({ first, second }: SignalsMemory): readonly WaterThermometer[] {
  if (!first.rateFault && !second.rateFault) return NONE;
  return WATER_THERMOMETERS.filter((part) => (part === "thermometer-1" ? first : second).rateFault);
}

export function trusted(
  { part }: TrustRequest,
  atTank: boolean,
  outOfWater: readonly WaterThermometer[],
): { accepted: boolean; why: string } {
  if (!atTank) return { accepted: false, why: "Only somebody at the tank sees that it hangs in the water again." };
  if (!outOfWater.includes(part)) return { accepted: false, why: `Nothing is held against ${PART_WORDS[part]}.` };
  return { accepted: true, why: `Believed again: ${PART_WORDS[part]}.` };
}

/** The same list while nothing changed: what changed must be on disk, so that no restart forgives. */
export function stillOutOfWater(
  before: readonly WaterThermometer[],
  memory: SignalsMemory,
): readonly WaterThermometer[] {
  const now = outOfWater(memory);
  return before.length === now.length && before.every((part) => now.includes(part)) ? before : now;
}

/** Windows start empty with the process; what was held against a thermometer stays held. */
export const heldAgainst = (memory: SignalsMemory, parts: readonly WaterThermometer[]): SignalsMemory => ({
  ...memory,
  first: parts.includes("thermometer-1") ? { ...memory.first, rateFault: true } : memory.first,
  second: parts.includes("thermometer-2") ? { ...memory.second, rateFault: true } : memory.second,
});

/** What is believed from the next scan on; whatever else is held against a probe stays. */
export function believedAgain(
  memory: SignalsMemory,
  requests: Image["requests"],
  outcomes: readonly Outcome[],
): SignalsMemory {
  if (requests.length === 0) return memory;
  const accepted = (request: TrustRequest) => outcomes.some((outcome) => outcome.id === request.id && outcome.accepted);
  const parts = requests.flatMap((each) => (each.kind === "trust" && accepted(each) ? [each.part] : []));
  return {
    ...memory,
    first: parts.includes("thermometer-1") ? believed(memory.first) : memory.first,
    second: parts.includes("thermometer-2") ? believed(memory.second) : memory.second,
  };
}
