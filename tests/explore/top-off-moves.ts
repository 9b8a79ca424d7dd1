import type { TopOffFacts } from "../../controller/decisions/top-off/blockers.ts";
import type { TopOffPlan } from "../../controller/decisions/top-off/plan.ts";
import { contact, FACTS } from "../decisions/top-off-scene.ts";
import { elapsed } from "../elapsed.ts";

/**
 * The small settings of the top-off: every wait two to four ticks, every litre a whole number of one unit. How long a
 * tick is does not matter: the machine knows no other time than what it is told.
 */
export const TICK_MS = 10_000;
export const CREDIT_MOST_MS = 2 * TICK_MS;
/** The output falls off by itself four scans after the last one, as it does above water. */
export const EXPIRY_MS = 4 * TICK_MS;
/** Litres at the charged flow, and litres at the proven flow. */
export const CHARGED_UNIT_UL = 12_500;
export const PROVEN_UNIT_UL = 10_000;

export const SMALL_TOP_OFF: TopOffPlan = {
  confirmMs: 2 * TICK_MS,
  settleMs: 2 * TICK_MS,
  restMs: 2 * TICK_MS,
  restAfterFailureMs: 3 * TICK_MS,
  flowUlPerMs: 1,
  chargedFlowUlPerMs: 1.25,
  sliceUl: 30_000,
  coastUl: 10_000,
  chargeUl: 50_000,
  bucketSizeUl: 4 * CHARGED_UNIT_UL,
  bucketUlPerMs: 5,
  lowestEvaporationUlPerMs: 5,
  evaporationUlPerMs: 0,
  fanEvaporationUlPerMs: 0,
  excessLimitUl: 8 * CHARGED_UNIT_UL,
  hysteresisUl: 0,
  unansweredMarginUl: 1e9,
  highFloatLatchMs: 2 * TICK_MS,
  floorLatchMs: 2 * TICK_MS,
  contradictionLatchMs: 2 * TICK_MS,
  longestPourMs: 4 * TICK_MS,
  durableWaitMs: 2 * TICK_MS,
  handTestEveryMs: TICK_MS,
  hourMs: 2 * TICK_MS,
  reservoirUl: 3 * PROVEN_UNIT_UL,
  earlyUl: PROVEN_UNIT_UL,
  emptyJudgedMs: 2 * TICK_MS,
  freeProofMs: 2 * TICK_MS,
  surgeMs: 3 * TICK_MS,
  clearFromADistance: false,
  targetSalinity: 36,
  lowSalinity: 34,
  netVolumeUl: 125_000,
};

export const ON = contact("on");
export const OFF = contact("off");
export const UNKNOWN = contact("unknown");

/** Everything as it should be, and the water low: the scan in which a pour may happen. */
export const CLEAR: TopOffFacts = {
  ...FACTS,
  elapsed: elapsed(TICK_MS),
  durableSequence: 1,
  evaporation: "unknown",
};

/** One thing at a time that is otherwise than it should be. All of them at once are a table of their own. */
export const ENVIRONMENTS = {
  "all well": {},
  "the charge is not on disk yet": { durableSequence: 0 },
  "board silent": { board: "silent" },
  "board restarted": { board: "restarted" },
  "low-low float dry": { low: OFF },
  "low-low float unknown": { low: UNKNOWN },
  "floor wet": { floor: ON },
  "floor sensor unknown": { floor: UNKNOWN },
  "reservoir empty": { reservoir: OFF },
  "reservoir float unknown": { reservoir: UNKNOWN },
  "mains lost": { mains: OFF },
  "mains unknown": { mains: UNKNOWN },
  "return pump stopped": { returnPump: OFF },
  "return pump unknown": { returnPump: UNKNOWN },
  "level not settled": { levelSettled: false },
  "not steady yet": { steady: false, supplied: false },
  "not supplied long enough": { supplied: false },
  hold: { holding: true },
  "question after the hold": { question: true },
  "disk failed": { disk: "failed", durableSequence: 0 },
  "pump seen on while off": { pumpSeenOn: true },
  "salinity doubtful": { salinity: "doubtful", salinityRecovered: false },
  "salinity diluted": { salinity: "diluted", salinityRecovered: false },
  "little is known to evaporate": { evaporation: "below" },
  "the fan blows": { fanBlows: true },
  "pump not proven": { proven: false },
  "proof overdue": { proofOverdue: true },
} satisfies Record<string, Partial<TopOffFacts>>;

export type Environment = keyof typeof ENVIRONMENTS;

const POSITIONS = { on: ON, off: OFF, unknown: UNKNOWN };
type Position = keyof typeof POSITIONS;

