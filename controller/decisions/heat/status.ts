import type { HeaterPart } from "../../../shared/contract/parts.ts";
import type { HeatStatus } from "../../../shared/contract/record.ts";
import { isDutyKnown } from "./duty.ts";
import type { HeatFacts } from "./facts.ts";
import type { HeatVerdict } from "./machine.ts";
import type { HeatPlan } from "./plan.ts";
import { heatCauseStands } from "./requests.ts";

/** What heat shows of itself. */
export function heatStatus(heater: HeaterPart, verdict: HeatVerdict, facts: HeatFacts, plan: HeatPlan): HeatStatus {
  const { durable } = verdict.memory;
  const { latch, noEffect, occurrences } = durable;
  return {
    heater,
    state: shownState(verdict, facts),
    why: verdict.why,
    latch:
      latch === null ? null : { ...latch, clearable: !heatCauseStands(facts, plan), atTank: !plan.clearFromADistance },
    finding:
      latch === null && noEffect
        ? { reason: "heater-no-effect", occurrence: occurrences, clearable: true, atTank: false }
        : null,
    guard: verdict.guardClosed ? "closed" : latch === null ? "open" : "latched-open",
    seenOn: facts.heaterSeenOn,
    rateKnown: facts.rateKPerH !== null,
    dutyPercent: isDutyKnown(durable) ? 100 * durable.dutyDay : null,
    setpointC: plan.setpointC,
    offForMs: verdict.on ? 0 : verdict.memory.volatile.sinceHeatMs,
  };
}

function shownState(verdict: HeatVerdict, facts: HeatFacts): HeatStatus["state"] {
  if (verdict.memory.durable.latch !== null) return "locked";
  if (verdict.memory.volatile.cut) return "cut-out";
  if (facts.holdingWithHeat) return "held";
  if (!facts.steady || verdict.why === "heat-starting") return "waiting";
  if (verdict.cautious && facts.trust !== "none") return "cautious";
  return verdict.on ? "heating" : "off";
}
