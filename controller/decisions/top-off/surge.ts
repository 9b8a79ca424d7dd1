import type { TopOffFacts } from "./blockers.ts";
import type { TopOffMemory } from "./memory.ts";
import type { TopOffPlan } from "./plan.ts";

type Surge = Pick<
  TopOffMemory,
  "surgeLeftMs" | "freeProofMs" | "surgeSeen" | "surgeMissing" | "returnWasOn" | "stuckLow"
>;

/**
 * Every stop of the return pump is a proof for nothing: the water that runs back must lift the working float, and holds
 * it up until it can have evaporated. A float that was low and stays low is stuck, and locks; one that was up and falls
 * shows that it moves, so that the sensor is wrong who says *stopped*. Either way the sensor is not believed alone.
 */
export function watchSurge(memory: TopOffMemory, facts: TopOffFacts, plan: TopOffPlan): Surge {
  const { returnPump, working, holding, elapsed } = facts;
  const { stuckLow } = memory;
  const returnWasOn = returnPump.position === "on" || (memory.returnWasOn && returnPump.position === "unknown");
  // Hands in the tank may hold the float or have taken the water: nothing is owed. What was found before them stands, for
  // only a return pump that is seen running disproves it.
  if (returnPump.position === "on") return nothingOwed(false, returnWasOn, stuckLow);
  if (holding) return nothingOwed(memory.surgeMissing, returnWasOn, stuckLow);
  // One lost sample shows no pump that runs: what is owed stays owed.
  if (returnPump.position === "unknown") {
    const { surgeLeftMs, freeProofMs, surgeSeen, surgeMissing } = memory;
    return { surgeLeftMs, freeProofMs, surgeSeen, surgeMissing, returnWasOn, stuckLow };
  }
  const owedMs = memory.returnWasOn ? plan.surgeMs : memory.surgeLeftMs;
  if (owedMs === 0) return nothingOwed(memory.surgeMissing, returnWasOn, stuckLow);
  const mayBeLowMs = memory.returnWasOn ? plan.freeProofMs : memory.freeProofMs;
  const seenUp = working.position === "on";
  const surgeSeen = seenUp || (memory.surgeSeen && !memory.returnWasOn);
  const freeProofMs = leftOf(mayBeLowMs, facts, plan);
  const missing = !seenUp && freeProofMs === 0;
  return {
    surgeLeftMs: missing ? 0 : Math.max(0, owedMs - elapsed.ms),
    freeProofMs: missing ? 0 : freeProofMs,
    surgeSeen: surgeSeen && !missing,
    surgeMissing: missing,
    returnWasOn,
    stuckLow: stuckLow || (missing && !surgeSeen),
  };
}

const nothingOwed = (surgeMissing: boolean, returnWasOn: boolean, stuckLow: boolean): Surge => ({
  surgeLeftMs: 0,
  freeProofMs: 0,
  surgeSeen: false,
  surgeMissing,
  returnWasOn,
  stuckLow,
});

function leftOf(freeProofMs: number, { working, elapsed }: TopOffFacts, plan: TopOffPlan): number {
  if (working.position === "on") return plan.freeProofMs;
  return working.position === "off" ? Math.max(0, freeProofMs - elapsed.ms) : freeProofMs;
}
