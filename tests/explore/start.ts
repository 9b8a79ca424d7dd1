import {
  FRESH_START,
  followStart,
  hasFlow,
  isHeatSteady,
  isLevelSettled,
  isSteady,
  isSupplied,
  type StartFacts,
  type StartMemory,
  type StartPlan,
} from "../../controller/decisions/start.ts";
import type { ContactSignal } from "../../shared/contract/signal.ts";
import { elapsed } from "../elapsed.ts";
import { amount, choice, type Table } from "./pack.ts";
import { type Machine, rule } from "./search.ts";
import { OFF, ON, UNKNOWN } from "./top-off-moves.ts";

const planOf = (sharesChamber: boolean): StartPlan => ({
  steadyMs: 3,
  topOffAfterStartMs: 4,
  flowBeforeHeatMs: 3,
  returnPumpSettleMs: 2,
  sharesChamber,
});

/** What an outside observer counts: how long each thing has been so, in healthy time. */
interface Seen {
  readonly boardMs: number;
  readonly inputsMs: number;
  readonly temperatureMs: number;
  readonly suppliedMs: number;
  readonly flowMs: number;
  readonly unchangedMs: number;
}
interface StartState {
  readonly start: StartMemory;
  readonly seen: Seen;
}

const FIELDS: Table = {
  start: {
    steadyMs: amount(2),
    heatSteadyMs: amount(2),
    readyMs: amount(2),
    suppliedMs: amount(3),
    flowMs: amount(2),
    flowChangedMs: amount(2),
    flow: choice(2),
  },
  seen: {
    boardMs: amount(2),
    inputsMs: amount(2),
    temperatureMs: amount(2),
    suppliedMs: amount(3),
    flowMs: amount(2),
    unchangedMs: amount(2),
  },
};

const NOTHING_SEEN: Seen = { boardMs: 0, inputsMs: 0, temperatureMs: 0, suppliedMs: 0, flowMs: 0, unchangedMs: 0 };
const ABSENT: ContactSignal = { position: "unknown", doubt: "not-fitted", ageMs: 0, chattering: false };

interface Move {
  readonly words: string;
  readonly facts: StartFacts;
}

function movesOf(returnPumps: readonly ContactSignal[], mains: readonly ContactSignal[]): readonly Move[] {
  const moves: Move[] = [];
  for (const creditMs of [0, 1, 2]) {
    for (const board of ["ready", "silent", "restarted", "away"] as const) {
      for (const inputsKnown of [true, false]) {
        for (const temperatureKnown of [true, false]) {
          for (const main of mains) {
            for (const returnPump of returnPumps) {
              const gap = board === "away";
              const state = gap ? "ready" : board;
              const facts = {
                elapsed: elapsed(creditMs, creditMs, gap),
                board: state,
                inputsKnown,
                temperatureKnown,
                mains: main,
                returnPump,
              } as const;
              const words = `${creditMs} ticks of healthy time, ${gap ? "after no scan for long" : `board ${board}`}, floats ${inputsKnown ? "known" : "unknown"}, temperature ${temperatureKnown ? "known" : "unknown"}, mains ${main.position}, return pump ${returnPump.position}`;
              moves.push({ words, facts });
            }
          }
        }
      }
    }
  }
  return moves;
}

