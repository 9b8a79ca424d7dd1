import { LOCK_OF, type Request, type ScanRecord } from "../../../shared/contract/index.ts";
import type { Acted } from "./act.ts";
import type { Hand, HandOf } from "./kinds.ts";

/** A request as a keeper makes it, before it has a number. */
export type Ask = Request extends infer Each ? (Each extends Request ? Omit<Each, "id" | "at"> : never) : never;

/** What is asked now, and what comes later. */
export interface Told {
  readonly asks: readonly Ask[];
  readonly later: { readonly afterMs: number; readonly asks: readonly Ask[] } | null;
}

type Tell<Do extends Hand["do"]> = (hand: HandOf<Do>, acted: Acted, last: ScanRecord | null) => Told;

const ask = (...asks: Ask[]): Told => ({ asks, later: null });
const NOTHING = ask();

const MS_PER_MIN = 60_000;
/** Before the buckets come and after they have gone. */
const SPARE_MIN = 10;
const SETTLES_MIN = 1;
const HOLD_MOST_MIN = 120;

/** What each hand says to the controller: the one place where what hands do meets what can be asked. */
const TELLS: { readonly [Do in Hand["do"]]: Tell<Do> } = {
  hold: ({ minutes }) => ask({ kind: "hold", minutes }),
  "end-hold": ({ answer }) => ask({ kind: "end-hold", answer }),
  refill: (_, { refilledL }) => (refilledL > 0 ? ask({ kind: "refill", litres: refilledL }) : NOTHING),
  "water-change": (_, { workMin }) => ({
    asks: [{ kind: "hold", minutes: Math.min(HOLD_MOST_MIN, Math.ceil(workMin + SPARE_MIN)) }],
    later: {
      afterMs: (workMin + SETTLES_MIN) * MS_PER_MIN,
      asks: [{ kind: "end-hold", answer: "salt-water-added" }],
    },
  }),
  "hand-test": ({ salinity: shown }, { salinity }) => ask({ kind: "hand-test", salinity: shown ?? salinity }),
  "salinity-measured-wrong": ({ salinity }) => ask({ kind: "hand-test", salinity }),
  // Whoever has mistyped a measurement measures again.
  "correct-measurement": ({ salinity: meant }, { salinity }) => ask({ kind: "hand-test", salinity: meant ?? salinity }),
  // Whoever stops the return pump to feed holds the tank meanwhile.
  "return-pump-rest": (_, { workMin }) => ({
    asks: [{ kind: "hold", minutes: Math.min(HOLD_MOST_MIN, Math.max(1, Math.ceil(workMin + SETTLES_MIN))) }],
    later: {
      afterMs: (workMin + SETTLES_MIN) * MS_PER_MIN,
      asks: [{ kind: "end-hold", answer: "evaporation" }],
    },
  }),
  "lift-float": () => NOTHING,
  // Whoever goes away measures once more, and leaves nothing unread.
  absence: ({ atH, toH }, { salinity }) =>
    ask(
      { kind: "hand-test", salinity },
      { kind: "absence", fromH: 0, toH: toH - atH },
      { kind: "acknowledge", alarm: "all" },
    ),
  acknowledge: () => ask({ kind: "acknowledge", alarm: "all" }),
  clear: (_, __, last) => clearLatches(last),
};

/** What is said of a hand that has done this; nothing, where it is not told. */
export const tell = (hand: Hand, acted: Acted, last: ScanRecord | null): Told =>
  hand.told ? (TELLS[hand.do] as Tell<typeof hand.do>)(hand as never, acted, last) : NOTHING;

/** Clears what the controller shows as locked, by the number that it shows. */
function clearLatches(last: ScanRecord | null): Told {
  const asks: Ask[] = [];
  const topOff = last?.topOff.latch ?? last?.topOff.waterGuardLatch;
  if (topOff) asks.push({ kind: "clear", machine: "top-off", occurrence: topOff.occurrence });
  for (const { heater, latch, finding } of last?.heaters ?? []) {
    const standing = latch ?? finding;
    if (standing !== null) asks.push({ kind: "clear", machine: LOCK_OF[heater], occurrence: standing.occurrence });
  }
  return { asks, later: null };
}
