import type { HeatFacts } from "../../controller/decisions/heat/facts.ts";
import type { HeatPlan } from "../../controller/decisions/heat/plan.ts";
import type { Doubt } from "../../shared/contract/index.ts";
import { heatSignal, NOTHING_IN_THE_WAY } from "../decisions/heat-scene.ts";
import { elapsed } from "../elapsed.ts";
import type { HeatState } from "./heat.ts";

/** Every wait of the heat two to four ticks. How long a tick is depends on which fixed times of the code count. */
export const smallHeat = (tickMs: number): HeatPlan => ({
  onBelowC: 24,
  offAboveC: 26,
  setpointC: 25,
  cutOutC: 30,
  lowC: 23,
  minimumOnMs: 2 * tickMs,
  minimumOffMs: 2 * tickMs,
  cutOutMs: 2 * tickMs,
  recentHeatMs: 3 * tickMs,
  effectWindowMs: 3 * tickMs,
  longestOnMs: 4 * tickMs,
  slopeCheckMs: 2 * tickMs,
  guardOpenMs: 2 * tickMs,
  weldCheckAfterOffMs: 3 * tickMs,
  cautiousCycleMs: 4 * tickMs,
  oneContactCycleMs: 4 * tickMs,
  offConfirmMs: 3 * tickMs,
  disprovedMs: 2 * tickMs,
  coverByFloatMs: 2 * tickMs,
  heaterKPerMs: 2 ** -13,
  pumpKPerMs: 0,
  lampKPerMs: 0,
  lossPerMs: 0,
  roomC: 20,
  coverNeeded: true,
  sharesChamber: false,
  clearFromADistance: false,
});

/** K/h that the heater of these settings makes, and rates that a welded relay shows and loses. */
const HEATER_K_PER_H = 2 ** -13 * 3_600_000;
const RATES = { "rate not known": null, "rate still": 0, "rate as the heater makes": HEATER_K_PER_H } as const;
export type Rate = keyof typeof RATES;

export interface HeatCase {
  readonly name: string;
  readonly about: string;
  readonly tickMs: number;
  readonly expiryMs: number;
  readonly plan: HeatPlan;
  /** Whether how long the water has been cool is looked at: only where it can be hot. */
  readonly coolCounts: boolean;
  readonly dutyCounts: boolean;
  /** Whether the heater's own thermostat was seen to cut, in all of its scans. */
  readonly thermostatProven: boolean;
  /** Last week's share of time on; null = not known yet. */
  readonly shares: readonly (number | null)[];
  readonly temperaturesC: readonly number[];
  readonly beliefs: readonly Belief[];
  readonly rates: readonly Rate[];
  readonly watchings: readonly Watching[];
  readonly environments: readonly HeatEnvironment[];
  readonly elapsedTicks: readonly number[];
  readonly asked: readonly HeatAsked[];
  readonly coldScan: HeatFacts;
  readonly mustMeet: Readonly<Record<string, (state: HeatState) => boolean>>;
}

export type HeatAsked = "clear" | "clear from afar" | "clear of another lock" | "prove" | "prove from afar";

export interface HeatMove {
  readonly words: string;
  readonly facts: HeatFacts;
  readonly asked: HeatAsked | null;
  readonly restart: boolean;
  readonly lost: boolean;
  readonly worse: { readonly move: number; readonly part: string }[];
}

interface Opinion {
  readonly trust: HeatFacts["trust"];
  readonly source: HeatFacts["source"];
  readonly doubt: Doubt | null;
  /** What the conductivity probe's own thermometer says where it says more than the others, °C. */
  readonly thirdC?: number;
  readonly oneFellSilent?: boolean;
  /** What controls was seen to follow the heater. */
  readonly answers?: boolean;
}
const CONTRADICT: Opinion = { trust: "undecided", source: "first", doubt: "disagrees" };

/** What the vote of the thermometers may come to. */
const BELIEFS = {
  "both agree": { trust: "full", source: "mean", doubt: null },
  "one of two left": { trust: "doubtful", source: "first", doubt: "single" },
  "the other of two left": { trust: "doubtful", source: "second", doubt: "single" },
  "they contradict each other": CONTRADICT,
  "they contradict each other, and the third says hot": { ...CONTRADICT, thirdC: 29.5 },
  "they contradict each other, and the third falls silent": { ...CONTRADICT, oneFellSilent: true },
  "two of three agree": { trust: "agreed", source: "first-with-third", doubt: null },
  "one is left that follows": { trust: "answered", source: "first", doubt: "single", answers: true },
  "one is left that followed, lately": { trust: "doubtful", source: "first", doubt: "single", answers: true },
} as const satisfies Record<string, Opinion>;
export type Belief = keyof typeof BELIEFS;

/** Whether what effect and weld are watched by is there, away for a moment, or another one from now on. */
const WATCHINGS = {
  "watched by the same": { away: false, anew: false },
  "watched by nothing for a moment": { away: true, anew: false },
  "watched anew": { away: false, anew: true },
} as const;
export type Watching = keyof typeof WATCHINGS;

const HEAT_ENVIRONMENTS = {
  "all well": {},
  "board silent": { board: "silent" },
  "not steady yet": { steady: false, flow: false },
  "return pump stopped": { flow: false, flowNow: false },
  "return pump not shown": { flowNow: false },
  "return pump said to stand, and the water contradicts": { flow: false, flowNow: false, flowSuspect: true },
  "heater bare": { cover: "bare" },
  "low float lost, working float full": { cover: "lost-and-full" },
  "low float lost, working float low": { cover: "lost-and-low" },
  "hands in the tank": { holding: true, holdingWithHeat: true },
  "heater seen on while off": { heaterSeenOn: true, seenOn: true },
  "heater seen off": { seenOn: false },
  "no thermometer follows the heater": { answered: "none" },
  "mains off": { powered: false },
  "heater not proven": { proven: false },
  "the other heater's turn": { turn: false },
  "the other heater heats": { turn: false, otherOffMs: 0 },
  "the other heater has just come on": { turn: false, apart: false, otherOffMs: 0 },
} satisfies Record<string, Partial<HeatFacts>>;
export type HeatEnvironment = keyof typeof HEAT_ENVIRONMENTS;

