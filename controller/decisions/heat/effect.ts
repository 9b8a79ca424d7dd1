import type { HeatPlan } from "../plan.ts";
import type { HeatFacts } from "./facts.ts";
import { type EffectWindow, type HeatVolatile, NO_EFFECT_YET } from "./memory.ts";

/** The least rise that a prediction must promise before it can be held against the heater. */
const TELLING_K = 0.3;
const LEAST_SHARE = 0.25;

/** Over a longer gap between scans the heater did not run on, and nobody knows for how long. */
const LONGEST_STEP_MS = 10_000;

export interface Effect {
  readonly window: EffectWindow;
  /** `none`: an hour of heating and the water did not follow. `seen`: it did. Null: nothing to say yet. */
  readonly verdict: "none" | "seen" | null;
}

const NOTHING_TO_SAY: Effect = { window: NO_EFFECT_YET, verdict: null };
const SEEN: Effect = { window: NO_EFFECT_YET, verdict: "seen" };

/**
 * Watches whether the water follows the heater: predicted net rise over an hour of on-time against the rise that was
 * measured. Predicted = (heater while on + return pump − loss to the room) / heat capacity.
 */
export function watchEffect(memory: HeatVolatile, facts: HeatFacts, plan: HeatPlan): Effect {
  const water = facts.control.value;
  // Another thermometer, another offset: the step between the two is no rise and no fall.
  const unsound = facts.elapsedMs > LONGEST_STEP_MS || facts.source !== memory.source;
  if (water === null || unsound || !facts.powered) return NOTHING_TO_SAY;
  const { effect } = memory;
  // Warmed to the top of the band and switched off again: the water followed, whatever the model of the loss says.
  if (!memory.on && water > plan.offAboveC) return effect.onMs > 0 ? SEEN : NOTHING_TO_SAY;
  if (effect.startC === null) {
    return memory.on ? { window: { onMs: 0, predictedK: 0, startC: water }, verdict: null } : NOTHING_TO_SAY;
  }
  const lossK = plan.lossPerMs * (water - (facts.roomC ?? plan.roomC));
  const perMs = (memory.on ? plan.heaterKPerMs : 0) + plan.pumpKPerMs - lossK;
  const window = {
    onMs: effect.onMs + (memory.on ? facts.elapsedMs : 0),
    predictedK: effect.predictedK + perMs * facts.elapsedMs,
    startC: effect.startC,
  };
  if (window.onMs < plan.effectWindowMs) return { window, verdict: null };
  if (window.predictedK < TELLING_K) return NOTHING_TO_SAY;
  const share = (water - window.startC) / window.predictedK;
  return { window: NO_EFFECT_YET, verdict: share < LEAST_SHARE ? "none" : "seen" };
}
