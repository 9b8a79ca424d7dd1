import {
  endHold,
  followHold,
  type HoldMemory,
  holdAfterRestart,
  NO_HOLD,
  startHold,
} from "../../controller/decisions/hold/hold.ts";
import { AMOUNT_MOST_MS } from "../../shared/settings/limits.ts";
import { elapsed } from "../elapsed.ts";
import { amount, choice, flag, type Table } from "./pack.ts";
import { type Machine, rule } from "./search.ts";

/** A minute a tick, because a hold is asked for in minutes. */
const TICK_MS = 60_000;

interface HoldState {
  readonly hold: HoldMemory;
  /** What an outside observer knows: the longest that hands may still be in, by what was last asked for at the tank. */
  readonly seen: { readonly handsMs: number };
}

const FIELDS: Table = {
  hold: {
    leftMs: amount(3, TICK_MS),
    fullMs: amount(3, TICK_MS),
    withHeat: flag,
    question: flag,
    questionForMs: amount(2, TICK_MS),
    sinceMs: choice(3),
  },
  seen: { handsMs: amount(3, TICK_MS) },
};

interface Move {
  readonly words: string;
  readonly ticks: number;
  readonly full: boolean;
  readonly asked: { readonly minutes: number; readonly at: "tank" | "network" } | null;
  readonly answered: { readonly at: "tank" | "network"; readonly answer: "evaporation" | null } | null;
  readonly restart: boolean;
}

const PLACES = ["tank", "network"] as const;
const ASKED = [null, ...PLACES.flatMap((at) => [0, 1, 3, 121, 241, Number.NaN].map((minutes) => ({ minutes, at })))];
const ANSWERED = PLACES.flatMap((at) => ([null, "evaporation"] as const).map((answer) => ({ at, answer })));

const MOVES: readonly Move[] = [
  ...[0, 1, 3, 5].flatMap((ticks) =>
    [true, false].flatMap((full) => [
      ...ASKED.map((asked) => ({ ticks, full, asked, answered: null, restart: false })),
      ...ANSWERED.map((answered) => ({ ticks, full, asked: null, answered, restart: false })),
    ]),
  ),
  { ticks: 0, full: false, asked: null, answered: null, restart: true },
].map((move) => ({ ...move, words: wordsOf(move) }));

function wordsOf({ ticks, full, asked, answered, restart }: Omit<Move, "words">): string {
  if (restart) return "killed; starts with the last memory";
  const scan = `${ticks} minutes pass, the water is ${full ? "full" : "low"}`;
  if (asked !== null) return `${scan}; asked for a hold of ${asked.minutes} min, ${asked.at}`;
  return answered === null ? scan : `${scan}; the hold is ended, ${answered.at}, answer ${answered.answer}`;
}

/** Beyond two minutes nothing in the hold itself looks at how long ago it was; ten days are "long ago". */
const cut = (ms: number): number => (ms > 2 * TICK_MS ? AMOUNT_MOST_MS : ms);

