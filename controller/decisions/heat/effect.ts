import type { HeatFacts } from "./facts.ts";
import { type EffectWindow, type HeatVolatile, NO_EFFECT_YET } from "./memory.ts";
import type { HeatPlan } from "./plan.ts";

/** The least rise that a prediction must promise before it can be held against the heater. */
const TELLING_K = 0.3;
const LEAST_SHARE = 0.25;
/** Off for this share of the time that it was on, the heater worked part of the time: then an error in the loss to the
 *  room adds up over hours, and only an effect that is seen proves something. */
const PART_TIME_SHARE = 1 / 3;

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
  const { valueC, anew } = facts.watched;
  if (anew || facts.elapsed.ms > LONGEST_STEP_MS || !facts.powered || facts.otherOffMs === 0) return NOTHING_TO_SAY;
  const { effect } = memory;
  if (effect.startC === null) {
    return memory.on && valueC !== null
      ? { window: { ...NO_EFFECT_YET, startC: valueC }, verdict: null }
      : NOTHING_TO_SAY;
  }
  // Warmed to the top of the band and switched off again: the water followed, whatever the model of the loss says.
  if (!memory.on && valueC !== null && valueC > plan.offAboveC) return effect.onMs > 0 ? SEEN : NOTHING_TO_SAY;
  // Nothing to compare with in this scan: time is added as if the water stood where it began, and nothing is judged.
  if (valueC === null && effect.onMs >= plan.effectWindowMs) return { window: effect, verdict: null };
  const water = valueC ?? effect.startC;
  const lossK = plan.lossPerMs * (water - (facts.roomC ?? plan.roomC));
  const perMs = (memory.on ? plan.heaterKPerMs : 0) + plan.pumpKPerMs - lossK;
  const partTimeMs = Math.ceil(plan.effectWindowMs * PART_TIME_SHARE);
  const window = {
    onMs: effect.onMs + (memory.on ? facts.elapsed.ms : 0),
    offMs: Math.min(partTimeMs, effect.offMs + (memory.on ? 0 : facts.elapsed.ms)),
    predictedK: effect.predictedK + perMs * facts.elapsed.ms,
    startC: effect.startC,
  };
  if (window.onMs < plan.effectWindowMs || valueC === null) return { window, verdict: null };
  if (window.predictedK < TELLING_K) return NOTHING_TO_SAY;
  const share = (water - window.startC) / window.predictedK;
  if (share >= LEAST_SHARE) return SEEN;
  return window.offMs < partTimeMs ? { window: NO_EFFECT_YET, verdict: "none" } : NOTHING_TO_SAY;
}
