import { type Due, dueHours } from "../../../shared/contract/absence.ts";
import type { Doubtful } from "../../../shared/contract/ledger.ts";
import { daysLeft } from "../../quantities/forecast.ts";

const HOURS_A_DAY = 24;

/**
 * When the reservoir is empty, by the evaporation that was learned, or as it was commissioned. Its litres are known as
 * the pump counts them; it is the evaporation of the days to come that nobody knows.
 */
export function reservoirDue(leftL: number | null, fullL: number, perDay: Doubtful): Due {
  const now = leftL === null ? null : daysLeft({ value: leftL, uncertainty: 0 }, perDay);
  const full = daysLeft({ value: fullL, uncertainty: 0 }, perDay);
  return {
    kind: "reservoir",
    of: null,
    inH: now === null ? null : dueHours(now.expected * HOURS_A_DAY),
    earliestH: now === null ? null : dueHours(now.earliest * HOURS_A_DAY),
    renewedH: full === null ? null : dueHours(full.earliest * HOURS_A_DAY),
    litres: { left: leftL === null ? null : Math.round(leftL * 100) / 100, full: fullL },
  };
}
