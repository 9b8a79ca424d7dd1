import * as z from "zod";
import { storedBalanceUl, storedCount, storedLatch, storedMs, storedReason, storedUl } from "../stored.ts";
import type { TopOffPlan } from "./plan.ts";

/**
 * Everything that top-off remembers: amounts in whole milliseconds and microlitres, and latches. Durable.
 * Charges are counted at the proven flow and a quarter more, because the pump may be stronger than it was when proven.
 */
export const storedTopOff = z
  .object({
    state: z.enum(["resting", "confirming", "pouring", "settling", "proving"]),
    /** The pump was on in the last scan: whatever time has passed, it has run. */
    running: z.boolean(),
    /** Of a proving run: how long it is to last, until its charge is settled; 0 = what is charged is a pour. */
    provingMs: storedMs,
    /** How surely the water is low: gains 1 s/s while low, loses 2 s/s otherwise. */
    confirmMs: storedMs,
    /** Rest or settling still to serve. */
    restMs: storedMs,
    /** Of the pour under way: how long, and how much at the charged flow. */
    pourMs: storedMs,
    pourUl: storedUl,
    /** Charged before the pour and not settled yet; 0 = nothing under way. */
    chargeUl: storedUl,
    /** Sequence number of the memory that must be on disk before the charge may be poured. */
    chargeSequence: storedCount,
    chargeWaitMs: storedMs,
    /** What may still be poured today. May go below zero when a pour ran on through a stalled scan. */
    bucketUl: storedBalanceUl,
    /** Poured beyond the lowest credible evaporation, since a hand test last bounded it. */
    excessUl: storedUl,
    /** Poured, at the proven flow, since the working float last read full. */
    sinceFullUl: storedUl,
    /** Evaporated, at the commissioned rates without and with a fan, since then. */
    dueUl: storedUl,
    pouredTotalUl: storedUl,
    /** In the reservoir by the ledger; null = never told. */
    reservoirUl: storedUl.nullable(),
    failures: storedCount,
    /** The water was once surely low and has not been full since. */
    wasLow: z.boolean(),
    fullMs: storedMs,
    /** Times the water rose from surely low to full with nothing poured. */
    unordered: storedCount,
    /** The return pump was seen to stop: for this long the water that ran back must stand over its mark. 0 = not owed. */
    surgeLeftMs: storedMs,
    /** For this long the working float may read low in that time. */
    freeProofMs: storedMs,
    /** The working float has been seen to rise, or was up already, since that stop. */
    surgeSeen: z.boolean(),
    /** The pump is said to stand still and the water is not where it must be: float or sensor is wrong. */
    surgeMissing: z.boolean(),
    returnWasOn: z.boolean(),
    stuckLow: z.boolean(),
    /** How long the reservoir has been seen empty. */
    emptyMs: storedMs,
    /** It ran empty long before its litres can have been poured. */
    emptiedEarly: z.boolean(),
    highWetMs: storedMs,
    highWasDry: z.boolean(),
    touchesMs: storedMs,
    floorWetMs: storedMs,
    contradictionMs: storedMs,
    sinceHandTestMs: storedMs,
    /** A hand test found salinity low: pouring waits for another that does not. */
    dilutedByTest: z.boolean(),
    /** Salinity was seen to fall in agreement with something else: pouring waits until readings contradict that. */
    diluted: z.boolean(),
    latch: storedLatch.nullable(),
    /** Set with the latch when the cause is one that must also open the water guard. */
    guardLatched: z.boolean(),
    occurrences: storedCount,
  })
  .readonly();
export type TopOffMemory = z.infer<typeof storedTopOff>;

/** What is kept a second time: the lock that stands, and whether it holds the guard open. */
export const storedTopOffTestimony = z.object({ lock: storedReason.nullable(), guardLocked: z.boolean() }).readonly();
export type TopOffTestimony = z.infer<typeof storedTopOffTestimony>;

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
export const lostTopOff = (
  plan: TopOffPlan,
  occurrence = 1,
  testimony: TopOffTestimony | null = null,
): TopOffMemory => ({
  ...NOTHING_STANDS,
  bucketUl: 0,
  excessUl: plan.excessLimitUl,
  sinceHandTestMs: plan.handTestEveryMs,
  latch: { reason: testimony?.lock ?? "memory-lost", occurrence },
  guardLatched: testimony?.guardLocked ?? false,
  occurrences: occurrence,
});

/** A memory older than known is worth its latch, its failures and its findings; its litres are worth nothing. */
export function olderTopOff(
  memory: TopOffMemory,
  plan: TopOffPlan,
  occurrence = 0,
  testimony: TopOffTestimony | null = null,
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
    latch: { reason: kept.latch?.reason ?? testimony?.lock ?? "memory-lost", occurrence: occurrences },
    guardLatched: kept.guardLatched || (testimony?.guardLocked ?? false),
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
