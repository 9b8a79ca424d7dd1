import { followCover } from "./cover.ts";
import { watchCutOut } from "./cut-out.ts";
import { watchEffect } from "./effect.ts";
import type { HeatFacts } from "./facts.ts";
import { type HeatDurable, type HeatMemory, type HeatVolatile, saturated } from "./memory.ts";
import { mayGoOn, NOT_OFF, type OffWatched, type OneContact, SURELY_OFF, watchOff } from "./one-contact.ts";
import type { HeatPlan } from "./plan.ts";
import { watchWeld } from "./weld.ts";

export interface Watched {
  /** With time passed and the danger looked at. */
  readonly volatile: HeatVolatile;
  readonly welded: boolean;
  readonly effect: "none" | "seen" | null;
  /** Null while both contacts are well for all we know. */
  readonly off: OffWatched | null;
}

/** One scan of everything that may be dangerous: hot water, a weld, an off that is none, a heater without effect. */
export function watchDanger({ durable, volatile }: HeatMemory, facts: HeatFacts, plan: HeatPlan): Watched {
  const cutOut = watchCutOut(volatile, facts, plan);
  const { oneContact } = durable;
  const off = oneContact === null ? null : watchOff(volatile, oneContact, facts, plan);
  const { proven, ...weld } = oneContact === null ? watchWeld(volatile, facts, plan) : NO_SEARCH;
  const { window, unansweredMs, verdict } = watchEffect(volatile, facts, plan);
  const { on, inStateMs, sinceHeatMs } = volatile;
  const { ms, creditMs } = facts.elapsed;
  const tooLong = on && inStateMs >= plan.longestOnMs;
  return {
    volatile: {
      ...volatile,
      inStateMs: saturated(inStateMs + (on ? ms : creditMs)),
      sinceHeatMs: on ? 0 : saturated(sinceHeatMs + creditMs),
      ...cutOut,
      ...weld,
      guardWaits: volatile.guardWaits || cutOut.cut,
      slopeCheckMs: tooLong ? plan.slopeCheckMs : Math.max(0, volatile.slopeCheckMs - creditMs),
      unansweredMs,
      cover: followCover(volatile.cover, facts.cover, facts.elapsed, plan.coverByFloatMs),
      // The guard that has just shown the weld has shown that it opens.
      off: off?.watch ?? (proven ? SURELY_OFF : NOT_OFF),
      effect: window,
    },
    welded: proven,
    effect: verdict,
    off,
  };
}

/** By one contact every off is watched anyway. */
const NO_SEARCH = { guardOpenMs: 0, rateBefore: 0, disprovedMs: 0, proven: false } as const;

/** What the danger leaves behind: a finding, a lock, or heat by one contact. The first lock stays. */
export function rememberDanger(before: HeatMemory, facts: HeatFacts, plan: HeatPlan, watched: Watched): HeatDurable {
  const { durable } = before;
  const noEffect = watched.effect === null ? durable.noEffect : watched.effect === "none";
  const occurrence = durable.occurrences + 1;
  const oneContact = watched.off?.oneContact ?? null;
  if (durable.latch === null) {
    const reason = lockReason(before, facts, plan, watched);
    if (reason !== null) {
      return { ...durable, noEffect, oneContact: null, latch: { reason, occurrence }, occurrences: occurrence };
    }
    const found = contactFound(durable, facts, watched, occurrence);
    if (found !== null) return { ...durable, noEffect, oneContact: found, occurrences: occurrence };
  }
  if (noEffect === durable.noEffect && oneContact === durable.oneContact) return durable;
  const isFound = noEffect && !durable.noEffect;
  return { ...durable, noEffect, oneContact, occurrences: isFound ? occurrence : durable.occurrences };
}

type LockReason = "heater-welded" | "heater-seen-on" | "heat-cut-out";

function lockReason(before: HeatMemory, facts: HeatFacts, plan: HeatPlan, watched: Watched): LockReason | null {
  const { on, sinceHeatMs } = before.volatile;
  const { welded, off } = watched;
  const goesOn = mayGoOn(facts) && off?.failed !== true;
  if (!goesOn) {
    if (welded) return "heater-welded";
    if (facts.heaterSeenOn) return "heater-seen-on";
    if (off !== null) return "heater-welded";
  }
  const recent = on || sinceHeatMs < plan.recentHeatMs;
  return watched.volatile.hotMs >= plan.cutOutMs && recent && isSurelyHot(facts, plan) ? "heat-cut-out" : null;
}

/** What hangs in the air perhaps cuts, and locks nothing. */
const isSurelyHot = ({ surelyWarmest }: HeatFacts, { cutOutC }: HeatPlan): boolean =>
  surelyWarmest.value !== null && surelyWarmest.value >= cutOutC;

function contactFound(durable: HeatDurable, facts: HeatFacts, watched: Watched, occurrence: number): OneContact | null {
  if (durable.oneContact !== null || (!watched.welded && !facts.heaterSeenOn)) return null;
  const rate = facts.rateKPerH;
  const isShown = watched.welded && rate !== null;
  return {
    reason: watched.welded ? "heater-welded" : "heater-seen-on",
    occurrence,
    offRateMilliKPerH: isShown ? Math.round(1000 * rate) : null,
  };
}
