import { type Due, dueHours } from "../../../shared/contract/absence.ts";
import type { Doubtful } from "../../../shared/contract/ledger.ts";
import type { TopOffMemory } from "./memory.ts";
import type { TopOffPlan } from "./plan.ts";

const HOURS_A_DAY = 24;
const MS_A_DAY = 86_400_000;
const UL_PER_L = 1e6;

/**
 * When so much has been poured beyond what surely evaporates that somebody must measure the salinity: what evaporates
 * is poured and counted with the pump's margin, every pour with its coast besides, and less of it is credible.
 */
export function measurementDue(
  { excessUl }: Pick<TopOffMemory, "excessUl">,
  plan: TopOffPlan,
  perDay: Doubtful,
): Due | null {
  // The litres that evaporation was learned from are those of the running pump.
  const coastShare = plan.coastUl / Math.min(plan.hysteresisUl, plan.sliceUl);
  const counted = (plan.chargedFlowUlPerMs / plan.flowUlPerMs) * (1 + coastShare);
  const sureLPerDay = (plan.lowestEvaporationUlPerMs * MS_A_DAY) / UL_PER_L;
  const hoursUntil = (openUl: number, lPerDay: number): number | null => {
    const growsLPerDay = counted * lPerDay - sureLPerDay;
    return growsLPerDay > 0 ? dueHours((openUl / UL_PER_L / growsLPerDay) * HOURS_A_DAY) : null;
  };
  const openUl = Math.max(0, plan.excessLimitUl - excessUl);
  const mostLPerDay = perDay.value + perDay.uncertainty;
  const earliestH = hoursUntil(openUl, mostLPerDay);
  // So little evaporates that all of it is credible: nobody is asked to measure.
  if (earliestH === null) return null;
  return {
    kind: "measurement",
    of: null,
    inH: hoursUntil(openUl, perDay.value),
    earliestH,
    renewedH: hoursUntil(plan.excessLimitUl, mostLPerDay),
  };
}
