import type { TopOffFacts } from "../../controller/decisions/top-off/blockers.ts";
import { stepTopOff } from "../../controller/decisions/top-off/machine.ts";
import { provenTopOff, type TopOffMemory } from "../../controller/decisions/top-off/memory.ts";
import type { TopOffPlan } from "../../controller/decisions/top-off/plan.ts";
import { elapsed } from "../elapsed.ts";
import { amount, flag } from "./pack.ts";
import { type Machine, rule } from "./search.ts";
import { ask, restart, TOP_OFF_FIELDS, tellTopOff, withoutHistory } from "./top-off.ts";
import {
  type Asked,
  CHARGED_UNIT_UL,
  CLEAR,
  CREDIT_MOST_MS,
  EXPIRY_MS,
  OFF,
  ON,
  PROVEN_UNIT_UL,
  SMALL_TOP_OFF,
  TICK_MS,
  UNKNOWN,
} from "./top-off-moves.ts";

/**
 * S2, with the disk as it is: what is in memory, what was handed to the disk, what is on it, and a water meter that
 * an outside observer reads. The pump is the strongest that is covered and runs on after a kill until its output expires.
 */
const LATE_PLAN: TopOffPlan = {
  ...SMALL_TOP_OFF,
  restMs: 2 * TICK_MS,
  restAfterFailureMs: 2 * TICK_MS,
  bucketUlPerMs: 1.25,
  lowestEvaporationUlPerMs: 1.25,
  bucketSizeUl: 4 * CHARGED_UNIT_UL,
  excessLimitUl: 5 * CHARGED_UNIT_UL,
  longestPourMs: 8 * TICK_MS,
};

export interface LitresCase {
  readonly name: string;
  readonly about: string;
  readonly plan: TopOffPlan;
  readonly elapsedTicks: readonly number[];
  readonly asked: readonly Asked[];
  /** What the strongest pump may pour beyond what is counted. */
  readonly slackUl: number;
}

const PER_MS = SMALL_TOP_OFF.chargedFlowUlPerMs;
const COAST_UL = SMALL_TOP_OFF.coastUl * 1.25;
const ONE_SCAN_UL = EXPIRY_MS * PER_MS + COAST_UL;

/** Late scans and a budget that refills: one late scan of the strongest pump, and its coast, are allowed for. */
export const LATE: LitresCase = {
  name: "top-off: litres, the disk and kills",
  about: "every kill between charge, write, pour and settling; late scans; slow and failed disks; a meter outside.",
  plan: LATE_PLAN,
  elapsedTicks: [1, 5],
  asked: ["clear", "prove", "hand test at target"],
  slackUl: ONE_SCAN_UL,
};

/** Scans in time and nothing that refills: not a drop is allowed for. */
export const PROMPT: LitresCase = {
  name: "top-off: litres to the last drop",
  about: "the same with scans in time and no refill: the meter may not pass the budget by anything.",
  plan: {
    ...LATE_PLAN,
    bucketUlPerMs: 0,
    lowestEvaporationUlPerMs: 0,
    bucketSizeUl: 9 * CHARGED_UNIT_UL,
    excessLimitUl: 7 * CHARGED_UNIT_UL,
  },
  elapsedTicks: [1, 2],
  asked: ["clear", "prove", "hand test at target"],
  slackUl: 0,
};

interface Metered {
  /** What the observer would still allow today, and what was poured beyond evaporation. */
  readonly allowedUl: number;
  readonly excessUl: number;
  /** The memory that holds the charge is on disk. */
  readonly chargeOnDisk: boolean;
  /** Something is on its way to the disk. */
  readonly handing: boolean;
}
export interface LitresState {
  readonly topOff: TopOffMemory;
  /** As a process would find them: after a restart. */
  readonly handed: TopOffMemory;
  readonly disk: TopOffMemory;
  readonly meter: Metered;
}

/**
 * Named allowance, once for every kill: the output stays on until it expires and the charge covers two scans of that;
 * or the last scan of a pour came that late, and what it took beyond the charge was not on disk yet.
 */
const PER_KILL_UL = (EXPIRY_MS - CREDIT_MOST_MS) * PER_MS;

interface Move {
  readonly words: string;
  readonly facts: TopOffFacts;
  readonly asked: Asked | null;
  readonly disk: "writes" | "is slow" | "failed";
  /** The five-minute save falls into this scan. */
  readonly saves: boolean;
  readonly killed: "last memory" | "memory missing" | "older memory" | null;
}

