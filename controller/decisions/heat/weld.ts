import type { HeatFacts } from "./facts.ts";
import type { HeatVolatile } from "./memory.ts";
import type { HeatPlan } from "./plan.ts";

type Weld = Pick<HeatVolatile, "guardOpenMs" | "rateBefore" | "disprovedMs"> & { readonly proven: boolean };

/** A room or a lamp warms more slowly than this share of what the heater can do. */
const SUSPICIOUS_SHARE = 0.35;
const LEAST_SUSPICIOUS_K_PER_H = 0.2;

/**
 * The water warms although the heater has been off for half an hour: the heat guard opens for half an hour. If the
 * slope falls by at least half of what the heater makes, the relay is welded. Otherwise it is not, and is not looked for
 * again for a day, unless the heater was on since: only a contact that closes can weld.
 */
export function watchWeld(memory: HeatVolatile, facts: HeatFacts, plan: HeatPlan): Weld {
  const heaterKPerH = plan.heaterKPerMs * 3_600_000;
  if (memory.guardOpenMs > 0) return underTest(memory, facts, heaterKPerH, plan);
  const disprovedMs = memory.on ? 0 : Math.max(0, memory.disprovedMs - facts.elapsed.ms);
  const offMs = memory.on ? 0 : Math.min(memory.inStateMs, facts.otherOffMs);
  const waits = disprovedMs > 0 || offMs < plan.weldCheckAfterOffMs;
  if (waits || !warmsTooFast(facts, plan)) return { guardOpenMs: 0, rateBefore: 0, disprovedMs, proven: false };
  return { guardOpenMs: plan.guardOpenMs, rateBefore: facts.rateKPerH, disprovedMs, proven: false };
}

/** Faster than a usual room or a lamp warms it. */
function warmsTooFast({ rateKPerH }: HeatFacts, { heaterKPerMs }: HeatPlan): boolean {
  const heaterKPerH = heaterKPerMs * 3_600_000;
  return rateKPerH !== null && rateKPerH > Math.max(LEAST_SUSPICIOUS_K_PER_H, SUSPICIOUS_SHARE * heaterKPerH);
}

function underTest(memory: HeatVolatile, facts: HeatFacts, heaterKPerH: number, plan: HeatPlan): Weld {
  const guardOpenMs = Math.max(0, memory.guardOpenMs - facts.elapsed.creditMs);
  const rateBefore = facts.watched.anew || facts.otherOffMs === 0 ? null : memory.rateBefore;
  const going = { rateBefore, disprovedMs: 0, proven: false };
  if (guardOpenMs > 0) return { ...going, guardOpenMs };
  // Without a rate nothing is shown; the guard stays open until there is one.
  if (facts.rateKPerH === null) return { ...going, guardOpenMs: 1 };
  const proven = rateBefore !== null && rateBefore - facts.rateKPerH >= heaterKPerH / 2;
  const isDisproved = rateBefore !== null && !proven;
  return { guardOpenMs: 0, rateBefore: 0, disprovedMs: isDisproved ? plan.disprovedMs : 0, proven };
}
