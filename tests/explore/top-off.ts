import { FRESH_PROVING } from "../../controller/decisions/proving/memory.ts";
import { runRefused } from "../../controller/decisions/proving/requests.ts";
import { litresBlock, type TopOffFacts } from "../../controller/decisions/top-off/blockers.ts";
import { stepTopOff, type TopOffVerdict } from "../../controller/decisions/top-off/machine.ts";
import {
  lostTopOff,
  olderTopOff,
  provenTopOff,
  type TopOffMemory,
  topOffAfterRestart,
} from "../../controller/decisions/top-off/memory.ts";
import type { TopOffPlan } from "../../controller/decisions/top-off/plan.ts";
import { clearTopOff, handTest, provePump, refill } from "../../controller/decisions/top-off/requests.ts";
import type { Place } from "../../shared/contract/requests.ts";
import { amount, choice, flag, record, type Table } from "./pack.ts";
import { type Machine, rule, type Walk } from "./search.ts";
import {
  type Asked,
  CHARGED_UNIT_UL,
  type Choice,
  CLEAR,
  CREDIT_MOST_MS,
  ENVIRONMENTS,
  type Environment,
  type Move,
  movesOf,
  PROVEN_UNIT_UL,
  SMALL_TOP_OFF,
  TICK_MS,
} from "./top-off-moves.ts";
import { badIsNoBetter, latchHolds, pumpIsAllowed, tripLatches } from "./top-off-rules.ts";

/** One line for every field that top-off remembers: how many bits, and what it is a whole number of. */
export const TOP_OFF_FIELDS: Table[string] = {
  state: choice(3),
  running: flag,
  provingMs: amount(2, TICK_MS),
  confirmMs: amount(2, TICK_MS),
  restMs: amount(2, TICK_MS),
  pourMs: amount(4, TICK_MS),
  pourUl: amount(4, CHARGED_UNIT_UL),
  chargeUl: amount(4, CHARGED_UNIT_UL),
  chargeSequence: amount(1),
  chargeWaitMs: amount(3, TICK_MS),
  bucketUl: amount(5, CHARGED_UNIT_UL),
  excessUl: amount(5, CHARGED_UNIT_UL),
  sinceFullUl: amount(5, PROVEN_UNIT_UL),
  dueUl: amount(4, PROVEN_UNIT_UL),
  pouredTotalUl: amount(0),
  reservoirUl: choice(2),
  failures: amount(4),
  wasLow: flag,
  fullMs: amount(2, TICK_MS),
  unordered: amount(2),
  surgeLeftMs: amount(2, TICK_MS),
  freeProofMs: amount(2, TICK_MS),
  surgeSeen: flag,
  surgeMissing: flag,
  returnWasOn: flag,
  stuckLow: flag,
  emptyMs: amount(2, TICK_MS),
  emptiedEarly: flag,
  highWetMs: amount(2, TICK_MS),
  highWasDry: flag,
  touchesMs: amount(4, TICK_MS),
  floorWetMs: amount(2, TICK_MS),
  contradictionMs: amount(2, TICK_MS),
  sinceHandTestMs: amount(2, TICK_MS),
  dilutedByTest: flag,
  diluted: flag,
  latch: record(4, ({ reason }: { reason: string }) => reason),
  guardLatched: flag,
  occurrences: amount(1),
};

/** Where the amounts that grow for days are cut: beyond, nothing is decided any more. */
export interface Cut {
  readonly dueMostUl: number;
  readonly sinceFullMostUl: number;
  /** Whether the reservoir can run empty here, so that the count of its litres matters. */
  readonly reservoirCounts: boolean;
}

export interface TopOffCase extends Cut {
  readonly name: string;
  readonly about: string;
  readonly plan: TopOffPlan;
  readonly choice: Choice;
}

export interface TopOffState {
  readonly topOff: TopOffMemory;
}
interface Done {
  readonly next: TopOffState;
  readonly verdict: TopOffVerdict | null;
}

/**
 * What no decision looks at is taken out: totals for display, and the running numbers of locks and of memories, of
 * which only equality counts. The rest stays as the real code left it.
 */
export function withoutHistory(
  memory: TopOffMemory,
  { dueMostUl, sinceFullMostUl, reservoirCounts }: Cut,
): TopOffMemory {
  const { latch, reservoirUl } = memory;
  return {
    ...memory,
    pouredTotalUl: 0,
    // Of the count of the reservoir only one thing is asked: whether too much is left in it.
    reservoirUl:
      reservoirUl === null || !reservoirCounts
        ? null
        : reservoirUl > SMALL_TOP_OFF.earlyUl
          ? SMALL_TOP_OFF.reservoirUl
          : 0,
    chargeSequence: memory.chargeUl > 0 ? 1 : 0,
    dueUl: Math.min(memory.dueUl, dueMostUl),
    sinceFullUl: Math.min(memory.sinceFullUl, sinceFullMostUl),
    // Two are enough to lock, and only a clear or an ordered litre takes it back to none.
    unordered: Math.min(memory.unordered, 2),
    latch: latch === null ? null : { reason: latch.reason, occurrence: 1 },
    occurrences: latch === null ? 0 : 1,
  };
}