function movesOf(one: LitresCase): readonly Move[] {
  const moves: Move[] = [];
  const add = (words: string, facts: Partial<TopOffFacts>, ticks: number, more: Partial<Move> = {}) => {
    const elapsedMs = ticks * TICK_MS;
    const move = { asked: null, disk: "writes", saves: false, killed: null, ...more } as const;
    const all = {
      ...CLEAR,
      ...facts,
      elapsed: elapsed(elapsedMs, Math.min(elapsedMs, CREDIT_MOST_MS)),
      disk: move.disk === "failed" ? "failed" : "working",
    } as const;
    const asked = move.asked === null ? "" : `asked: ${move.asked}; `;
    moves.push({
      ...move,
      facts: all,
      words: `${asked}${ticks} ticks pass, ${words}, the disk ${move.disk}${move.saves ? ", saved" : ""}`,
    });
  };
  for (const ticks of one.elapsedTicks) {
    add("low", {}, ticks);
    add("full", { working: ON }, ticks);
  }
  add("low", {}, 0);
  add("low", {}, 1, { disk: "is slow" });
  add("a float unknown", { working: UNKNOWN }, 1);
  add("low", {}, 1, { saves: true });
  add("low", {}, 1, { disk: "failed" });
  add("low, hold", { holding: true }, 1);
  for (const asked of one.asked) add("low", { working: OFF }, 1, { asked });
  for (const killed of ["last memory", "memory missing", "older memory"] as const) {
    moves.push({
      words: `killed; starts with the ${killed}`,
      facts: CLEAR,
      asked: null,
      disk: "writes",
      saves: false,
      killed,
    });
  }
  return moves;
}

/** What only other trips look at stands still here: it can lock, and a lock pours nothing. */
const kept = (memory: TopOffMemory): TopOffMemory => ({
  ...withoutHistory(memory, { dueMostUl: 0, sinceFullMostUl: PROVEN_UNIT_UL, reservoirCounts: false }),
  sinceFullUl: 0,
  failures: 0,
  fullMs: 0,
  wasLow: false,
  unordered: 0,
  surgeLeftMs: 0,
  freeProofMs: 0,
  surgeSeen: false,
  surgeMissing: false,
  returnWasOn: false,
  highWasDry: true,
});
const found = (memory: TopOffMemory, plan: TopOffPlan): TopOffMemory =>
  kept(restart(memory, { found: "last memory", offMs: 0 }, plan));

function poured(meter: Metered, ul: number, { plan, slackUl }: LitresCase): Metered {
  const allowedUl = meter.allowedUl - ul;
  const excessUl = meter.excessUl + ul;
  const words = (left: number) => `${(left / 1000).toFixed(1)} mL more than is allowed for`;
  rule(allowedUl >= -slackUl, "S2", `poured beyond the daily budget by ${words(-allowedUl - slackUl)}`);
  rule(
    excessUl <= plan.excessLimitUl + slackUl,
    "S2",
    `excess beyond its limit by ${words(excessUl - plan.excessLimitUl - slackUl)}`,
  );
  return { ...meter, allowedUl, excessUl };
}

export function litresMachine(one: LitresCase): Machine<LitresState> {
  const { plan } = one;
  const moves = movesOf(one);
  const fresh = kept(provenTopOff(plan));
  const meterFields = {
    allowedUl: amount(6, CHARGED_UNIT_UL),
    excessUl: amount(6, CHARGED_UNIT_UL),
    chargeOnDisk: flag,
    handing: flag,
  };
  return {
    name: one.name,
    about: one.about,
    fields: { topOff: TOP_OFF_FIELDS, handed: TOP_OFF_FIELDS, disk: TOP_OFF_FIELDS, meter: meterFields },
    begins: [
      [
        "everything proven, memory on disk",
        {
          topOff: fresh,
          handed: found(fresh, plan),
          disk: found(fresh, plan),
          meter: { allowedUl: plan.bucketSizeUl, excessUl: 0, chargeOnDisk: false, handing: false },
        },
      ],
    ],
    moves: moves.map(({ words }) => words),
    step: (state, place) => {
      const move = moves[place] as Move;
      return { next: move.killed === null ? scanned(state, move, one) : killed(state, move.killed, one) };
    },
    tell: ({ topOff, disk, meter }) =>
      `${tellTopOff(topOff)}; on disk ${disk.bucketUl / 1000} mL for today, excess ${disk.excessUl / 1000} mL${disk.latch === null ? "" : `, LOCKED by ${disk.latch.reason}`}; the meter allows ${meter.allowedUl / 1000} mL, excess ${meter.excessUl / 1000} mL`,
    mustMeet: {
      "a pour": ({ topOff }) => topOff.state === "pouring" && topOff.running,
      "a kill after a pour": ({ topOff, meter }) =>
        topOff.state === "resting" && topOff.chargeUl === 0 && meter.excessUl > 0,
      "a lock by excess": ({ topOff }) => topOff.latch?.reason === "excess-litres",
    },
  };
}

