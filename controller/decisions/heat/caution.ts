import type { Reason } from "../../../shared/contract/reasons.ts";
import { CAUTIOUS_DUTY_MOST } from "../../../shared/settings/limits.ts";
import { isDutyKnown } from "./duty.ts";
import type { HeatFacts } from "./facts.ts";
import { isAtFloor } from "./floor.ts";
import type { HeatDurable, HeatVolatile } from "./memory.ts";
import type { HeatPlan } from "./plan.ts";

export interface Wish {
  readonly on: boolean;
  readonly why: Reason;
}

/** Heat goes on, with care: the thermometers are in doubt, the heater is, or the flow is. */
export const isCautious = (durable: HeatDurable, facts: HeatFacts, plan: HeatPlan): boolean =>
  isInDoubt(facts) || durable.noEffect || durable.oneContact !== null || isFlowDoubted(facts, plan);

/** A single witness that follows the heater is enough where the heater's own thermostat stands behind it. */
const isInDoubt = ({ trust, thermostatProven }: HeatFacts): boolean =>
  trust === "doubtful" || trust === "undecided" || (trust === "answered" && !thermostatProven);

/** The sensor says that the return pump stands still, and the water contradicts it: a wrong sensor must not chill the box.
 *  What follows a heater that shares its chamber with no thermometer shows that the water flows. Until then the box is
 *  heated with care; where the heater's own thermostat was not seen to cut, only when it is cold. */
export const isFlowDoubted = (facts: HeatFacts, plan: HeatPlan): boolean =>
  !facts.flowNow &&
  isSensorSuspect(facts, plan) &&
  facts.answered !== "some" &&
  (facts.thermostatProven || isCold(facts, plan));

export const isFlowAnswered = (facts: HeatFacts, plan: HeatPlan): boolean =>
  isSensorSuspect(facts, plan) && facts.answered === "some";

const isSensorSuspect = ({ flowSuspect }: HeatFacts, { sharesChamber }: HeatPlan): boolean =>
  flowSuspect && !sharesChamber;
const isCold = ({ control }: HeatFacts, { lowC }: HeatPlan): boolean => control.value !== null && control.value < lowC;

/** The lower of half and last week's mean. */
const cautiousShare = (durable: HeatDurable): number =>
  isDutyKnown(durable) ? Math.min(CAUTIOUS_DUTY_MOST, durable.dutyWeek) : CAUTIOUS_DUTY_MOST;

/** Only a doubt about the thermometers is overruled by cold water. */
const floorHolds = (durable: HeatDurable, facts: HeatFacts, plan: HeatPlan): boolean =>
  isInDoubt(facts) && durable.oneContact === null && !isFlowDoubted(facts, plan) && isAtFloor(facts, plan);

/** Careful heating begins with its pause, and begins anew with every new doubt, every other thermometer that it goes by
 *  and every one that falls silent, so that a reading gone bad never turns the heater on. Time on is a charge: a late
 *  scan takes all of it. */
export function paceCaution(
  before: HeatVolatile,
  cautious: boolean,
  durable: HeatDurable,
  facts: HeatFacts,
  plan: HeatPlan,
): HeatVolatile {
  const { trust, source } = facts;
  // A spike was replaced already: as often as it comes, it is no new doubt.
  const doubt = facts.control.doubt === "spike" ? null : facts.control.doubt;
  const other = trust !== before.trust || doubt !== before.doubt || source !== before.source;
  const volatile = other ? { ...before, trust, doubt, source } : before;
  if (!cautious) return volatile.cautious ? { ...volatile, cautious, cautiousMs: 0 } : volatile;
  if (!before.cautious || other || facts.oneFellSilent) return { ...volatile, cautious, cautiousMs: 0 };
  const cautiousMs = volatile.cautiousMs + (volatile.on ? facts.elapsed.ms : facts.elapsed.creditMs);
  const overMs = cautiousMs - plan.cautiousCycleMs;
  if (overMs < 0) return { ...volatile, cautiousMs };
  if (floorHolds(durable, facts, plan)) return { ...volatile, cautiousMs: plan.cautiousCycleMs };
  // What ran beyond its spell makes the next pause longer, by what keeps the share.
  const share = cautiousShare(durable);
  const owedMs = share > 0 ? (overMs * (1 - share)) / share : plan.cautiousCycleMs;
  return { ...volatile, cautiousMs: -Math.min(plan.cautiousCycleMs, owedMs) };
}

/** The cautious share, in cycles, until the warmest reaches the setpoint; what hangs in the air perhaps cuts, and does no
 *  more. If two contradict each other, and the colder says
 *  danger while the warmest is far from the cut-out, it heats too. */
export function wishWithCare(durable: HeatDurable, volatile: HeatVolatile, facts: HeatFacts, plan: HeatPlan): Wish {
  const warmest = facts.warmest.value as number;
  const colderInDanger =
    facts.trust === "undecided" && facts.coldestC !== null && facts.coldestC < plan.lowC && warmest <= plan.cutOutC - 1;
  const words = wordsOf(durable);
  const surelyWarmest = facts.surelyWarmest.value as number;
  if (surelyWarmest > plan.setpointC && !colderInDanger) return { on: false, why: "above-band" };
  const share = cautiousShare(durable);
  const atFloor = floorHolds(durable, facts, plan);
  // A finding stays the reason: its alarm must not end because no share is left either.
  if (share === 0 && !atFloor && !durable.noEffect) return { on: false, why: "no-careful-share" };
  if (volatile.cautiousMs < plan.cautiousCycleMs * (1 - share)) return { on: false, why: words.pause };
  if (durable.oneContact !== null && !volatile.on && !volatile.off.isConfirmed) {
    return { on: false, why: "off-not-confirmed" };
  }
  if (!volatile.on && volatile.inStateMs < plan.minimumOffMs) return { on: false, why: "minimum-off" };
  if (!volatile.on && !facts.turn) return { on: false, why: "other-heaters-turn" };
  return { on: true, why: words.heat };
}

interface Words {
  readonly pause: Reason;
  readonly heat: Reason;
}
const NO_EFFECT: Words = { pause: "heater-no-effect", heat: "heater-no-effect" };
const BY_ONE_CONTACT: Words = { pause: "one-contact-pause", heat: "one-contact-heating" };
const IN_DOUBT: Words = { pause: "cautious-pause", heat: "cautious-heating" };

const wordsOf = ({ noEffect, oneContact }: HeatDurable): Words =>
  noEffect ? NO_EFFECT : oneContact !== null ? BY_ONE_CONTACT : IN_DOUBT;
