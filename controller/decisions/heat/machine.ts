import { BOARD_REASONS, type Reason } from "../../../shared/contract/reasons.ts";
import { CAUTIOUS_DUTY_MOST } from "../../../shared/settings/limits.ts";
import { watchCutOut } from "./cut-out.ts";
import { countDuty, isDutyKnown } from "./duty.ts";
import { watchEffect } from "./effect.ts";
import type { HeatFacts } from "./facts.ts";
import { type HeatDurable, type HeatMemory, type HeatVolatile, saturated } from "./memory.ts";
import type { HeatPlan } from "./plan.ts";
import { watchWeld } from "./weld.ts";

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
export function stepHeat(before: HeatMemory, facts: HeatFacts, plan: HeatPlan): HeatVerdict {
  const watched = watchDanger(before, facts, plan);
  const durable = latchAfter(before, facts, plan, watched);
  const counted = countDuty(durable, before.volatile, before.volatile.on, facts.elapsed.ms);
  const cautious = isCautious(durable, facts, plan);
  const paced = paceCaution(watched.volatile, cautious, cautiousShare(durable), facts, plan);
  const forbidden = forbiddenBy(counted.durable, paced, facts, plan);
  const proving = provingAfter(counted.durable, before.volatile.on, forbidden, facts);
  const runEnded = counted.durable.provingMs > 0 && proving.provingMs === 0;
  // A run that ends lets go of the heater: the band does not carry on what only the run has switched on.
  const wish = wishOf(proving, runEnded ? { ...paced, on: false } : paced, facts, plan, cautious, forbidden);
  const volatile = switched(paced, wish.on, counted.dutyOnMs, counted.dutyAllMs);
  return {
    memory: { durable: proving, volatile },
    on: wish.on,
    guardClosed: guardMayClose(counted.durable, paced, facts),
    cautious,
    why: wish.why,
    urgent: durable.latch !== before.durable.latch || durable.noEffect !== before.durable.noEffect,
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
  if (durable.provingMs > 0) return { on: true, why: "proving-heater" };
  if (!facts.proven) return { on: false, why: "not-proven" };
  return wishFor(durable, volatile, facts, plan, cautious);
}

interface Watched {
  /** With time passed and the danger looked at. */
  readonly volatile: HeatVolatile;
  readonly welded: boolean;
  readonly effect: "none" | "seen" | null;
}

function watchDanger({ volatile }: HeatMemory, facts: HeatFacts, plan: HeatPlan): Watched {
  const { hotMs, cut, coolMs } = watchCutOut(volatile, facts, plan);
  const { proven, guardOpenMs, rateBefore, roomWarms } = watchWeld(volatile, facts, plan);
  const { window, verdict } = watchEffect(volatile, facts, plan);
  const { on, inStateMs, sinceHeatMs } = volatile;
  const { ms, creditMs } = facts.elapsed;
  const tooLong = on && inStateMs >= plan.longestOnMs;
  return {
    volatile: {
      ...volatile,
      inStateMs: saturated(inStateMs + (on ? ms : creditMs)),
      sinceHeatMs: on ? 0 : saturated(sinceHeatMs + creditMs),
      hotMs,
      cut,
      coolMs,
      guardOpenMs,
      rateBefore,
      roomWarms,
      slopeCheckMs: tooLong ? plan.slopeCheckMs : Math.max(0, volatile.slopeCheckMs - creditMs),
      effect: window,
    },
    welded: proven,
    effect: verdict,
  };
}

function latchAfter(before: HeatMemory, facts: HeatFacts, plan: HeatPlan, watched: Watched): HeatDurable {
  const { durable } = before;
  const { volatile } = watched;
  const noEffect = watched.effect === null ? durable.noEffect : watched.effect === "none";
  const recent = before.volatile.on || before.volatile.sinceHeatMs < plan.recentHeatMs;
  const reason: Reason | null = watched.welded
    ? "heater-welded"
    : facts.heaterSeenOn
      ? "heater-seen-on"
      : volatile.hotMs >= plan.cutOutMs && recent
        ? "heat-cut-out"
        : null;
  const occurrences = durable.occurrences + 1;
  if (reason === null || durable.latch !== null) {
    if (noEffect === durable.noEffect) return durable;
    return { ...durable, noEffect, occurrences: noEffect ? occurrences : durable.occurrences };
  }
  return { ...durable, noEffect, latch: { reason, occurrence: occurrences }, occurrences };
}

/** Careful heating begins with its pause, and begins anew with every new doubt, every other thermometer that it goes by
 *  and every one that falls silent, so that a reading gone bad never turns the heater on. Time on is a charge: a late
 *  scan takes all of it. */
function paceCaution(
  before: HeatVolatile,
  cautious: boolean,
  share: number,
  facts: HeatFacts,
  plan: HeatPlan,
): HeatVolatile {
  const { trust, source } = facts;
  const { doubt } = facts.control;
  const other = trust !== before.trust || doubt !== before.doubt || source !== before.source;
  const volatile = other ? { ...before, trust, doubt, source } : before;
  if (!cautious) return volatile.cautious ? { ...volatile, cautious, cautiousMs: 0 } : volatile;
  if (!before.cautious || other || facts.thirdFellSilent) return { ...volatile, cautious, cautiousMs: 0 };
  const cautiousMs = volatile.cautiousMs + (volatile.on ? facts.elapsed.ms : facts.elapsed.creditMs);
  const overMs = cautiousMs - plan.cautiousCycleMs;
  if (overMs < 0) return { ...volatile, cautiousMs };
  // What ran beyond its spell makes the next pause longer, by what keeps the share.
  const owedMs = share > 0 ? (overMs * (1 - share)) / share : plan.cautiousCycleMs;
  return { ...volatile, cautiousMs: -Math.min(plan.cautiousCycleMs, owedMs) };
}

/** The lower of half and last week's mean. */
const cautiousShare = (durable: HeatDurable): number =>
  isDutyKnown(durable) ? Math.min(CAUTIOUS_DUTY_MOST, durable.dutyWeek) : CAUTIOUS_DUTY_MOST;

const isCautious = (durable: HeatDurable, facts: HeatFacts, plan: HeatPlan): boolean =>
  facts.trust === "doubtful" || facts.trust === "undecided" || durable.noEffect || isFlowDoubted(facts, plan);

/** The return pump is said to stand still, the water contradicts that, and the box is cold: heat carefully, without
 *  flow being shown. A wrong sensor must not chill the box. */
const isFlowDoubted = ({ flowNow, flowSuspect, control }: HeatFacts, { sharesChamber, lowC }: HeatPlan): boolean =>
  !flowNow && !sharesChamber && flowSuspect && control.value !== null && control.value < lowC;

/** What forbids heat in this very scan; null = nothing does. */
function forbiddenBy(durable: HeatDurable, volatile: HeatVolatile, facts: HeatFacts, plan: HeatPlan): Reason | null {
  if (durable.latch !== null) return durable.latch.reason;
  if (volatile.cut) return "heat-cut-out";
  if (facts.board !== "ready") return BOARD_REASONS[facts.board];
  if (facts.holdingWithHeat) return "hold-with-heat";
  if (!facts.covered) return "heater-uncovered";
  if (facts.trust === "none" || facts.control.value === null || facts.warmest.value === null) return "no-temperature";
  if (facts.warmest.value >= plan.cutOutC) return "heat-cut-out";
  // Something was hot, and nobody has disproved it: that it fell silent before the cut-out stood begins no heat.
  if (volatile.hotMs > 0 && !volatile.on) return "hot-not-disproved";
  if (!facts.steady) return "heat-starting";
  if (!isFlowDoubted(facts, plan)) {
    if (!facts.flowNow && !plan.sharesChamber) return "no-flow";
    if (!facts.flow) return "heat-starting";
  }
  if (volatile.guardOpenMs > 0 || volatile.roomWarms) return "heating-while-off";
  return volatile.slopeCheckMs > 0 ? "slope-check" : null;
}

interface Wish {
  readonly on: boolean;
  readonly why: Reason;
}

function wishFor(
  durable: HeatDurable,
  volatile: HeatVolatile,
  facts: HeatFacts,
  plan: HeatPlan,
  cautious: boolean,
): Wish {
  const water = facts.control.value as number;
  if (cautious) return cautiousWish(durable, volatile, facts, plan, water);
  const wants = water < plan.onBelowC ? true : water > plan.offAboveC ? false : volatile.on;
  if (volatile.on && !wants && volatile.inStateMs < plan.minimumOnMs) return { on: true, why: "minimum-on" };
  if (!volatile.on && wants && volatile.inStateMs < plan.minimumOffMs) return { on: false, why: "minimum-off" };
  if (!volatile.on && wants && !facts.turn) return { on: false, why: "other-heaters-turn" };
  if (wants) return { on: true, why: "below-band" };
  return { on: false, why: water > plan.offAboveC ? "above-band" : "temperature-in-band" };
}

/** The cautious share, in cycles; by the warmer thermometer. If the two contradict each other, and
 *  the colder says danger while the warmer is far from the cut-out, it heats too. */
function cautiousWish(
  durable: HeatDurable,
  volatile: HeatVolatile,
  facts: HeatFacts,
  plan: HeatPlan,
  water: number,
): Wish {
  const colderInDanger =
    facts.trust === "undecided" &&
    facts.coldestC !== null &&
    facts.coldestC < plan.lowC &&
    (facts.warmest.value as number) <= plan.cutOutC - 1;
  if (water > plan.setpointC && !colderInDanger) return { on: false, why: "above-band" };
  // A finding that the heater has no effect stays the reason: its alarm must not end because no share is left either.
  if (cautiousShare(durable) === 0 && !durable.noEffect) return { on: false, why: "no-careful-share" };
  const pauseMs = plan.cautiousCycleMs * (1 - cautiousShare(durable));
  if (volatile.cautiousMs < pauseMs)
    return { on: false, why: durable.noEffect ? "heater-no-effect" : "cautious-pause" };
  if (!volatile.on && volatile.inStateMs < plan.minimumOffMs) return { on: false, why: "minimum-off" };
  if (!volatile.on && !facts.turn) return { on: false, why: "other-heaters-turn" };
  return { on: true, why: durable.noEffect ? "heater-no-effect" : "cautious-heating" };
}

const switched = (volatile: HeatVolatile, on: boolean, dutyOnMs: number, dutyAllMs: number): HeatVolatile => ({
  ...volatile,
  on,
  inStateMs: on === volatile.on ? volatile.inStateMs : 0,
  sinceHeatMs: on ? 0 : volatile.sinceHeatMs,
  dutyOnMs,
  dutyAllMs,
});

/** The heat guard rests closed while heat is allowed at all, and opens for everything that a relay may not survive. */
function guardMayClose(durable: HeatDurable, volatile: HeatVolatile, facts: HeatFacts): boolean {
  return (
    durable.latch === null &&
    !volatile.cut &&
    volatile.guardOpenMs === 0 &&
    facts.board === "ready" &&
    facts.steady &&
    facts.covered &&
    !facts.holdingWithHeat
  );
}
