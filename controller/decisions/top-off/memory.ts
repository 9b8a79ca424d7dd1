import type { Reason } from "../../../shared/contract/reasons.ts";
import type { Witness } from "../../../shared/contract/witness.ts";
import type { TopOffPlan } from "../plan.ts";

/** A trip that a person must clear. `occurrence` numbers them, so that a clear meant for one does not clear the next. */
export interface LatchMemory {
  readonly reason: Reason;
  readonly occurrence: number;
}

/**
 * Everything that top-off remembers: amounts in whole milliseconds and microlitres, and latches. Durable.
 * Charges are counted at the proven flow and a quarter more, because the pump may be stronger than it was when proven.
 */
export interface TopOffMemory {
  readonly state: "resting" | "confirming" | "pouring" | "settling" | "proving";
  /** The pump was on in the last scan: whatever time has passed, it has run. */
  readonly running: boolean;
  /** Of a proving run: how long it is to last, until its charge is settled; 0 = what is charged is a pour. */
  readonly provingMs: number;
  /** How surely the water is low: gains 1 s/s while low, loses 2 s/s otherwise. */
  readonly confirmMs: number;
  /** Rest or settling still to serve. */
  readonly restMs: number;
  /** Of the pour under way: how long, and how much at the charged flow. */
  readonly pourMs: number;
  readonly pourUl: number;
  /** Charged before the pour and not settled yet; 0 = nothing under way. */
  readonly chargeUl: number;
  /** Sequence number of the memory that must be on disk before the charge may be poured. */
  readonly chargeSequence: number;
  readonly chargeWaitMs: number;
  /** What may still be poured today. May go below zero when a pour ran on through a stalled scan. */
  readonly bucketUl: number;
  /** Poured beyond the lowest credible evaporation, since a hand test last bounded it. */
  readonly excessUl: number;
  /** Poured, at the proven flow, since the working float last read full. */
  readonly sinceFullUl: number;
  /** Evaporated, at the commissioned rates without and with a fan, since then. */
  readonly dueUl: number;
  readonly pouredTotalUl: number;
  /** In the reservoir by the ledger; null = never told. */
  readonly reservoirUl: number | null;
  readonly failures: number;
  /** The water was once surely low and has not been full since. */
  readonly wasLow: boolean;
  readonly fullMs: number;
  /** Times the water rose from surely low to full with nothing poured. */
  readonly unordered: number;
  /** The return pump was seen to stop: for this long the water that ran back must stand over its mark. 0 = not owed. */
  readonly surgeLeftMs: number;
  /** For this long the working float may read low in that time. */
  readonly freeProofMs: number;
  /** The working float has been seen to rise, or was up already, since that stop. */
  readonly surgeSeen: boolean;
  /** The pump is said to stand still and the water is not where it must be: float or sensor is wrong. */
  readonly surgeMissing: boolean;
  readonly returnWasOn: boolean;
  readonly stuckLow: boolean;
  /** How long the reservoir has been seen empty. */
  readonly emptyMs: number;
  /** It ran empty long before its litres can have been poured. */
  readonly emptiedEarly: boolean;
  readonly highWetMs: number;
  readonly highWasDry: boolean;
  readonly touchesMs: number;
  readonly floorWetMs: number;
  readonly contradictionMs: number;
  readonly sinceHandTestMs: number;
  /** A hand test found salinity low: pouring waits for another that does not. */
  readonly dilutedByTest: boolean;
  /** Salinity was seen to fall in agreement with something else: pouring waits until readings contradict that. */
  readonly diluted: boolean;
  readonly latch: LatchMemory | null;
  /** Set with the latch when the cause is one that must also open the water guard. */
  readonly guardLatched: boolean;
  readonly occurrences: number;
}