/** A request, carried out by the real functions. */
export function ask(memory: TopOffMemory, asked: Asked, facts: TopOffFacts, plan: TopOffPlan): TopOffMemory {
  const id = "asked";
  const occurrence = memory.latch?.occurrence ?? 0;
  switch (asked) {
    case "clear":
      return clearTopOff(memory, { id, kind: "clear", machine: "top-off", occurrence, at: "tank" }, facts, plan).memory;
    case "clear from afar":
      return clearTopOff(memory, { id, kind: "clear", machine: "top-off", occurrence, at: "network" }, facts, plan)
        .memory;
    case "clear of another lock":
      return clearTopOff(
        memory,
        { id, kind: "clear", machine: "top-off", occurrence: occurrence - 1, at: "tank" },
        facts,
        plan,
      ).memory;
    case "refill":
      return refill(memory, { id, kind: "refill", litres: 1, at: "network" }, plan).memory;
    case "hand test at target":
      return handTest(memory, { id, kind: "hand-test", salinity: 36, at: "network" }, plan).memory;
    case "hand test a little low":
      return handTest(memory, { id, kind: "hand-test", salinity: 30, at: "network" }, plan).memory;
    case "hand test very low":
      return handTest(memory, { id, kind: "hand-test", salinity: 18, at: "network" }, plan).memory;
    case "prove":
      return proved(memory, "tank", facts, plan);
    case "prove from afar":
      return proved(memory, "network", facts, plan);
  }
}

/** As the scan does it: where somebody asks is looked at for all parts alike, and then the pump is asked. */
function proved(memory: TopOffMemory, at: Place, facts: TopOffFacts, plan: TopOffPlan): TopOffMemory {
  const request = { id: "asked", kind: "prove", part: "top-off-pump", seconds: 30, at } as const;
  return runRefused(FRESH_PROVING, request) === null ? provePump(memory, request, facts, plan).memory : memory;
}

/** What a process makes of what it finds. */
export function restart(memory: TopOffMemory, { found, offMs }: Pick<Move, "found" | "offMs">, plan: TopOffPlan) {
  if (found === "memory missing") return lostTopOff(plan);
  return found === "older memory" ? olderTopOff(memory, plan) : topOffAfterRestart(memory, offMs, plan);
}

/** A charge is on disk only if there is one: the number that a request of this scan will get cannot be there yet. */
export const factsFor = (memory: TopOffMemory, facts: TopOffFacts): TopOffFacts =>
  facts.durableSequence === 1 && memory.chargeUl === 0 ? { ...facts, durableSequence: 0 } : facts;

export function topOffMachine(one: TopOffCase): Machine<TopOffState, Done> {
  const { plan } = one;
  const moves = movesOf(one.choice);
  const kept = (memory: TopOffMemory): TopOffState => ({
    topOff: withoutHistory(memory, one),
  });
  const step = ({ topOff: before }: TopOffState, place: number): Done => {
    const move = moves[place] as Move;
    if (move.found !== null) {
      const after = restart(before, move, plan);
      rule(after.state === "resting" && !after.running, "S5a", "a start finds the pump on");
      rule(
        after.latch !== null || (before.latch === null && move.found === "last memory"),
        "S3",
        "a start lost a lock",
      );
      rule(after.bucketUl <= Math.max(0, before.bucketUl), "S2", "a start earned litres");
      rule(move.found === "memory missing" || after.excessUl >= before.excessUl, "S2", "a start forgot excess");
      return { next: kept(after), verdict: null };
    }
    const facts = factsFor(before, move.facts);
    const asked = move.asked === null ? before : ask(before, move.asked, facts, plan);
    const verdict = stepTopOff(asked, facts, plan, CREDIT_MOST_MS);
    pumpIsAllowed(asked, facts, verdict, plan);
    latchHolds(before, facts, move.asked, verdict.memory);
    tripLatches(verdict.memory, facts, plan);
    if (move.asked !== null) requestTurnsNothingOn(before, facts, verdict, move.asked, plan);
    return { next: kept(verdict.memory), verdict };
  };
  return {
    name: one.name,
    about: one.about,
    fields: { topOff: TOP_OFF_FIELDS },
    begins: [
      ["everything proven", kept(provenTopOff(plan))],
      ["memory lost", kept(lostTopOff(plan))],
    ],
    moves: moves.map(({ words }) => words),
    step,
    across: ({ topOff }, outcomes) => {
      for (const [place, outcome] of outcomes.entries()) {
        if (outcome?.verdict == null) continue;
        for (const { move, part } of (moves[place] as Move).worse) {
          const worse = outcomes[move]?.verdict;
          if (worse != null) badIsNoBetter(topOff, outcome.verdict, worse, part, plan, `${moves[place]?.words}`);
        }
      }
    },
    walks: [pourBegins(one), everyLockHasAnExit(one)],
    tell: ({ topOff }) => tellTopOff(topOff),
    mustMeet: {
      "a pour": ({ topOff }) => topOff.running && topOff.state === "pouring",
      ...(one.choice.asked.includes("prove")
        ? { "a proving run": ({ topOff }: TopOffState) => topOff.running && topOff.state === "proving" }
        : {}),
      "a lock": ({ topOff }) => topOff.latch !== null,
      ...(one.reservoirCounts
        ? { "empty too early": ({ topOff }: TopOffState) => topOff.latch?.reason === "emptied-early" }
        : {}),
      "no litre left for today": ({ topOff }) => topOff.bucketUl < plan.chargeUl && topOff.latch === null,
    },
  };
}

