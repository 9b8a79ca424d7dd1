import { arbitrate } from "../../controller/decisions/arbitrate.ts";
import type { TopOffFacts } from "../../controller/decisions/top-off/blockers.ts";
import type { TopOffVerdict } from "../../controller/decisions/top-off/machine.ts";
import type { TopOffMemory } from "../../controller/decisions/top-off/memory.ts";
import type { TopOffPlan } from "../../controller/decisions/top-off/plan.ts";
import { proposePour } from "../../controller/decisions/top-off/proposal.ts";
import { rule } from "./search.ts";
import type { Asked } from "./top-off-moves.ts";

/** The invariants of the water, said independently of the code that must keep them. */

const known = (facts: TopOffFacts): boolean =>
  facts.working.position !== "unknown" && facts.high.position !== "unknown";

/** S1 and S5a: the pump is on only in a pour or a proving run, with every trip clear and the charge on disk. */
export function pumpIsAllowed(
  before: TopOffMemory,
  facts: TopOffFacts,
  verdict: TopOffVerdict,
  plan: TopOffPlan,
): void {
  const { memory, pour } = verdict;
  const commands = arbitrate([proposePour(verdict, null)]);
  rule(commands["water-guard"] === commands["top-off-pump"], "S1", "pump and water guard are not commanded together");
  rule(memory.running === pour, "S1", "the memory does not know that the pump is on");
  if (!pour) return;
  const s1 = (holds: boolean, words: string) => rule(holds, "S1", `the pump is on although ${words}`);
  const proving = memory.state === "proving";
  s1(commands["top-off-pump"], "the water guard is latched open");
  s1(memory.state === "pouring" || proving, `the state is ${memory.state}`);
  s1(memory.latch === null, `top-off is locked by ${memory.latch?.reason}`);
  s1(known(facts), "a float is unknown");
  s1(facts.high.position === "off", "the high float is wet");
  s1(facts.floor.position === "off" || facts.floor.doubt === "not-fitted", "the floor is not known to be dry");
  s1(facts.low.position !== "off" || facts.working.position !== "on", "the floats contradict each other");
  s1(facts.reservoir.position === "on", "the reservoir is not known to hold water");
  s1(facts.mains.position === "on", "the mains are not known to be there");
  s1(facts.board === "ready", "the board does not report");
  s1(!facts.pumpSeenOn, "the pump was seen on while off");
  rule(facts.steady, "S5a", "the pump is on before the inputs have been steady");
  s1(memory.chargeUl >= memory.pourUl && memory.chargeUl > 0, "nothing is charged");
  s1(before.running || facts.durableSequence >= memory.chargeSequence, "its charge is not on disk");
  if (proving) {
    s1(before.pourMs < memory.provingMs, "the proving run is over");
    return;
  }
  s1(memory.chargeUl >= plan.chargeUl, "less than a slice is charged");
  s1(facts.working.position === "off", "the water is at its mark");
  s1(facts.returnPump.position === "on", "the return pump is not shown running");
  s1(facts.levelSettled, "the level has not settled");
  s1(!facts.holding && !facts.question, "hands are in the tank, or were and nobody said why the water is low");
  s1(facts.salinity !== "diluted" && !memory.dilutedByTest, "the water is diluted");
  rule(facts.supplied, "S5a", "the pump is on before mains and return pump have been steady");
  rule(facts.proven, "S5a", "the pump is on and nobody has seen it work");
}

/** S3: a latch that stood stands on, and the pump is off, unless a person cleared it with its cause gone. */
export function latchHolds(before: TopOffMemory, facts: TopOffFacts, asked: Asked | null, after: TopOffMemory): void {
  if (before.latch === null) return;
  if (after.latch !== null) {
    // Cleared and locked anew in one scan is another lock.
    if (asked?.startsWith("clear") === true && after.latch.occurrence !== before.latch.occurrence) return;
    rule(after.latch.reason === before.latch.reason, "S3", "the first reason of a lock was replaced");
    rule(after.guardLatched || !before.guardLatched, "S3", "the water guard closed again behind a lock");
    return;
  }
  const words = `the lock ${before.latch.reason} went away`;
  rule(asked === "clear" || asked === "clear from afar", "S3", `${words} and nobody cleared it`);
  const atTank = before.latch.reason === "high-float-wet" || before.latch.reason === "floor-wet";
  rule(asked === "clear" || !atTank, "S3", `${words} by somebody who does not see the water`);
  rule(facts.high.position === "off", "S3", `${words} though the high float is not dry`);
  rule(facts.floor.position === "off", "S3", `${words} though the floor is not dry`);
  rule(facts.working.position !== "unknown" && facts.board === "ready", "S3", `${words} though nothing can be seen`);
  rule(!facts.pumpSeenOn, "S3", `${words} though the pump is powered`);
  rule(facts.low.position === "on" || facts.working.position === "off", "S3", `${words} though the floats contradict`);
}

