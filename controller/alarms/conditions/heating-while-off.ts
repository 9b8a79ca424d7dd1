import type { HeatStatus, Reason } from "../../../shared/contract/index.ts";
import { HEAT_GUARD_OPEN_MS } from "../../../shared/settings/index.ts";
import { type Condition, never } from "../condition.ts";
import { causeStands, heaterWords, heatLatch, joinedWords, latchWords, sentencePart } from "../evidence.ts";

const LOCKOUT: readonly Reason[] = ["heating-while-off", "heater-welded", "heater-seen-on"];

/** The guard stays open until there is a rate: without one nobody knows whether the water warms on. */
const isSuspect = ({ why, rateKnown }: HeatStatus): boolean => why === "heating-while-off" && rateKnown;
/** The first reason of a lock stays: power behind another lock is told by what is seen. */
const isSeenOn = ({ seenOn }: HeatStatus): boolean => seenOn;
const isLocked = ({ latch }: HeatStatus): boolean => latch !== null && LOCKOUT.includes(latch.reason);

export const heatingWhileOff: Condition = {
  id: "heating-while-off",
  title: "Heating although it is switched off",
  priority: "high",
  cause: "The heater's relay does not open any more; or the room, a lamp or a pump warms the water.",
  consequence: "A heater that cannot be switched off cooks the box within hours.",
  whatToDo:
    "Unplug the heater at the wall, before hands go in. If the water stops warming, replace the relay. If it goes on warming, cool the room and look for the source.",
  timeToRespond: "One to two hours.",
  // Longer than the heat guard stays open to find out: a proven weld locks and is told at once.
  inAbsence: "for-sitter",
  onDelayMs: HEAT_GUARD_OPEN_MS + 300_000,
  offDelayMs: 1_800_000,
  deadband: null,
  limit:
    "heat is locked by a heater that cannot be switched off, it has power while it is locked, or the water warms on though the heat guard was open",
  clears: "cleared",
  suppressedWhen: "never",
  stands: (facts) => {
    if (facts.heaters.some(isSeenOn)) return true;
    const latch = heatLatch(facts, LOCKOUT);
    return latch === null ? facts.heaters.some(isSuspect) : causeStands(latch);
  },
  suppressed: never,
  lockedOut: (facts) => heatLatch(facts, LOCKOUT) !== null || facts.heaters.some(isSeenOn),
  detail: (facts) => {
    if (facts.heaters.some(isSeenOn)) {
      return joinedWords(heaterWords(facts, isSeenOn), sentencePart("heater-seen-on"));
    }
    const latch = heatLatch(facts, LOCKOUT);
    if (latch !== null) return joinedWords(heaterWords(facts, isLocked), latchWords(latch));
    const suspects = facts.heaters.filter(isSuspect);
    const outlived = suspects.length > 0 && suspects.every(({ guard }) => guard === "closed");
    return outlived ? "it went on with the heat guard open: the room, a lamp or a pump" : null;
  },
};