/** S5a: nothing counts as steady that has not been so for its time, whatever order things came in. */
export function startMachine(sharesChamber: boolean, fitted: boolean): Machine<StartState> {
  const plan = planOf(sharesChamber);
  const moves = movesOf(fitted ? [ON, OFF, UNKNOWN] : [ABSENT], fitted ? [ON, OFF, UNKNOWN] : [ABSENT]);
  const restart = moves.length;
  const words = `${fitted ? "sensors of mains and return pump fitted" : "without those sensors"}, heater ${sharesChamber ? "beside its thermometer" : "in another chamber"}`;
  return {
    name: `start: ${words}`,
    about: "every order in which board, floats, temperature, mains and return pump come and go",
    fields: FIELDS,
    begins: [["a start", { start: FRESH_START, seen: NOTHING_SEEN }]],
    moves: [...moves.map((move) => move.words), "killed"],
    step: ({ start: before, seen: known }, place) => {
      if (place === restart) return { next: { start: FRESH_START, seen: NOTHING_SEEN } };
      const { facts } = moves[place] as Move;
      const start = followStart(before, facts, plan);
      const seen = observe(known, before, facts);
      const s5 = (holds: boolean, what: string) => rule(holds, "S5a", what);
      s5(
        !isSteady(start, plan) || seen.boardMs >= plan.steadyMs,
        "steady, and the board has not been there for long enough",
      );
      s5(
        !isSteady(start, plan) || seen.inputsMs >= plan.steadyMs,
        "steady, and the floats have not been known for long enough",
      );
      s5(
        !isHeatSteady(start, plan) || seen.temperatureMs >= plan.steadyMs,
        "heat is steady without a steady temperature",
      );
      s5(!isSupplied(start, plan) || seen.suppliedMs >= plan.topOffAfterStartMs, "supplied, and not for long enough");
      s5(
        !hasFlow(start, plan, sharesChamber) || (sharesChamber ? seen.boardMs : seen.flowMs) >= plan.flowBeforeHeatMs,
        "flow, and not for long enough",
      );
      s5(
        !isLevelSettled(start, plan) || !fitted || seen.unchangedMs >= plan.returnPumpSettleMs,
        "the level counts as settled too soon",
      );
      return { next: { start, seen } };
    },
    walks: [
      {
        rule: "L2",
        asked: () => true,
        reached: ({ start }) =>
          isSteady(start, plan) &&
          isHeatSteady(start, plan) &&
          isSupplied(start, plan) &&
          hasFlow(start, plan, sharesChamber) &&
          isLevelSettled(start, plan),
        next: ({ start, seen }) => ({
          start: followStart(start, { ...allWell(fitted), elapsed: elapsed(1) }, plan),
          seen,
        }),
        most: () =>
          Math.max(plan.steadyMs, plan.topOffAfterStartMs, plan.flowBeforeHeatMs, plan.returnPumpSettleMs + 1),
      },
    ],
    tell: ({ start }) => JSON.stringify(start),
    mustMeet: {
      "everything served": ({ start }) =>
        isSteady(start, plan) && isSupplied(start, plan) && hasFlow(start, plan, sharesChamber),
    },
  };
}

const allWell = (fitted: boolean): StartFacts => ({
  elapsed: elapsed(1),
  board: "ready",
  inputsKnown: true,
  temperatureKnown: true,
  mains: fitted ? ON : ABSENT,
  returnPump: fitted ? ON : ABSENT,
});

/** Once served, the floats' time is not undone by a float that fails; a board or a scan that was away undoes it. */
function observe(seen: Seen, before: StartMemory, facts: StartFacts): Seen {
  const { board, mains, returnPump } = facts;
  const { creditMs } = facts.elapsed;
  const add = (ms: number, most: number) => Math.min(most, ms + creditMs);
  const ready = board === "ready";
  const runs = returnPump.position === "on" || returnPump.doubt === "not-fitted";
  const supplied = runs && (mains.position === "on" || mains.doubt === "not-fitted");
  const there = ready && !facts.elapsed.gap;
  const served = (ms: number, good: boolean) => (!there ? 0 : good ? add(ms, 3) : ms >= 3 ? 3 : 0);
  const flow = returnPump.doubt === "not-fitted" ? "not-fitted" : returnPump.position;
  return {
    boardMs: ready ? add(seen.boardMs, 3) : 0,
    inputsMs: served(seen.inputsMs, facts.inputsKnown),
    temperatureMs: served(seen.temperatureMs, facts.temperatureKnown),
    suppliedMs: supplied ? add(seen.suppliedMs, 4) : 0,
    flowMs: runs ? add(seen.flowMs, 3) : 0,
    unchangedMs: flow !== before.flow ? 0 : add(seen.unchangedMs, 2),
  };
}