export function heatScan(
  tickMs: number,
  ticks: number,
  water: number | null,
  belief: Belief,
  rate: Rate,
  watching: Watching = "watched by the same",
): HeatFacts {
  const opinion: Opinion = BELIEFS[belief];
  const { trust, source, doubt, thirdC = Number.NEGATIVE_INFINITY, oneFellSilent = false } = opinion;
  const follows = opinion.answers === true && water !== null;
  const { away, anew } = WATCHINGS[watching];
  const contradicts = trust === "undecided";
  const warmest = heatSignal(water === null ? null : Math.max(water, thirdC), water === null ? "stale" : null);
  return {
    elapsed: elapsed(ticks * tickMs, Math.min(ticks, 2) * tickMs),
    control: heatSignal(water, water === null ? "stale" : doubt),
    warmest,
    surelyWarmest: warmest,
    coldestC: contradicts && water !== null ? water - 5 : water,
    trust: water === null ? "none" : trust,
    source: water === null ? "none" : source,
    watched: { valueC: away ? null : water, anew },
    rateKPerH: RATES[rate],
    ...NOTHING_IN_THE_WAY,
    oneFellSilent: oneFellSilent || water === null,
    answered: follows ? "some" : "unknown",
    coldestAnsweringC: follows ? water : null,
  };
}

export function heatMoves(one: HeatCase): readonly HeatMove[] {
  const { tickMs } = one;
  const moves: HeatMove[] = [];
  const places = new Map<string, number>();
  const scan = (
    environment: HeatEnvironment,
    water: number | null,
    belief: Belief,
    rate: Rate,
    ticks: number,
    asked: HeatAsked | null,
    watching: Watching = "watched by the same",
  ) => {
    const key = [environment, water, belief, rate, ticks, asked, watching].join("|");
    if (places.has(key)) return;
    const { thermostatProven } = one;
    const seen = { ...heatScan(tickMs, ticks, water, belief, rate, watching), thermostatProven };
    const facts = { ...seen, ...HEAT_ENVIRONMENTS[environment] };
    const degrees = `${water === null ? "no temperature" : `${water} °C, ${belief}`}, ${watching}`;
    const words = `${asked === null ? "" : `asked: ${asked}; `}${ticks} tick${ticks === 1 ? "" : "s"} pass, ${degrees}, ${rate}, ${environment}`;
    places.set(key, moves.length);
    moves.push({ words, facts, asked, restart: false, lost: false, worse: [] });
  };
  const [still] = one.rates as [Rate];
  const [agree] = one.beliefs as [Belief];
  for (const ticks of one.elapsedTicks) {
    for (const belief of one.beliefs) {
      for (const water of one.temperaturesC) {
        for (const rate of one.rates) {
          for (const watching of one.watchings) scan("all well", water, belief, rate, ticks, null, watching);
        }
      }
    }
    for (const watching of one.watchings) scan("all well", null, agree, still, ticks, null, watching);
  }
  const ends = [Math.min(...one.temperaturesC), Math.max(...one.temperaturesC)];
  for (const environment of one.environments) {
    for (const water of ends) for (const ticks of [1, 5]) scan(environment, water, agree, still, ticks, null);
    scan(environment, null, agree, still, 1, null);
  }
  for (const asked of one.asked) {
    for (const water of [...one.temperaturesC, null]) scan("all well", water, agree, still, 1, asked);
    for (const environment of one.environments) scan(environment, ends[0] as number, agree, still, 1, asked);
  }
  const start = { facts: one.coldScan, asked: null, worse: [] };
  moves.push({ ...start, words: "killed; starts with the last memory", restart: true, lost: false });
  moves.push({ ...start, words: "killed; starts with no memory", restart: true, lost: true });
  for (const [key, place] of places) {
    const [environment, water, belief, rate, ticks, asked, watching] = key.split("|");
    if (asked !== "" || water === "") continue;
    const add = (other: readonly unknown[], part: string) => {
      const move = places.get(other.join("|"));
      if (move !== undefined && move !== place) moves[place]?.worse.push({ move, part });
    };
    // What is lost in this scan is away at first; where it was away already, it may be given up.
    for (const lost of one.watchings) {
      add([environment, null, agree, still, ticks, null, lost], "last thermometer");
      if (belief !== "both agree" || lost === "watched by the same") continue;
      add([environment, water, "one of two left", rate, ticks, null, lost], "second thermometer");
      add([environment, water, "the other of two left", rate, ticks, null, lost], "first thermometer");
    }
    if (belief === "they contradict each other" || belief === "they contradict each other, and the third says hot") {
      const silent = "they contradict each other, and the third falls silent";
      add([environment, water, silent, rate, ticks, null, watching], "third thermometer");
    }
    // What is left after a loss is in doubt at first, whatever it was seen to do.
    if (belief === "two of three agree") {
      for (const left of ["one of two left", "one is left that followed, lately"]) {
        add([environment, water, left, rate, ticks, null, watching], "second thermometer");
      }
    }
    if (belief === "both agree") {
      add([environment, water, "one of two left", rate, ticks, null, watching], "second thermometer");
      add([environment, water, "the other of two left", rate, ticks, null, watching], "first thermometer");
    }
  }
  return moves;
}
