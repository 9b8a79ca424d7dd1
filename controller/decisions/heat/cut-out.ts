import { CUT_OUT_CLEARS_K } from "../../../shared/settings/limits.ts";
import type { HeatPlan } from "../plan.ts";
import type { HeatFacts } from "./facts.ts";
import type { HeatVolatile } from "./memory.ts";

/**
 * The cut-out looks at the warmest reading that is not bad, for three conversions. It clears 1 K lower by itself; the
 * latch is made elsewhere, and only when a heater can be the cause: a heatwave is not a fault.
 */
export function watchCutOut(
  memory: HeatVolatile,
  facts: HeatFacts,
  plan: HeatPlan,
): Pick<HeatVolatile, "hotMs" | "cut"> {
  const warmest = facts.warmest.value;
  // A reading that went bad proves nothing: what was counted stays counted.
  if (warmest === null) return { hotMs: memory.hotMs, cut: memory.cut };
  const hotMs = warmest >= plan.cutOutC ? Math.min(plan.cutOutMs, memory.hotMs + facts.elapsedMs) : 0;
  const cooled = warmest <= plan.cutOutC - CUT_OUT_CLEARS_K;
  return { hotMs, cut: hotMs >= plan.cutOutMs || (memory.cut && !cooled) };
}