/** What a person may do, before the scan of the same move. */
export type Asked =
  | "clear"
  | "clear from afar"
  | "clear of another lock"
  | "refill"
  | "hand test at target"
  | "hand test a little low"
  | "hand test very low"
  | "prove"
  | "prove from afar";

/** What the process may find after a kill. */
export type Found = "last memory" | "memory missing" | "older memory";

export interface Move {
  readonly words: string;
  readonly facts: TopOffFacts;
  readonly asked: Asked | null;
  readonly found: Found | null;
  readonly offMs: number | null;
  /** Moves that differ only in that one input is bad here. Filled in when the list is made. */
  readonly worse: { readonly move: number; readonly part: string }[];
}

export interface Choice {
  readonly environments: readonly Environment[];
  readonly working: readonly Position[];
  readonly high: readonly Position[];
  /** How much time may pass: where all is well, and where something is not. */
  readonly elapsedTicks: readonly number[];
  readonly elapsedTicksElse: readonly number[];
  readonly asked: readonly Asked[];
}

const FOUND: readonly (readonly [Found, number | null])[] = [
  ["last memory", 0],
  ["last memory", null],
  ["last memory", 1e12],
  ["memory missing", null],
  ["older memory", null],
];

export function movesOf(choice: Choice): readonly Move[] {
  const moves: Move[] = [];
  const places = new Map<string, number>();
  const scan = (environment: Environment, working: Position, high: Position, ticks: number, asked: Asked | null) => {
    const elapsedMs = ticks * TICK_MS;
    const facts: TopOffFacts = {
      ...CLEAR,
      ...ENVIRONMENTS[environment],
      working: POSITIONS[working],
      high: POSITIONS[high],
      elapsed: elapsed(elapsedMs, Math.min(elapsedMs, CREDIT_MOST_MS)),
    };
    const words = `${asked === null ? "" : `asked: ${asked}; `}${ticks} tick${ticks === 1 ? "" : "s"} pass, working float ${working}, high float ${high}, ${environment}`;
    places.set([environment, working, high, ticks, asked ?? ""].join("|"), moves.length);
    moves.push({ words, facts, asked, found: null, offMs: null, worse: [] });
  };
  for (const environment of choice.environments) {
    for (const ticks of environment === "all well" ? choice.elapsedTicks : choice.elapsedTicksElse) {
      for (const working of choice.working)
        for (const high of choice.high) scan(environment, working, high, ticks, null);
    }
  }
  for (const asked of choice.asked) {
    for (const working of choice.working) for (const high of choice.high) scan("all well", working, high, 1, asked);
    for (const environment of choice.environments) scan(environment, "off", "off", 1, asked);
  }
  for (const [found, offMs] of FOUND) {
    const off = offMs === null ? "off for nobody knows how long" : offMs === 0 ? "off for a moment" : "off for long";
    moves.push({
      words: `killed, ${off}; starts with the ${found}`,
      facts: CLEAR,
      asked: null,
      found,
      offMs,
      worse: [],
    });
  }
  findWorse(places, moves);
  return moves;
}

/** Pairs of moves of which the second has one input bad that the first has not. */
const GOES_BAD: Readonly<Partial<Record<Environment, readonly [worse: Environment, part: string][]>>> = {
  "all well": [
    ["floor sensor unknown", "floor"],
    ["low-low float unknown", "low"],
    ["reservoir float unknown", "reservoir"],
    ["mains unknown", "mains"],
    ["return pump unknown", "return"],
    ["board silent", "board"],
  ],
  "floor wet": [["floor sensor unknown", "floor"]],
  "low-low float dry": [["low-low float unknown", "low"]],
  "reservoir empty": [["reservoir float unknown", "reservoir"]],
  "return pump stopped": [["return pump unknown", "return"]],
  // Without a temperature nobody knows whether it blows.
  "the fan blows": [["all well", "temperature"]],
};

function findWorse(places: ReadonlyMap<string, number>, moves: readonly Move[]): void {
  for (const [key, place] of places) {
    const [environment, working, high, ticks, asked] = key.split("|") as [Environment, string, string, string, string];
    const add = (other: readonly string[], part: string) => {
      const move = places.get(other.join("|"));
      if (move !== undefined) moves[place]?.worse.push({ move, part });
    };
    if (asked !== "") continue;
    if (working !== "unknown") add([environment, "unknown", high, ticks, asked], "working");
    if (high !== "unknown") add([environment, working, "unknown", ticks, asked], "high");
    for (const [worse, part] of GOES_BAD[environment] ?? []) add([worse, working, high, ticks, asked], part);
  }
}
