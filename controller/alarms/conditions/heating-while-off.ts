import type { HeatStatus, Reason } from "../../../shared/contract/index.ts";
import { type Condition, never } from "../condition.ts";
import { causeStands, heaterWords, heatLatch, joinedWords, latchWords, sentencePart } from "../evidence.ts";

const LOCKOUT: readonly Reason[] = ["heating-while-off", "heater-welded", "heater-seen-on"];

/** The guard was open and it warmed no less, and no room explains it: both contacts may be welded. */
const isUnexplained = ({ warming }: HeatStatus): boolean => warming === "unexplained";
const isByOneContact = ({ finding }: HeatStatus): boolean => finding?.reason === "one-contact-heating";
/** The first reason of a lock stays: power behind another lock is told by what is seen. */
const isSeenOn = ({ seenOn }: HeatStatus): boolean => seenOn;
const isLocked = ({ latch }: HeatStatus): boolean => latch !== null && LOCKOUT.includes(latch.reason);

export const heatingWhileOff: Condition = {
  id: "heating-while-off",
  title: "Heating although it is switched off",
  priority: "high",
  cause:
    "A contact of the heater does not open any more, its relay or its second switch or both; or something else warms the water.",
  consequence: "A heater that cannot be switched off cooks the box within hours.",
  whatToDo:
    "Unplug the heater at the wall, before hands go in. If the water stops warming, replace the relay. If it goes on warming, cool the room and look for the source.",
  timeToRespond: "One to two hours.",
  inAbsence: "for-sitter",
  // What is proven is told at once.
  onDelayMs: 300_000,
  offDelayMs: 1_800_000,
  deadband: null,
  limit:
    "a heater cannot be switched off by both of its contacts, it has power while it is locked, or the water warmed on though the heat guard was open, and no room explains it",
  clears: "cleared",
  suppressedWhen: "never",
  stands: (facts) => {
    if (facts.heaters.some(isSeenOn)) return true;
    const latch = heatLatch(facts, LOCKOUT);
    if (latch !== null) return causeStands(latch);
    return facts.heaters.some((heat) => isUnexplained(heat) || isByOneContact(heat));
  },
  suppressed: never,
  lockedOut: (facts) =>
    heatLatch(facts, LOCKOUT) !== null || facts.heaters.some((heat) => isSeenOn(heat) || isByOneContact(heat)),
  detail: (facts) => {
    if (facts.heaters.some(isSeenOn)) {
      return joinedWords(heaterWords(facts, isSeenOn), sentencePart("heater-seen-on"));
    }
    const latch = heatLatch(facts, LOCKOUT);
    if (latch !== null) return joinedWords(heaterWords(facts, isLocked), latchWords(latch));
    if (facts.heaters.some(isByOneContact)) {
      return joinedWords(heaterWords(facts, isByOneContact), sentencePart("one-contact-heating"));
    }
    return facts.heaters.some(isUnexplained)
      ? "it went on with the heat guard open, and the room is not so warm"
      : null;
  },
};
