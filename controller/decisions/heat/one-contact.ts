import * as z from "zod";
import { SENSED_LAG_MS } from "../../../shared/settings/limits.ts";
import { storedCount, storedReason } from "../stored.ts";
import type { HeatFacts } from "./facts.ts";
import type { HeatPlan } from "./plan.ts";

/**
 * One of the heater's two contacts does not open any more and the other one does: heat goes on by that one, with the
 * heater's own thermostat behind it, at a cautious duty in long cycles, and never far above the setpoint. Every *off* is
 * confirmed, by what is sensed behind the contacts or by a slope that falls; the first that is not locks the heat.
 */
export const storedOneContact = z
  .object({
    reason: storedReason,
    occurrence: storedCount,
    /** The slope of the water while the heater was last known to be off, whole mK/h; null = never known. */
    offRateMilliKPerH: z.int().nullable(),
  })
  .readonly();
export type OneContact = z.infer<typeof storedOneContact>;

/** Volatile: how the present *off* stands. */
export interface OffWatch {
  /** In healthy time since the heater was switched off. */
  readonly offMs: number;
  readonly isConfirmed: boolean;
}

export const NOT_OFF: OffWatch = { offMs: 0, isConfirmed: false };
export const SURELY_OFF: OffWatch = { offMs: 0, isConfirmed: true };

/** The rate looks back over twenty minutes and is made anew every five seconds: by then it knows of nothing but this off. */
const RATE_KNOWS_MS = 1_260_000;
/** Above the setpoint, K: the cut-out of a heater that only one contact can stop. */
const CUT_OUT_ABOVE_K = 1;

/** Found with a heater whose own thermostat was seen to cut. Without one nobody heats by a single contact. */
export const mayGoOn = ({ thermostatProven }: HeatFacts): boolean => thermostatProven;

export const planByOneContact = (plan: HeatPlan): HeatPlan => ({
  ...plan,
  cautiousCycleMs: plan.oneContactCycleMs,
  cutOutC: Math.min(plan.cutOutC, plan.setpointC + CUT_OUT_ABOVE_K),
});

export interface OffWatched {
  readonly watch: OffWatch;
  readonly oneContact: OneContact;
  /** This off was not confirmed in its time, or it is not off at all. */
  readonly failed: boolean;
}

/** One scan of the watch over the present off. In a hold the water is stirred, and time waits. */
export function watchOff(
  { on, off }: { readonly on: boolean; readonly off: OffWatch },
  oneContact: OneContact,
  facts: HeatFacts,
  plan: HeatPlan,
): OffWatched {
  if (on) return { watch: NOT_OFF, oneContact, failed: facts.heaterSeenOn };
  const offMs = Math.min(plan.offConfirmMs, off.offMs + (facts.holding ? 0 : facts.elapsed.creditMs));
  const sensed = facts.seenOn !== null;
  const isConfirmed = off.isConfirmed || (sensed ? isSeenOff(offMs, facts) : hasFallen(offMs, oneContact, facts, plan));
  const seenOn = facts.heaterSeenOn && offMs > SENSED_LAG_MS;
  const failed = seenOn || (!isConfirmed && offMs >= plan.offConfirmMs);
  const known = isConfirmed && offMs >= RATE_KNOWS_MS && facts.rateKPerH !== null;
  const offRateMilliKPerH = known ? Math.round(1000 * (facts.rateKPerH as number)) : oneContact.offRateMilliKPerH;
  const isSame = offRateMilliKPerH === oneContact.offRateMilliKPerH;
  return {
    watch: { offMs, isConfirmed },
    oneContact: isSame ? oneContact : { ...oneContact, offRateMilliKPerH },
    failed,
  };
}

const isSeenOff = (offMs: number, { seenOn }: HeatFacts): boolean => offMs > SENSED_LAG_MS && seenOn === false;

/** The same half of what the heater makes that proves a weld. */
function hasFallen(offMs: number, { offRateMilliKPerH }: OneContact, facts: HeatFacts, plan: HeatPlan): boolean {
  if (offMs < RATE_KNOWS_MS || facts.rateKPerH === null || offRateMilliKPerH === null) return false;
  return facts.rateKPerH <= offRateMilliKPerH / 1000 + (plan.heaterKPerMs * 3_600_000) / 2;
}
