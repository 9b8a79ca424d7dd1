import type { HeaterPart } from "../../../shared/contract/parts.ts";
import { type HeatDurable, type HeatVolatile, saturated } from "./memory.ts";
import type { TurnsPlan } from "./plan.ts";

/**
 * Two heaters share the work: one leads, so that what the water does is its doing and nobody else's, and the next time
 * the other one does. The one that does not lead joins when the leader was not enough, or at once below the low limit.
 * Volatile: after a start the first one leads.
 */
export interface TurnsMemory {
  readonly leads: HeaterPart;
  /** The water has wanted heat for this long; 0 = it wants none. */
  readonly wantedMs: number;
}

export const FIRST_TURN: TurnsMemory = { leads: "heater-1", wantedMs: 0 };

/** Time passes. A temperature that nobody knows changes nothing. */
export function followTurns(memory: TurnsMemory, water: number | null, creditMs: number, plan: TurnsPlan): TurnsMemory {
  if (water === null) return memory;
  const wanted = water < plan.onBelowC || (memory.wantedMs > 0 && water <= plan.offAboveC);
  if (wanted) return { leads: memory.leads, wantedMs: saturated(memory.wantedMs + Math.max(1, creditMs)) };
  return memory.wantedMs === 0 ? memory : { leads: otherThan(memory.leads), wantedMs: 0 };
}

export const otherThan = (heater: HeaterPart): HeaterPart => (heater === "heater-1" ? "heater-2" : "heater-1");

/** The other heater of the two, as it stands when this one decides. */
export interface OtherHeater {
  readonly durable: HeatDurable;
  readonly volatile: HeatVolatile;
  readonly proven: boolean;
}

/**
 * Whether this heater may begin to heat. What the other one may not do by its memory, this one does at once; what only
 * an input forbids it, this one does in its own time, so that no reading gone bad switches anything on.
 */
export function hasTurn(
  heater: HeaterPart,
  memory: TurnsMemory,
  other: OtherHeater,
  water: number | null,
  plan: TurnsPlan,
): boolean {
  if (!areApart(other, plan)) return false;
  const { latch, noEffect, oneContact } = other.durable;
  const alone = !other.proven || latch !== null || noEffect || oneContact !== null;
  const helps = memory.wantedMs >= plan.joinsAfterMs || (water !== null && water < plan.lowC);
  return alone || memory.leads === heater || helps;
}

/** The other one has not come on a moment ago. */
export const areApart = ({ volatile }: OtherHeater, { apartMs }: TurnsPlan): boolean =>
  !volatile.on || volatile.inStateMs >= apartMs;

/** For how long it has moved no water: off, and its guard not open to find out whether it really is. */
export const offForMs = ({ volatile }: OtherHeater): number =>
  volatile.on || volatile.guardOpenMs > 0 ? 0 : volatile.inStateMs;
