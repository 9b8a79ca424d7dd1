import type { ContactReading } from "../../shared/contract/reading.ts";
import type { ContactSignal, Doubt } from "../../shared/contract/signal.ts";
import { CONTACT_STALE_MS, HOUR_MS } from "../../shared/settings/limits.ts";
import { addEvent, drain, isThrice } from "./leaky.ts";

/** Volatile: starts empty with the process. */
export interface ContactMemory {
  readonly position: ContactSignal["position"];
  /** Where it was when it was last known: a float that goes from wet to dry by way of a lost sample has flipped too. */
  readonly known: ContactSignal["position"];
  /** Flips of the last minute, and flips of the last hour outside pours, as leaking amounts. */
  readonly minuteMs: number;
  readonly hourMs: number;
}

export const FRESH_CONTACT: ContactMemory = { position: "unknown", known: "unknown", minuteMs: 0, hourMs: 0 };
const MINUTE_MS = 60_000;
/** Three in an hour, and a little less: a box that evaporates much falls low every three quarters of an hour. */
const RESTLESS_MS = 0.75 * HOUR_MS;

/**
 * A contact as the decisions see it: no delay in it, since the dangerous side must act in the same scan and the
 * permitting side earns its time in the decisions. A reading that is faulty or old has no position.
 */
export function readContact(
  memory: ContactMemory,
  reading: ContactReading | null,
  elapsedMs: number,
  pouring: boolean,
): { memory: ContactMemory; signal: ContactSignal } {
  if (reading === null) return NOT_FITTED;
  const doubt = doubtOf(reading);
  const position = doubt !== null ? "unknown" : reading.value ? "on" : "off";
  const next = countFlips(memory, position, elapsedMs, pouring);
  const chattering = isThrice(next.minuteMs, MINUTE_MS) || isThrice(next.hourMs, RESTLESS_MS);
  return { memory: next, signal: { position, doubt, ageMs: reading.ageMs, chattering } };
}

/** Written so that an age that is no number is no age, and what is neither true nor false is no position. */
function doubtOf(reading: NonNullable<ContactReading>): Doubt | null {
  if (reading.fault !== null) return reading.fault;
  if (!(reading.ageMs <= CONTACT_STALE_MS)) return "stale";
  return typeof reading.value === "boolean" ? null : "garbled";
}

function countFlips(
  memory: ContactMemory,
  position: ContactSignal["position"],
  elapsedMs: number,
  pouring: boolean,
): ContactMemory {
  const known = position === "unknown" ? memory.known : position;
  const flipped = known !== memory.known && memory.known !== "unknown";
  if (!flipped && memory.minuteMs === 0 && memory.hourMs === 0) {
    return position === memory.position ? memory : { ...memory, position, known };
  }
  const minuteMs = drain(memory.minuteMs, elapsedMs);
  const hourMs = drain(memory.hourMs, elapsedMs);
  if (!flipped) return { position, known, minuteMs, hourMs };
  return {
    position,
    known,
    minuteMs: addEvent(minuteMs, MINUTE_MS),
    hourMs: pouring ? hourMs : addEvent(hourMs, RESTLESS_MS),
  };
}

/** Shown to be on, or nothing was fitted that could show it. */
export const isOnOrAbsent = (contact: ContactSignal): boolean =>
  contact.position === "on" || contact.doubt === "not-fitted";

const NOT_FITTED = {
  memory: FRESH_CONTACT,
  signal: { position: "unknown", doubt: "not-fitted", ageMs: 0, chattering: false } as const,
};
