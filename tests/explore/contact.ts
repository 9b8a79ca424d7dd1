import { type ContactMemory, FRESH_CONTACT, readContact } from "../../controller/signals/contact.ts";
import type { ContactReading } from "../../shared/contract/reading.ts";
import { CONTACT_STALE_MS, HOUR_MS } from "../../shared/settings/limits.ts";
import { amount, choice, type Table } from "./pack.ts";
import { type Machine, rule } from "./search.ts";

/** Chatter of a contact: a tick of fifteen minutes for the hour, of which the minute is always over. */
const TICK_MS = HOUR_MS / 4;

interface ContactState {
  readonly contact: ContactMemory;
  /** Flips outside pours in each of the last three quarters of an hour, as an outside observer counts them. */
  readonly seen: {
    readonly now: number;
    readonly before: number;
    readonly longBefore: number;
    /** The last position that was one. */
    readonly last: ContactMemory["position"];
  };
}

const FIELDS: Table = {
  contact: { position: choice(2), known: choice(2), minuteMs: amount(4, 15_000), hourMs: amount(4, TICK_MS) },
  seen: { now: amount(2), before: amount(2), longBefore: amount(2), last: choice(2) },
};

interface Move {
  readonly words: string;
  readonly reading: ContactReading;
  readonly position: ContactMemory["position"];
  readonly ticks: number;
  readonly pouring: boolean;
}

const fresh = { fault: null, ageMs: 0, sample: 0 } as const;
const READINGS: readonly (readonly [string, ContactReading, ContactMemory["position"]])[] = [
  ["wet", { ...fresh, value: true }, "on"],
  ["dry", { ...fresh, value: false }, "off"],
  ["as old as may be", { ...fresh, value: true, ageMs: CONTACT_STALE_MS }, "on"],
  ["too old", { ...fresh, value: false, ageMs: CONTACT_STALE_MS + 1 }, "unknown"],
  ["of no age", { ...fresh, value: false, ageMs: Number.NaN }, "unknown"],
  ["short", { ...fresh, value: null, fault: "short-circuit" }, "unknown"],
  ["faulty with a value", { ...fresh, value: true, fault: "garbled" } as unknown as ContactReading, "unknown"],
  ["neither wet nor dry", { ...fresh, value: null } as unknown as ContactReading, "unknown"],
];

const MOVES: readonly Move[] = READINGS.flatMap(([name, reading, position]) =>
  [0, 1, 5].flatMap((ticks) =>
    [true, false].map((pouring) => {
      const words = `${ticks} quarters of an hour pass, the contact is ${name}${pouring ? ", pouring" : ""}`;
      return { words, reading, position, ticks, pouring };
    }),
  ),
);

export const contactMachine: Machine<ContactState> = {
  name: "contact",
  about: "what a reading of a float means, and its chatter over hours",
  fields: FIELDS,
  begins: [["a start", { contact: FRESH_CONTACT, seen: { now: 0, before: 0, longBefore: 0, last: "unknown" } }]],
  moves: MOVES.map(({ words }) => words),
  step: ({ contact: before, seen }, place) => {
    const { reading, position, ticks, pouring } = MOVES[place] as Move;
    const { memory, signal } = readContact(before, reading, ticks * TICK_MS, pouring);
    rule(signal.position === position, "S6", `the contact counts as ${signal.position}`);
    rule(
      (signal.doubt !== null) === (position === "unknown"),
      "S6",
      "an unknown contact without a reason, or the reverse",
    );
    const last = position === "unknown" ? seen.last : position;
    const flipped = last !== seen.last && seen.last !== "unknown";
    const bins =
      ticks === 0 ? seen : { now: 0, before: ticks > 1 ? 0 : seen.now, longBefore: ticks > 1 ? 0 : seen.before };
    const now = Math.min(3, bins.now + (flipped && !pouring ? 1 : 0));
    const next = { ...bins, now, last };
    rule(signal.chattering || next.now < 3 || seen.now >= 3, "L3", "three flips at once are no chatter");
    return { next: { contact: memory, seen: next } };
  },
  walks: [
    {
      rule: "L4",
      asked: ({ contact }) => contact.minuteMs > 0 || contact.hourMs > 0,
      reached: ({ contact }) => contact.minuteMs === 0 && contact.hourMs === 0,
      next: ({ contact, seen }) => {
        const [, reading] = READINGS[contact.position === "on" ? 0 : 1] as (typeof READINGS)[number];
        return { contact: readContact(contact, reading, TICK_MS, false).memory, seen };
      },
      most: () => 10,
    },
  ],
  tell: ({ contact }) => JSON.stringify(contact),
  mustMeet: { chatter: ({ contact }) => contact.hourMs > 2 * 0.75 * HOUR_MS },
};
