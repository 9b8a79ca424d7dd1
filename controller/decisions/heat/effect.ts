import type { HeatPlan } from "../plan.ts";
import type { HeatFacts } from "./facts.ts";
import { type EffectWindow, type HeatVolatile, NO_EFFECT_YET } from "./memory.ts";

/** The least rise that a prediction must promise before it can be held against the heater. */
const TELLING_K = 0.3;
const LEAST_SHARE = 0.25;

export interface Effect {
  readonly window: EffectWindow;
  /** `none`: an hour of heating and the water did not follow. `seen`: it did. Null: nothing to say yet. */
  readonly verdict: "none" | "seen" | null;
}

/**
 * Watches whether the water follows the heater: predicted net rise over an hour of on-time against the rise that was
 * measured. Predicted = (heater while on + return pump − loss to the room) / heat capacity.
 */
export function watchEffect(memory: HeatVolatile, facts: HeatFacts, plan: HeatPlan): Effect {
  const water = facts.control.value;
  if (water === null || facts.elapsedMs > 10_000) return { window: NO_EFFECT_YET, verdict: null };
  const { effect } = memory;
  if (effect.startC === null) {
    return { window: memory.on ? { onMs: 0, predictedK: 0, startC: water } : NO_EFFECT_YET, verdict: null };
  }
  const lossK = plan.lossPerMs * (water - (facts.roomC ?? plan.roomC));
  const perMs = (memory.on ? plan.heaterKPerMs : 0) + plan.pumpKPerMs - lossK;
  const window = {
    onMs: effect.onMs + (memory.on ? facts.elapsedMs : 0),
    predictedK: effect.predictedK + perMs * facts.elapsedMs,
    startC: effect.startC,
  };
  if (window.onMs < plan.effectWindowMs) return { window, verdict: null };
  if (window.predictedK < TELLING_K) return { window: NO_EFFECT_YET, verdict: null };
  const share = (water - window.startC) / window.predictedK;
  return { window: NO_EFFECT_YET, verdict: share < LEAST_SHARE ? "none" : "seen" };
}