export const holdMachine: Machine<HoldState> = {
  name: "hold",
  about: "started and ended from tank and network, asked for nonsense, killed in the middle",
  fields: FIELDS,
  begins: [["no hold", { hold: NO_HOLD, seen: { handsMs: 0 } }]],
  moves: MOVES.map(({ words }) => words),
  step: ({ hold: before, seen }, place) => {
    const move = MOVES[place] as Move;
    if (move.restart) {
      const hold = holdAfterRestart(before);
      rule(hold.leftMs >= before.leftMs && hold.withHeat === before.withHeat, "S3", "a restart made a hold shorter");
      rule(
        hold.leftMs === (before.leftMs > 0 ? before.fullMs : 0),
        "S3",
        "hands may be in, and the hold is not full again",
      );
      return { next: { hold, seen: { handsMs: Math.max(seen.handsMs, hold.withHeat ? hold.leftMs : 0) } } };
    }
    const creditMs = Math.min(move.ticks, 2) * TICK_MS;
    const followed = followHold(before, move.full, elapsed(move.ticks * TICK_MS, creditMs));
    rule(before.question || before.leftMs > 0 || !followed.question, "S7", "a question comes from nowhere");
    rule(!before.question || followed.question || move.full, "S1", "the question went away unanswered");
    rule(followed.leftMs > 0 || before.leftMs === 0 || followed.question, "S1", "a hold ended and nobody was asked");
    const handsMs = Math.max(0, seen.handsMs - creditMs);
    const asked = askedOf(followed, move);
    const { hold } = asked;
    const atTank = move.asked?.at === "tank" || move.answered !== null;
    rule(atTank || hold.leftMs >= followed.leftMs, "S7", "somebody afar made a hold shorter");
    rule(
      atTank || !followed.withHeat || followed.leftMs === 0 || hold.withHeat,
      "S4",
      "heat returned while hands are in",
    );
    rule(hold.leftMs <= (hold.withHeat ? 2 : 4) * 3_600_000, "L4", "a hold has no end");
    const hands = move.asked?.at === "tank" && asked.accepted ? hold.leftMs : move.answered !== null ? 0 : handsMs;
    rule(hands === 0 || (hold.leftMs > 0 && hold.withHeat), "S4", "hands are in the tank and heat may be on");
    const next = {
      ...hold,
      // Only the length of a hold that lasts is looked at again.
      fullMs: hold.leftMs > 0 ? hold.fullMs : 0,
      sinceMs: cut(hold.sinceMs),
      questionForMs: Math.min(2 * TICK_MS, hold.questionForMs),
    };
    return { next: { hold: next, seen: { handsMs: hands } } };
  },
  walks: [
    {
      rule: "L4",
      asked: () => true,
      reached: ({ hold }) => hold.leftMs === 0 && !hold.question,
      next: ({ hold, seen }) => ({ hold: followHold(hold, true, elapsed(TICK_MS)), seen }),
      most: ({ hold }) => hold.leftMs / TICK_MS + 1,
    },
    {
      rule: "L4",
      asked: ({ hold }) => hold.question,
      reached: ({ hold }) => !hold.question,
      next: ({ hold, seen }) => {
        const request = { id: "asked", kind: "end-hold", answer: "salt-water-added", at: "network" } as const;
        return { hold: endHold(hold, request, false).memory, seen };
      },
      most: () => 1,
    },
  ],
  tell: ({ hold, seen }) => {
    const left = hold.leftMs > 0 ? `hold, ${hold.leftMs / TICK_MS} of ${hold.fullMs / TICK_MS} min left` : "no hold";
    return `${left}${hold.withHeat ? ", heat off" : ""}${hold.question ? ", question" : ""}, hands in for ${seen.handsMs / TICK_MS} min`;
  },
  mustMeet: {
    "a hold with heat": ({ hold }) => hold.leftMs > 0 && hold.withHeat,
    "a hold without": ({ hold }) => hold.leftMs > 0 && !hold.withHeat,
    "a question": ({ hold }) => hold.question,
  },
};

function askedOf(
  hold: HoldMemory,
  { asked, answered }: Move,
): { readonly hold: HoldMemory; readonly accepted: boolean } {
  const id = "asked";
  if (asked !== null) {
    const { memory, accepted } = startHold(hold, { id, kind: "hold", ...asked });
    const heatHeld = hold.withHeat && hold.leftMs > 0;
    const most = asked.at === "tank" || heatHeld ? 120 : 240;
    const longer = asked.at !== "tank" && heatHeld && asked.minutes * 60_000 > hold.leftMs;
    const sane = asked.minutes >= 1 && asked.minutes <= most && !longer;
    rule(accepted === sane, "S7", `a hold of ${asked.minutes} min was ${accepted ? "accepted" : "refused"}`);
    // An accepted hold of hours is cut to the longest that these small settings ask for.
    const leftMs = Math.min(memory.leftMs, 4 * TICK_MS);
    return { hold: { ...memory, leftMs, fullMs: Math.min(memory.fullMs, 4 * TICK_MS) }, accepted };
  }
  if (answered !== null) {
    const { memory, accepted } = endHold(hold, { id, kind: "end-hold", ...answered }, answered.at === "tank");
    return { hold: memory, accepted };
  }
  return { hold, accepted: false };
}