/** S7: in one step a request turns the pump on only by a proving run, and that one is charged first. */
function requestTurnsNothingOn(
  before: TopOffMemory,
  facts: TopOffFacts,
  asked: TopOffVerdict,
  what: Asked,
  plan: TopOffPlan,
): void {
  if (!asked.pour) return;
  const quiet = stepTopOff(before, facts, plan, CREDIT_MOST_MS);
  rule(quiet.pour, "S7", `"${what}" turned the pump on`);
}

const good = (environment: Environment = "all well"): TopOffFacts => ({ ...CLEAR, ...ENVIRONMENTS[environment] });

/** L1: with everything well and the water low, a pour begins within confirm, rest and settle; or a lock says why not. */
function pourBegins(one: TopOffCase): Walk<TopOffState> {
  const { plan } = one;
  return {
    rule: "L1",
    asked: ({ topOff }) =>
      topOff.latch === null && !topOff.dilutedByTest && litresBlock(topOff, plan) === null && !topOff.running,
    reached: ({ topOff }) => topOff.running || topOff.latch !== null || litresBlock(topOff, plan) !== null,
    next: ({ topOff }) => {
      const { memory } = stepTopOff(topOff, factsFor(topOff, good()), plan, CREDIT_MOST_MS);
      return { topOff: withoutHistory(memory, one) };
    },
    most: ({ topOff }) => {
      const restMs = Math.max(topOff.restMs, plan.restMs, topOff.state === "settling" ? plan.restAfterFailureMs : 0);
      return (plan.confirmMs + restMs + plan.settleMs) / TICK_MS + 2;
    },
  };
}

/** L4: from every state whatever, a person who clears and measures, with everything well, comes to a pour. */
function everyLockHasAnExit(one: TopOffCase): Walk<TopOffState> {
  const { plan } = one;
  const slowest = Math.min(plan.bucketUlPerMs, plan.lowestEvaporationUlPerMs) * TICK_MS;
  return {
    rule: "L4",
    asked: ({ topOff }) => topOff.latch !== null || topOff.dilutedByTest || topOff.diluted,
    reached: ({ topOff }) => topOff.running,
    next: ({ topOff }) => {
      const facts = factsFor(topOff, good());
      const measured = topOff.dilutedByTest || litresBlock(topOff, plan) === "excess-litres";
      const tested = measured ? ask(topOff, "hand test at target", facts, plan) : topOff;
      const cleared = tested.latch === null ? tested : ask(tested, "clear", facts, plan);
      const { memory } = stepTopOff(cleared, facts, plan, CREDIT_MOST_MS);
      return { topOff: withoutHistory(memory, one) };
    },
    most: ({ topOff }) =>
      20 +
      Math.ceil(
        (plan.chargeUl - Math.min(topOff.bucketUl, 0)) / (slowest > 0 ? slowest : plan.bucketUlPerMs * TICK_MS),
      ),
  };
}

export function tellTopOff(memory: TopOffMemory): string {
  const told: string[] = [memory.running ? `${memory.state}, PUMP ON` : memory.state];
  for (const [name, value] of Object.entries(memory)) {
    if (["state", "running", "occurrences", "chargeSequence", "latch"].includes(name)) continue;
    if (value === 0 || value === false || value === null) continue;
    told.push(value === true ? name : `${name} ${shown(name, value as number)}`);
  }
  if (memory.latch !== null) told.push(`LOCKED by ${memory.latch.reason}`);
  return told.join(", ");
}

const shown = (name: string, value: number): string =>
  name.endsWith("Ms") ? `${value / TICK_MS} ticks` : name.endsWith("Ul") ? `${value / 1000} mL` : String(value);

export { SMALL_TOP_OFF };