const NOTHING_STANDS = {
  state: "resting",
  running: false,
  provingMs: 0,
  confirmMs: 0,
  restMs: 0,
  pourMs: 0,
  pourUl: 0,
  chargeUl: 0,
  chargeSequence: 0,
  chargeWaitMs: 0,
  sinceFullUl: 0,
  dueUl: 0,
  pouredTotalUl: 0,
  reservoirUl: null,
  failures: 0,
  wasLow: false,
  fullMs: 0,
  unordered: 0,
  surgeLeftMs: 0,
  freeProofMs: 0,
  surgeSeen: false,
  surgeMissing: false,
  returnWasOn: false,
  stuckLow: false,
  emptyMs: 0,
  emptiedEarly: false,
  highWetMs: 0,
  highWasDry: false,
  touchesMs: 0,
  floorWetMs: 0,
  contradictionMs: 0,
  sinceHandTestMs: 0,
  dilutedByTest: false,
  diluted: false,
  latch: null,
  guardLatched: false,
  occurrences: 0,
} as const;

/** Budgets unused, nothing latched: what a rehearsal starts with. */
export const provenTopOff = (plan: TopOffPlan): TopOffMemory => ({
  ...NOTHING_STANDS,
  bucketUl: plan.bucketSizeUl,
  excessUl: 0,
  reservoirUl: plan.reservoirUl,
  sinceHandTestMs: plan.handTestEveryMs,
});

/**
 * Without a memory that can be believed: no credit at all, and locked until a person has looked. Nobody knows how much
 * was poured beyond evaporation, so all of the excess counts as poured until a hand test bounds it. `occurrence` is above
 * every number that a lock ever had; a lock that the witness knows of stays that lock.
 */
export const lostTopOff = (plan: TopOffPlan, occurrence = 1, witness: Locked | null = null): TopOffMemory => ({
  ...NOTHING_STANDS,
  bucketUl: 0,
  excessUl: plan.excessLimitUl,
  sinceHandTestMs: plan.handTestEveryMs,
  latch: { reason: witness?.topOffLock ?? "memory-lost", occurrence },
  guardLatched: witness?.waterGuardLocked ?? false,
  occurrences: occurrence,
});

type Locked = Pick<Witness, "topOffLock" | "waterGuardLocked">;

/** A memory older than known is worth its latch, its failures and its findings; its litres are worth nothing. */
export function olderTopOff(
  memory: TopOffMemory,
  plan: TopOffPlan,
  occurrence = 0,
  witness: Locked | null = null,
): TopOffMemory {
  const kept = topOffAfterRestart(memory, null, plan);
  const occurrences = Math.max(memory.occurrences + 1, occurrence);
  return {
    ...kept,
    bucketUl: Math.min(0, kept.bucketUl),
    excessUl: Math.max(plan.excessLimitUl, kept.excessUl),
    reservoirUl: null,
    sinceHandTestMs: plan.handTestEveryMs,
    // A new number even for the latch that it knows of: a clear may be under way that was meant for the one before.
    latch: { reason: kept.latch?.reason ?? witness?.topOffLock ?? "memory-lost", occurrence: occurrences },
    guardLatched: kept.guardLatched || (witness?.waterGuardLocked ?? false),
    occurrences,
  };
}

/** After a restart: a charge that was under way is spent, for nobody knows how much of it was poured. */
export const topOffAfterRestart = (memory: TopOffMemory, offMs: number | null, plan: TopOffPlan): TopOffMemory => {
  const poured = Math.round((memory.chargeUl * plan.flowUlPerMs) / plan.chargedFlowUlPerMs);
  return {
    ...memory,
    state: "resting",
    running: false,
    provingMs: 0,
    surgeLeftMs: 0,
    freeProofMs: 0,
    surgeSeen: false,
    returnWasOn: false,
    confirmMs: 0,
    // Off-time is no rest: what was left of one after a failed pour is left still.
    restMs: Math.max(memory.restMs, plan.restMs),
    pourMs: 0,
    pourUl: 0,
    chargeUl: 0,
    chargeWaitMs: 0,
    // What a proving run gave was caught in a jug: it answers for no rise of the water.
    sinceFullUl: memory.sinceFullUl + (memory.provingMs > 0 ? 0 : poured),
    pouredTotalUl: memory.pouredTotalUl + poured,
    reservoirUl: memory.reservoirUl === null ? null : Math.max(0, memory.reservoirUl - poured),
    // The wall clock may be wrong by years: no more is owed than the reservoir can hold. Nobody saw whether a fan blew.
    dueUl: memory.dueUl + Math.min(plan.reservoirUl, Math.round((offMs ?? 0) * plan.evaporationUlPerMs)),
    fullMs: 0,
    highWasDry: false,
  };
};
