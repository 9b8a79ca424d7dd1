import * as z from "zod";
import type { Doubt } from "../../../shared/contract/signal.ts";
import { AMOUNT_MOST_MS } from "../../../shared/settings/limits.ts";
import type { Source, Trust } from "../../signals/vote.ts";
import { storedCount, storedLatch, storedMs, storedReason, storedShare } from "../stored.ts";
import { COVER_SHOWN, type CoverMemory } from "./cover.ts";
import { NOT_OFF, type OffWatch, storedOneContact } from "./one-contact.ts";

/** What must survive a restart. Whole milliseconds, and shares from 0 to 1. */
export const storedHeat = z
  .object({
    latch: storedLatch.nullable(),
    /** Numbers locks and findings alike. */
    occurrences: storedCount,
    /** The heater was seen to have no effect: cautious duty until the water is seen to follow it. Without a lock, what was
     *  found has the newest number: a lock takes the finding with it when it is cleared. */
    noEffect: z.boolean(),
    /** One of its two contacts is welded, and it heats on by the other; null = both are well for all we know. */
    oneContact: storedOneContact.nullable(),
    /** Leaking means of the share of time that the heater was on. */
    dutyDay: storedShare,
    dutyWeek: storedShare,
    dutyKnownMs: storedMs,
    /** Of a proving run: what is left of it. */
    provingMs: storedMs,
  })
  .readonly();
export type HeatDurable = z.infer<typeof storedHeat>;

/** What is kept a second time. */
export const storedHeatTestimony = z
  .object({
    lock: storedReason.nullable(),
    /** The heater was found without effect, and nobody has seen the water follow it since. */
    noEffect: z.boolean(),
  })
  .readonly();
export type HeatTestimony = z.infer<typeof storedHeatTestimony>;

/**
 * Heat after a memory that is in doubt. It goes on, for a dead memory must not chill the box; but a heater that was
 * found welded is not forgotten, and one without effect heats carefully on. With the witness lost too no part is proven,
 * so that nothing heats before somebody at the tank has seen heater and guard work. By one contact nobody heats then: it is
 * a lock. `occurrence` is above every number that a lock ever had.
 */
export function heatInDoubt(heat: HeatDurable, testimony: HeatTestimony | null, occurrence: number): HeatDurable {
  const reason = (heat.latch ?? heat.oneContact)?.reason ?? testimony?.lock ?? null;
  const latch = reason === null ? null : { reason, occurrence };
  const noEffect = heat.noEffect || (testimony?.noEffect ?? false);
  return { ...heat, provingMs: 0, latch, oneContact: null, noEffect, occurrences: occurrence };
}

/** What begins anew with the process. */
export interface HeatVolatile {
  readonly on: boolean;
  /** In the present state, on or off. */
  readonly inStateMs: number;
  /** Since the heater was last commanded on; a start counts as just now, because nobody can know. */
  readonly sinceHeatMs: number;
  readonly hotMs: number;
  readonly cut: boolean;
  /** A thermometer fell silent while something was hot: it may have been the one that said so. */
  readonly hotFellSilent: boolean;
  /** Surely below what clears the cut-out, for this long. */
  readonly coolMs: number;
  readonly guardOpenMs: number;
  /** K/h when the guard opened; null = nothing to compare with, because the thermometer is another one now. */
  readonly rateBefore: number | null;
  /** The water warmed with the heat guard open too, so that no weld is looked for again: what is left of the day. */
  readonly disprovedMs: number;
  /** After a cut-out the guard stays open until heat is wanted. */
  readonly guardWaits: boolean;
  readonly slopeCheckMs: number;
  /** On while it was known that no thermometer follows; saturates where that is a finding. */
  readonly unansweredMs: number;
  readonly cover: CoverMemory;
  /** How the present off stands, where only one contact can make it. */
  readonly off: OffWatch;
  readonly cautious: boolean;
  readonly cautiousMs: number;
  /** The doubt that the careful cycle began with. */
  readonly trust: Trust;
  readonly doubt: Doubt | null;
  /** Whose word the heat went by in the last scan. */
  readonly source: Source;
  readonly effect: EffectWindow;
  /** On-time and all time not yet put into the duty. */
  readonly dutyOnMs: number;
  readonly dutyAllMs: number;
}

export interface EffectWindow {
  readonly onMs: number;
  /** Saturates where the heater counts as working part of the time only. */
  readonly offMs: number;
  readonly predictedK: number;
  readonly startC: number | null;
}

export const NO_EFFECT_YET: EffectWindow = { onMs: 0, offMs: 0, predictedK: 0, startC: null };

export const FRESH_HEAT_DURABLE: HeatDurable = {
  latch: null,
  occurrences: 0,
  noEffect: false,
  oneContact: null,
  dutyDay: 0,
  dutyWeek: 0,
  dutyKnownMs: 0,
  provingMs: 0,
};

export const FRESH_HEAT_VOLATILE: HeatVolatile = {
  on: false,
  inStateMs: 0,
  sinceHeatMs: 0,
  hotMs: 0,
  cut: false,
  hotFellSilent: false,
  coolMs: 0,
  guardOpenMs: 0,
  rateBefore: 0,
  disprovedMs: 0,
  guardWaits: false,
  slopeCheckMs: 0,
  unansweredMs: 0,
  cover: COVER_SHOWN,
  off: NOT_OFF,
  cautious: false,
  cautiousMs: 0,
  trust: "none",
  doubt: null,
  source: "none",
  effect: NO_EFFECT_YET,
  dutyOnMs: 0,
  dutyAllMs: 0,
};

export interface HeatMemory {
  readonly durable: HeatDurable;
  readonly volatile: HeatVolatile;
}

export const saturated = (ms: number): number => Math.min(AMOUNT_MOST_MS, ms);

/** What was watched by a thermometer whose offset has just changed says nothing any more. */
export const unwatched = (volatile: HeatVolatile): HeatVolatile => ({
  ...volatile,
  effect: NO_EFFECT_YET,
  rateBefore: null,
});