/** What each trip must latch: seen for its time, it may not stand without its lock. */
export function tripLatches(after: TopOffMemory, facts: TopOffFacts, plan: TopOffPlan): void {
  if (after.latch !== null) return;
  const standing =
    after.highWetMs >= plan.highFloatLatchMs
      ? "high float wet for its time"
      : after.touchesMs > 2 * plan.hourMs
        ? "high float touched three times in an hour"
        : after.floorWetMs >= plan.floorLatchMs
          ? "floor wet for its time"
          : after.contradictionMs >= plan.contradictionLatchMs
            ? "contradiction for its time"
            : after.unordered >= 2
              ? "water that nobody ordered, twice running"
              : facts.pumpSeenOn
                ? "pump seen on"
                : after.failures >= 8
                  ? "pours without an answer"
                  : after.stuckLow
                    ? "working float stuck"
                    : after.emptiedEarly
                      ? "reservoir empty too early"
                      : null;
  rule(standing === null, "S3", `${standing}, and nothing is locked`);
}

/** A latch that is made of evidence waits where the evidence is missing; the part itself blocks meanwhile. */
const EVIDENCE: Readonly<Record<string, readonly string[]>> = {
  "high-float-wet": ["high", "return"],
  "floor-wet": ["floor"],
  "floats-contradict": ["working", "high", "low", "return"],
  "unordered-water": ["working", "return"],
  "failed-pours": ["working", "high"],
  "working-float-stuck": ["working", "return"],
  "emptied-early": ["reservoir"],
  "excess-litres": ["working", "high", "floor", "low", "reservoir", "mains", "return"],
};
const excused = (part: string, reason: string): boolean => part === "board" || (EVIDENCE[reason] ?? []).includes(part);

/** S6: the same scan with one input bad turns nothing on, and leaves memory no more permissive. */
export function badIsNoBetter(
  before: TopOffMemory,
  sound: TopOffVerdict,
  worse: TopOffVerdict,
  part: string,
  plan: TopOffPlan,
  scan: string,
): void {
  const s6 = (holds: boolean, words: string) => rule(holds, "S6", `${scan}; the same with the ${part} gone: ${words}`);
  const a = sound.memory;
  const b = worse.memory;
  // Named exception: the scan that would have proven the float stuck, in a proving run, without its return sensor.
  const stuck = before.latch === null && a.latch?.reason === "working-float-stuck" && b.state === "proving";
  s6(!worse.pour || sound.pour || (stuck && part === "return"), "the pump is on that would have been off");
  if (a.latch !== null && b.latch === null) {
    s6(before.latch === null && excused(part, a.latch.reason), `the lock ${a.latch.reason} is not made`);
  }
  const free = (memory: TopOffMemory) => Math.min(plan.bucketSizeUl, memory.bucketUl + unspentUl(memory, plan));
  const excess = (memory: TopOffMemory) => Math.max(0, memory.excessUl - unspentUl(memory, plan));
  s6(free(b) <= free(a), "more may be poured today");
  s6(excess(b) >= excess(a), "less excess is counted");
  s6(b.confirmMs <= a.confirmMs, "the water is more surely low");
  const sameLatch = a.latch?.occurrence === b.latch?.occurrence;
  if (sameLatch && a.state === b.state && a.failures === b.failures) s6(b.restMs >= a.restMs, "less rest is left");
  if (!excused(part, "high-float-wet")) {
    s6(b.highWetMs >= a.highWetMs && b.touchesMs >= a.touchesMs, "the high float was wet for less long");
  }
  if (!excused(part, "floor-wet")) s6(b.floorWetMs >= a.floorWetMs, "the floor was wet for less long");
  if (!excused(part, "floats-contradict")) s6(b.contradictionMs >= a.contradictionMs, "the floats contradicted less");
  if (part === "temperature") s6(b.dueUl <= a.dueUl, "more is owed");
  if (!excused(part, "failed-pours")) s6(b.failures >= a.failures, "fewer pours failed");
}

/** What comes back of a charge: all of it before the first drop, else what was not poured and does not coast. */
function unspentUl({ state, pourMs, pourUl, chargeUl }: TopOffMemory, plan: TopOffPlan): number {
  if (chargeUl === 0) return 0;
  if (state === "confirming" || (state !== "settling" && pourMs === 0)) return chargeUl;
  return chargeUl - pourUl - plan.coastUl * (plan.chargedFlowUlPerMs / plan.flowUlPerMs);
}
