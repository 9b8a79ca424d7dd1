import type { Doubt } from "../../../shared/contract/signal.ts";
import { AMOUNT_MOST_MS } from "../../../shared/settings/limits.ts";
import type { Source, Trust } from "../../signals/vote.ts";
import type { LatchMemory } from "../top-off/memory.ts";

/** What must survive a restart. Whole milliseconds, and shares from 0 to 1. */
export interface HeatDurable {
  readonly latch: LatchMemory | null;
  /** Numbers locks and findings alike. */
  readonly occurrences: number;
  /** The heater was seen to have no effect: cautious duty until the water is seen to follow it. Without a lock, what was
   *  found has the newest number: a lock takes the finding with it when it is cleared. */
  readonly noEffect: boolean;
  /** Leaking means of the share of time that the heater was on. */
  readonly dutyDay: number;
  readonly dutyWeek: number;
  readonly dutyKnownMs: number;
  /** Of a proving run: what is left of it. */
  readonly provingMs: number;
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
  /** Surely below what clears the cut-out, for this long. */
  readonly coolMs: number;
  readonly guardOpenMs: number;
  /** K/h when the guard opened; null = nothing to compare with, because the thermometer is another one now. */
  readonly rateBefore: number | null;
  /** The water warms with the heat guard open too: a warm room or a lamp. */
  readonly roomWarms: boolean;
  readonly slopeCheckMs: number;
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
  coolMs: 0,
  guardOpenMs: 0,
  rateBefore: 0,
  roomWarms: false,
  slopeCheckMs: 0,
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
