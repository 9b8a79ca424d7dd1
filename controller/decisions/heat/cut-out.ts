import { CUT_OUT_CLEARS_K } from "../../../shared/settings/limits.ts";
import type { HeatFacts } from "./facts.ts";
import type { HeatVolatile } from "./memory.ts";
import type { HeatPlan } from "./plan.ts";

/** With a thermometer lost or in doubt, what is left must be cool for this long: the hot one may be the one that died. */
const CLEARS_IN_DOUBT_AFTER_MS = 600_000;

/**
 * The cut-out looks at the warmest reading that is not bad, for three conversions. It clears 1 K lower by itself; the
 * latch is made elsewhere, and only when a heater can be the cause: a heatwave is not a fault.
 */
export function watchCutOut(memory: HeatVolatile, facts: HeatFacts, plan: HeatPlan): CutOut {
  const warmest = facts.warmest.value;
  const wasHot = memory.hotMs > 0 || memory.cut;
  const hotFellSilent = wasHot && (memory.hotFellSilent || facts.oneFellSilent);
  // A reading that went bad proves nothing: what was counted stays counted.
  if (warmest === null) return { hotMs: memory.hotMs, cut: memory.cut, hotFellSilent, coolMs: 0 };
  const cool = warmest <= plan.cutOutC - CUT_OUT_CLEARS_K;
  const coolMs = cool ? Math.min(CLEARS_IN_DOUBT_AFTER_MS, memory.coolMs + facts.elapsed.creditMs) : 0;
  const sure = (facts.trust === "full" && !hotFellSilent) || coolMs >= CLEARS_IN_DOUBT_AFTER_MS;
  const hotMs = hotAfter(memory.hotMs, warmest, sure, facts, plan);
  const cut = hotMs >= plan.cutOutMs || (memory.cut && !(cool && sure));
  return { hotMs, cut, hotFellSilent: hotFellSilent && (hotMs > 0 || cut), coolMs };
}

type CutOut = Pick<HeatVolatile, "hotMs" | "cut" | "hotFellSilent" | "coolMs">;

function hotAfter(hotMs: number, warmest: number, sure: boolean, facts: HeatFacts, plan: HeatPlan): number {
  if (warmest >= plan.cutOutC) return Math.min(plan.cutOutMs, hotMs + facts.elapsed.ms);
  return sure ? 0 : hotMs;
}