/** The disk has written what it was handed before this scan, unless it is slow. */
function scanned(state: LitresState, { facts: asTold, asked, disk: disks, saves }: Move, one: LitresCase): LitresState {
  const { plan } = one;
  const { working } = asTold;
  const { ms, creditMs } = asTold.elapsed;
  const writes = disks === "writes" && state.meter.handing;
  const disk = writes ? state.handed : state.disk;
  const chargeOnDisk = state.topOff.chargeUl > 0 && (state.meter.chargeOnDisk || writes);
  const facts = { ...asTold, durableSequence: chargeOnDisk ? 1 : 0 };
  const ran = state.topOff.running ? Math.min(ms, EXPIRY_MS) * PER_MS : 0;
  let meter = ran > 0 ? poured(state.meter, ran, one) : state.meter;
  const before = asked === null ? state.topOff : ask(state.topOff, asked, facts, plan);
  const tested = asked?.startsWith("hand test") === true && before !== state.topOff;
  const verdict = stepTopOff(before, facts, plan, CREDIT_MOST_MS);
  if (state.topOff.running && !verdict.pour) meter = poured(meter, COAST_UL, one);
  const healthy = working.position !== "unknown";
  const refill = healthy ? creditMs * plan.bucketUlPerMs : 0;
  const evaporated = creditMs * plan.lowestEvaporationUlPerMs;
  const { memory } = verdict;
  meter = {
    ...meter,
    allowedUl: Math.min(plan.bucketSizeUl, meter.allowedUl + refill),
    // A hand test is the only evidence that bounds the excess anew: to what it shows.
    excessUl: tested ? Math.max(0, before.excessUl - before.chargeUl) : Math.max(0, meter.excessUl - evaporated),
  };
  const urgent = verdict.urgent || asked !== null || saves;
  const handing = urgent || (state.meter.handing && !writes);
  const chargeStands =
    memory.chargeUl > 0 && chargeOnDisk && state.topOff.chargeUl > 0 && !isNewCharge(state.topOff, memory);
  return {
    topOff: kept(memory),
    handed: urgent ? found(memory, plan) : handing ? state.handed : disk,
    disk,
    meter: { ...meter, chargeOnDisk: chargeStands, handing },
  };
}

const isNewCharge = (before: TopOffMemory, after: TopOffMemory): boolean => before.chargeUl === 0 && after.chargeUl > 0;

/** Nothing but the disk is left. The pump runs on until its output expires. */
function killed(
  state: LitresState,
  what: "last memory" | "memory missing" | "older memory",
  one: LitresCase,
): LitresState {
  const { plan } = one;
  const { topOff, disk } = state;
  const forgotten = !topOff.running && topOff.chargeUl > plan.chargeUl && state.meter.handing ? PER_KILL_UL : 0;
  const meter = topOff.running
    ? poured(state.meter, ONE_SCAN_UL - PER_KILL_UL, one)
    : poured(state.meter, -Math.min(forgotten, Math.max(0, topOff.chargeUl - plan.chargeUl)), one);
  const memory = kept(what === "last memory" ? disk : restart(disk, { found: what, offMs: null }, plan));
  rule(what === "last memory" || memory.latch !== null, "S3", "a start without its memory is not locked");
  rule(disk.latch === null || memory.latch !== null, "S3", "a lock that was on disk is gone");
  return {
    topOff: memory,
    handed: found(memory, plan),
    disk: found(memory, plan),
    meter: { ...meter, chargeOnDisk: false, handing: false },
  };
}
