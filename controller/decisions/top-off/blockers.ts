import type { Elapsed } from "../../../shared/contract/elapsed.ts";
import type { BoardState } from "../../../shared/contract/image.ts";
import type { LedgerClass } from "../../../shared/contract/ledger.ts";
import { BOARD_REASONS, type Reason } from "../../../shared/contract/reasons.ts";
import type { ContactSignal } from "../../../shared/contract/signal.ts";
import { isOnOrAbsent } from "../../signals/contact.ts";
import type { TopOffMemory } from "./memory.ts";
import type { TopOffPlan } from "./plan.ts";

/** What top-off sees in one scan, besides its memory. */
export interface TopOffFacts {
  readonly elapsed: Elapsed;
  readonly working: ContactSignal;
  readonly high: ContactSignal;
  readonly low: ContactSignal;
  readonly reservoir: ContactSignal;
  readonly floor: ContactSignal;
  readonly mains: ContactSignal;
  readonly returnPump: ContactSignal;
  readonly levelSettled: boolean;
  readonly board: BoardState;
  /** Guard firmware keeps the pump off, whatever it is told. */
  readonly pumpLocked: boolean;
  readonly steady: boolean;
  /** Mains and return pump were there for long enough, and nobody reads a jug that the pump has run into. */
  readonly supplied: boolean;
  /** Somebody does: the name of what `supplied` forbids. */
  readonly pumpWatched: boolean;
  readonly holding: boolean;
  readonly question: boolean;
  readonly disk: "working" | "failed";
  readonly durableSequence: number;
  /** The sequence number that the memory of this scan will get when it must be written. */
  readonly nextSequence: number;
  /** The pump is powered although it was commanded off: sensed behind the contacts. */
  readonly pumpSeenOn: boolean;
  readonly salinity: SalinityClass;
  /** Readings of full hours say that it neither falls nor is low: only they end what a dilution has stopped. */
  readonly salinityRecovered: boolean;
  /** What the ledger has learned, as a class: it may only tighten. */
  readonly evaporation: LedgerClass;
  /** The fan over the water surely blows: more falls due, and no budget knows of it. */
  readonly fanBlows: boolean;
  /** Pump and high float have been seen to work. */
  readonly proven: boolean;
  /** The high float has not been lifted for so long that only the lowest credible evaporation may be poured. */
  readonly proofOverdue: boolean;
}

/**
 * What salinity says to top-off, as a class: `doubtful` restricts the budget to the lowest credible evaporation;
 * `diluted` blocks, and is said only when the ledger, a hand test or a fast fall agrees with the probe.
 */
export type SalinityClass = "credible" | "doubtful" | "diluted";

const NOTHING: readonly Reason[] = [];

const fitted = (contact: ContactSignal): boolean => contact.doubt !== "not-fitted";

/** For stopping, unknown is as bad as wet. */
export const mayBeWet = (contact: ContactSignal): boolean => fitted(contact) && contact.position !== "off";

/** Everything that forbids a pour in this very scan, the most telling first. Empty = nothing does. */
export function blockersOf(memory: TopOffMemory, facts: TopOffFacts): readonly Reason[] {
  if (nothingBlocks(memory, facts)) return NOTHING;
  const found: Reason[] = [];
  const add = (stands: boolean, reason: Reason) => {
    if (stands) found.push(reason);
  };
  if (memory.latch !== null) found.push(memory.latch.reason);
  if (facts.board !== "ready") found.push(BOARD_REASONS[facts.board]);
  add(facts.pumpLocked, "pump-locked-by-guard");
  add(mayBeWet(facts.floor), facts.floor.position === "on" ? "floor-wet" : "floor-sensor-unknown");
  add(facts.high.position === "on", "high-float-wet");
  add(facts.high.position === "unknown", "high-float-unknown");
  add(contradicts(facts), "floats-contradict");
  add(facts.working.position === "unknown", "working-float-unknown");
  add(facts.pumpSeenOn, "pump-seen-on");
  add(!facts.steady, "starting");
  add(facts.holding, "hold");
  add(facts.question, "hold-question");
  add(fitted(facts.reservoir) && facts.reservoir.position === "off", "reservoir-empty");
  add(fitted(facts.reservoir) && facts.reservoir.position === "unknown", "reservoir-float-unknown");
  add(fitted(facts.mains) && facts.mains.position !== "on", "mains-lost");
  add(fitted(facts.returnPump) && facts.returnPump.position !== "on", "return-pump-stopped");
  add(facts.steady && !facts.supplied, facts.pumpWatched ? "pump-being-proven" : "top-off-starting");
  add(!facts.levelSettled, "return-pump-settling");
  add(memory.dilutedByTest || memory.diluted || facts.salinity === "diluted", "salinity-falling");
  add(facts.disk === "failed" && memory.chargeUl === 0, "disk-failed");
  add(!facts.proven, "not-proven");
  return found;
}

/** The same question without a list, for the many scans in which nothing stands in the way. */
function nothingBlocks(memory: TopOffMemory, facts: TopOffFacts): boolean {
  return (
    memory.latch === null &&
    facts.board === "ready" &&
    !facts.pumpLocked &&
    facts.high.position === "off" &&
    facts.working.position !== "unknown" &&
    !mayBeWet(facts.floor) &&
    !contradicts(facts) &&
    isOnOrAbsent(facts.reservoir) &&
    isOnOrAbsent(facts.mains) &&
    isOnOrAbsent(facts.returnPump) &&
    facts.levelSettled &&
    facts.steady &&
    facts.supplied &&
    !facts.holding &&
    !facts.question &&
    !facts.pumpSeenOn &&
    !memory.dilutedByTest &&
    !memory.diluted &&
    facts.salinity !== "diluted" &&
    facts.proven &&
    facts.disk === "working"
  );
}

/** What a proving run does without: it is short, charged, and somebody stands beside it. */
const NOT_UNDER_TEST: readonly Reason[] = [
  "hold",
  "hold-question",
  "return-pump-stopped",
  "return-pump-settling",
  "top-off-starting",
  "pump-being-proven",
  "salinity-falling",
  "not-proven",
];

/** Every trip that is not under test. */
export const provingBlockers = (blockers: readonly Reason[]): readonly Reason[] =>
  blockers.length === 0 ? blockers : blockers.filter((reason) => !NOT_UNDER_TEST.includes(reason));

/** High wet with working low, or low-low dry with working full: one of two floats is wrong. Unknown may be either. */
export function contradicts(facts: Pick<TopOffFacts, "working" | "high" | "low">): boolean {
  if (mayBeWet(facts.high) && facts.working.position === "off") return true;
  return fitted(facts.low) && facts.low.position !== "on" && facts.working.position === "on";
}

/** What forbids only the *start* of a pour: litres. Null = enough left. */
export function litresBlock(memory: TopOffMemory, plan: TopOffPlan): Reason | null {
  if (memory.excessUl + plan.chargeUl > plan.excessLimitUl) return "excess-litres";
  return memory.bucketUl < plan.chargeUl ? "daily-budget-used" : null;
}
