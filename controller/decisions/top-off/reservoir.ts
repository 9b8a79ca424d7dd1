import type { TopOffFacts } from "./blockers.ts";
import type { TopOffMemory } from "./memory.ts";
import type { TopOffPlan } from "./plan.ts";

type Reservoir = Pick<TopOffMemory, "emptyMs" | "emptiedEarly" | "reservoirUl">;

/** An empty reservoir ends the count of its litres. If far too many were left in it by that count, the water went
 *  somewhere without being ordered. */
export function watchReservoir(memory: TopOffMemory, { reservoir, elapsed }: TopOffFacts, plan: TopOffPlan): Reservoir {
  const { reservoirUl, emptiedEarly } = memory;
  if (reservoir.position !== "off") {
    return { emptyMs: reservoir.position === "on" ? 0 : memory.emptyMs, emptiedEarly, reservoirUl };
  }
  const emptyMs = Math.min(plan.emptyJudgedMs, memory.emptyMs + elapsed.ms);
  // Judged once, when there was time to lift it out and fill it: litres told before they are poured in are not gone.
  const judged = memory.emptyMs < plan.emptyJudgedMs && emptyMs === plan.emptyJudgedMs;
  if (!judged || reservoirUl === null) return { emptyMs, emptiedEarly, reservoirUl };
  return { emptyMs, emptiedEarly: emptiedEarly || reservoirUl > plan.earlyUl, reservoirUl: 0 };
}
