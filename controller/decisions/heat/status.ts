import type { HeaterPart } from "../../../shared/contract/parts.ts";
import type { HeatStatus, Latch } from "../../../shared/contract/record.ts";
import { isDutyKnown } from "./duty.ts";
import type { HeatFacts } from "./facts.ts";
import type { HeatVerdict } from "./machine.ts";
import type { HeatDurable } from "./memory.ts";
import type { HeatPlan } from "./plan.ts";
import { heatCauseStands } from "./requests.ts";
import { roomExplains } from "./room.ts";

/** What heat shows of itself. */
export function heatStatus(heater: HeaterPart, verdict: HeatVerdict, facts: HeatFacts, plan: HeatPlan): HeatStatus {
  const { durable } = verdict.memory;
  const { latch } = durable;
  return {
    heater,
    state: shownState(verdict, facts),
    why: verdict.why,
    latch:
      latch === null ? null : { ...latch, clearable: !heatCauseStands(facts, plan), atTank: !plan.clearFromADistance },
    finding: latch === null ? findingOf(durable, plan) : null,
    guard: verdict.guardClosed ? "closed" : latch === null ? "open" : "latched-open",
    seenOn: facts.heaterSeenOn,
    warming: warmingOf(verdict, facts, plan),
    dutyPercent: isDutyKnown(durable) ? 100 * durable.dutyDay : null,
    setpointC: plan.setpointC,
    offForMs: verdict.on ? 0 : verdict.memory.volatile.sinceHeatMs,
  };
}

function findingOf({ oneContact, noEffect, occurrences }: HeatDurable, plan: HeatPlan): Latch | null {
  if (oneContact !== null) {
    const { occurrence } = oneContact;
    return { reason: "one-contact-heating", occurrence, clearable: true, atTank: !plan.clearFromADistance };
  }
  return noEffect ? { reason: "heater-no-effect", occurrence: occurrences, clearable: true, atTank: false } : null;
}

function warmingOf({ memory }: HeatVerdict, facts: HeatFacts, plan: HeatPlan): HeatStatus["warming"] {
  const { on, disprovedMs } = memory.volatile;
  if (on || disprovedMs === 0) return "no";
  // It need not warm any more: water that a cold room does not cool is kept warm by something.
  return facts.rateKPerH === null || roomExplains(facts.rateKPerH, facts, plan) ? "room" : "unexplained";
}

function shownState(verdict: HeatVerdict, facts: HeatFacts): HeatStatus["state"] {
  if (verdict.memory.durable.latch !== null) return "locked";
  if (verdict.memory.volatile.cut) return "cut-out";
  if (facts.holdingWithHeat) return "held";
  if (!facts.steady || verdict.why === "heat-starting") return "waiting";
  if (verdict.cautious && facts.trust !== "none") return "cautious";
  return verdict.on ? "heating" : "off";
}
