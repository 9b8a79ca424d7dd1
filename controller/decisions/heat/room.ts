import type { HeatFacts } from "./facts.ts";
import type { HeatPlan } from "./plan.ts";

/** Where no thermometer measures it, a room may be as hot as this. */
const HOTTEST_ROOM_C = 40;
/** The loss of a box is known to about so much, up or down (*common practice*). */
const LOSS_DOUBT = 1.25;

/**
 * Whether room, lamp and return pump together may move the water as fast as it moves. It decides the words and never
 * the test: a welded relay is found in any room.
 */
export function roomExplains(rateKPerH: number, facts: HeatFacts, plan: HeatPlan): boolean {
  const water = facts.watched.valueC ?? facts.control.value;
  if (water === null) return true;
  const fromRoom = plan.lossPerMs * ((facts.roomC ?? HOTTEST_ROOM_C) - water);
  const mostPerMs = (fromRoom > 0 ? LOSS_DOUBT * fromRoom : fromRoom / LOSS_DOUBT) + plan.pumpKPerMs + plan.lampKPerMs;
  return rateKPerH <= mostPerMs * 3_600_000;
}
