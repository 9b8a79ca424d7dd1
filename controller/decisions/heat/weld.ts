import type { HeatFacts } from "./facts.ts";
import type { HeatVolatile } from "./memory.ts";
import type { HeatPlan } from "./plan.ts";

type Weld = Pick<HeatVolatile, "guardOpenMs" | "rateBefore" | "roomWarms"> & { readonly proven: boolean };

/** A room or a lamp warms more slowly than this share of what the heater can do. */
const SUSPICIOUS_SHARE = 0.35;
const LEAST_SUSPICIOUS_K_PER_H = 0.2;

/**
 * The water warms although the heater has been off for half an hour: the heat guard opens for half an hour. If the
 * slope falls by at least half of what the heater makes, the relay is welded; otherwise the room or a lamp is named.
 */
export function watchWeld(memory: HeatVolatile, facts: HeatFacts, plan: HeatPlan): Weld {
  const heaterKPerH = plan.heaterKPerMs * 3_600_000;
  if (memory.guardOpenMs > 0) return underTest(memory, facts, heaterKPerH);
  const suspicious = Math.max(LEAST_SUSPICIOUS_K_PER_H, SUSPICIOUS_SHARE * heaterKPerH);
  const warms = facts.rateKPerH !== null && facts.rateKPerH > suspicious;
  if (!warms) return { guardOpenMs: 0, rateBefore: 0, roomWarms: false, proven: false };
  const offMs = memory.on ? 0 : Math.min(memory.inStateMs, facts.otherOffMs);
  if (offMs < plan.weldCheckAfterOffMs || memory.roomWarms)
    return { guardOpenMs: 0, rateBefore: 0, roomWarms: memory.roomWarms, proven: false };
  return { guardOpenMs: plan.guardOpenMs, rateBefore: facts.rateKPerH, roomWarms: false, proven: false };
}

function underTest(memory: HeatVolatile, facts: HeatFacts, heaterKPerH: number): Weld {
  const guardOpenMs = Math.max(0, memory.guardOpenMs - facts.elapsed.creditMs);
  const rateBefore = facts.watched.anew || facts.otherOffMs === 0 ? null : memory.rateBefore;
  if (guardOpenMs > 0) return { guardOpenMs, rateBefore, roomWarms: false, proven: false };
  // Without a rate nothing is shown; the guard stays open until there is one.
  if (facts.rateKPerH === null) return { guardOpenMs: 1, rateBefore, roomWarms: false, proven: false };
  const proven = rateBefore !== null && rateBefore - facts.rateKPerH >= heaterKPerH / 2;
  return { guardOpenMs: 0, rateBefore: 0, roomWarms: rateBefore !== null && !proven, proven };
}
