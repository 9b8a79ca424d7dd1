import { BOARD_REASONS, type Reason } from "../../../shared/contract/reasons.ts";
import { isCautious, isFlowAnswered, isFlowDoubted, paceCaution, type Wish, wishWithCare } from "./caution.ts";
import { isCovered } from "./cover.ts";
import { rememberDanger, watchDanger } from "./danger.ts";
import { countDuty } from "./duty.ts";
import type { HeatFacts } from "./facts.ts";
import type { HeatDurable, HeatMemory, HeatVolatile } from "./memory.ts";
import { planByOneContact } from "./one-contact.ts";
import type { HeatPlan } from "./plan.ts";
import { roomExplains } from "./room.ts";

export interface HeatVerdict {
  readonly memory: HeatMemory;
  readonly on: boolean;
  readonly guardClosed: boolean;
  readonly cautious: boolean;
  readonly why: Reason;
  readonly urgent: boolean;
  /** A proving run ended in this scan without a trip. */
  readonly proved: boolean;
}

/**
 * One scan of heat: first what is dangerous (cut-out, weld, effect), then latches, then what forbids heat, then the
 * band. The warmest reading cuts; the control reading, in a band with minimum times, heats.
 */
export function stepHeat(before: HeatMemory, facts: HeatFacts, usual: HeatPlan): HeatVerdict {
  const plan = before.durable.oneContact === null ? usual : planByOneContact(usual);
  const watched = watchDanger(before, facts, plan);
  const durable = rememberDanger(before, facts, plan, watched);
  const counted = countDuty(durable, before.volatile, before.volatile.on, facts.elapsed.ms);
  const cautious = isCautious(durable, facts, plan);
  const paced = paceCaution(watched.volatile, cautious, durable, facts, plan);
  const forbidden = forbiddenBy(counted.durable, paced, facts, plan);
  const proving = provingAfter(counted.durable, before.volatile.on, forbidden, facts);
  const runEnded = counted.durable.provingMs > 0 && proving.provingMs === 0;
  // A run that ends lets go of the heater: the band does not carry on what only the run has switched on.
  const wish = wishOf(proving, runEnded ? { ...paced, on: false } : paced, facts, plan, cautious, forbidden);
  const volatile = switched(paced, wish.on, counted.dutyOnMs, counted.dutyAllMs);
  return {
    memory: { durable: proving, volatile },
    on: wish.on,
    guardClosed: guardMayClose(counted.durable, volatile, facts),
    cautious,
    why: wish.why,
    urgent:
      durable.latch !== before.durable.latch ||
      durable.noEffect !== before.durable.noEffect ||
      durable.oneContact?.occurrence !== before.durable.oneContact?.occurrence,
    proved: runEnded && forbidden === null,
  };
}

/** A proving run counts its time on; whatever forbids heat ends it. */
function provingAfter(durable: HeatDurable, wasOn: boolean, forbidden: Reason | null, facts: HeatFacts): HeatDurable {
  if (durable.provingMs === 0) return durable;
  const left = forbidden === null ? Math.max(0, durable.provingMs - (wasOn ? facts.elapsed.ms : 0)) : 0;
  return left === durable.provingMs ? durable : { ...durable, provingMs: left };
}

function wishOf(
  durable: HeatDurable,
  volatile: HeatVolatile,
  facts: HeatFacts,
  plan: HeatPlan,
  cautious: boolean,
  forbidden: Reason | null,
): Wish {
  if (forbidden !== null) return { on: false, why: forbidden };
  if (durable.provingMs > 0) {
    return volatile.on || facts.apart ? { on: true, why: "proving-heater" } : { on: false, why: "other-heaters-turn" };
  }
  if (!facts.proven) return { on: false, why: "not-proven" };
  return wishFor(durable, volatile, facts, plan, cautious);
}

/** What forbids heat in this very scan; null = nothing does. */
function forbiddenBy(durable: HeatDurable, volatile: HeatVolatile, facts: HeatFacts, plan: HeatPlan): Reason | null {
  if (durable.latch !== null) return durable.latch.reason;
  if (facts.heaterSeenOn) return "heater-seen-on";
  if (volatile.cut) return "heat-cut-out";
  if (facts.board !== "ready") return BOARD_REASONS[facts.board];
  if (facts.holdingWithHeat) return "hold-with-heat";
  if (!isCovered(facts.cover, volatile.cover)) return "heater-uncovered";
  if (facts.trust === "none" || facts.control.value === null || facts.warmest.value === null) return "no-temperature";
  if (facts.warmest.value >= plan.cutOutC) return "heat-cut-out";
  // Something was hot, and nobody has disproved it: that it fell silent before the cut-out stood begins no heat.
  if (volatile.hotMs > 0 && !volatile.on) return "hot-not-disproved";
  if (!facts.steady) return "heat-starting";
  if (!isFlowDoubted(facts, plan) && !isFlowAnswered(facts, plan)) {
    if (!facts.flowNow && !plan.sharesChamber) return "no-flow";
    if (!facts.flow) return "heat-starting";
  }
  if (volatile.guardOpenMs > 0) return warmingWords(volatile, facts, plan);
  return volatile.slopeCheckMs > 0 ? "slope-check" : null;
}

function wishFor(
  durable: HeatDurable,
  volatile: HeatVolatile,
  facts: HeatFacts,
  plan: HeatPlan,
  cautious: boolean,
): Wish {
  const water = facts.control.value as number;
  if (cautious) return wishWithCare(durable, volatile, facts, plan);
  const wants = water < plan.onBelowC ? true : water > plan.offAboveC ? false : volatile.on;
  if (volatile.on && !wants && volatile.inStateMs < plan.minimumOnMs) return { on: true, why: "minimum-on" };
  if (!volatile.on && wants && volatile.inStateMs < plan.minimumOffMs) return { on: false, why: "minimum-off" };
  if (!volatile.on && wants && !facts.turn) return { on: false, why: "other-heaters-turn" };
  if (wants) return { on: true, why: "below-band" };
  return { on: false, why: water > plan.offAboveC ? "above-band" : "temperature-in-band" };
}

const switched = (volatile: HeatVolatile, on: boolean, dutyOnMs: number, dutyAllMs: number): HeatVolatile => ({
  ...volatile,
  on,
  inStateMs: on === volatile.on ? volatile.inStateMs : 0,
  sinceHeatMs: on ? 0 : volatile.sinceHeatMs,
  guardWaits: volatile.guardWaits && !on,
  dutyOnMs,
  dutyAllMs,
});

/** Until the test is over nobody knows: what a room may do is not called a heater. */
function warmingWords({ rateBefore }: HeatVolatile, facts: HeatFacts, plan: HeatPlan): Reason {
  const rateKPerH = rateBefore ?? facts.rateKPerH;
  return rateKPerH !== null && roomExplains(rateKPerH, facts, plan) ? "warming-by-room" : "heating-while-off";
}

/** The heat guard rests closed while heat is allowed at all, and opens for everything that a relay may not survive. After
 *  a cut-out, and where it is the only contact that opens, it closes with the heat alone. */
function guardMayClose(durable: HeatDurable, volatile: HeatVolatile, facts: HeatFacts): boolean {
  return (
    durable.latch === null &&
    !volatile.cut &&
    volatile.guardOpenMs === 0 &&
    facts.board === "ready" &&
    facts.steady &&
    isCovered(facts.cover, volatile.cover) &&
    !facts.holdingWithHeat &&
    (volatile.on || (durable.oneContact === null && !volatile.guardWaits))
  );
}
