import { AMOUNT_MOST_MS } from "../../../shared/settings/limits.ts";
import type { HeatFacts } from "./facts.ts";
import { type EffectWindow, type HeatVolatile, NO_EFFECT_YET } from "./memory.ts";
import type { HeatPlan } from "./plan.ts";

/** The least rise that a prediction must promise before it can be held against the heater. */
const TELLING_K = 0.3;
const LEAST_SHARE = 0.25;
const FELT_SHARE = 0.6;
/** Off for this share of the time that it was on, the heater worked part of the time: then an error in the loss to the
 *  room adds up over hours, and only an effect that is seen proves something. */
const PART_TIME_SHARE = 1 / 3;

/** Over a longer gap between scans the heater did not run on, and nobody knows for how long. */
const LONGEST_STEP_MS = 10_000;

export interface Effect {
  readonly window: EffectWindow;
  /** On while it was known that no thermometer follows. */
  readonly unansweredMs: number;
  /** `none`: an hour of heating and the water did not follow. `seen`: it did. Null: nothing to say yet. */
  readonly verdict: "none" | "seen" | null;
}

type WindowSeen = Pick<Effect, "window" | "verdict">;
const NOTHING_TO_SAY: WindowSeen = { window: NO_EFFECT_YET, verdict: null };
const SEEN: WindowSeen = { window: NO_EFFECT_YET, verdict: "seen" };

/**
 * Two ways to see it: the rise of an hour of heating, and, where this heater is the only one, whether any thermometer
 * follows it at all. The second sees a heater that works part of the time too, and a thermometer that repeats itself
 * hides nothing from it.
 */
export function watchEffect(memory: HeatVolatile, facts: HeatFacts, plan: HeatPlan): Effect {
  const seen = watchRise(memory, facts, plan);
  const isAlone = facts.otherOffMs >= AMOUNT_MOST_MS;
  if (!isAlone || facts.answered === "unknown") return { ...seen, unansweredMs: 0 };
  if (facts.answered === "some") return { window: seen.window, verdict: seen.verdict ?? "seen", unansweredMs: 0 };
  const unansweredMs = memory.unansweredMs + (memory.on && facts.powered ? facts.elapsed.ms : 0);
  if (unansweredMs < plan.effectWindowMs) return { ...seen, unansweredMs };
  return { window: seen.window, verdict: "none", unansweredMs: plan.effectWindowMs };
}

/**
 * Watches whether the water follows the heater: predicted net rise over an hour of on-time against the rise that was
 * measured. Predicted = (heater while on + return pump − loss to the room) / heat capacity.
 */
function watchRise(memory: HeatVolatile, facts: HeatFacts, plan: HeatPlan): WindowSeen {
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
  const riseK = water - window.startC;
  if (riseK / window.predictedK >= LEAST_SHARE) return SEEN;
  // Where the room takes nearly all, a small error in the loss is a large one in what is left: a heater that works shows
  // itself by how much faster the water would have cooled.
  const heaterK = plan.heaterKPerMs * window.onMs;
  const isFelt = riseK - (window.predictedK - heaterK) >= FELT_SHARE * heaterK;
  const isMissing = !isFelt && window.offMs < partTimeMs;
  return isMissing ? { window: NO_EFFECT_YET, verdict: "none" } : NOTHING_TO_SAY;
}
