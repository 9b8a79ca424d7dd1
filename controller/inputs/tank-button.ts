import type { ContactReading } from "../../shared/contract/reading.ts";
import type { ScanRecord } from "../../shared/contract/record.ts";
import { LOCK_OF, type Machine, type Request } from "../../shared/contract/requests.ts";
import { CONTACT_STALE_MS } from "../../shared/settings/limits.ts";

/**
 * The button at the tank: whoever presses it stands at the water. A short press begins a hold of half an hour with the
 * heater off, or ends the one that runs; a long one acknowledges every alarm and clears what is locked, as far as its
 * cause is gone. Everything happens when it is let go: a button that is stuck or wet inside asks for nothing.
 */
export interface ButtonMemory {
  /** `unknown` until it has been seen let go: a press is only what began before our eyes. */
  readonly state: "unknown" | "up" | "down";
  readonly downMs: number;
}

export type Press = "short" | "long";

export const FRESH_BUTTON: ButtonMemory = { state: "unknown", downMs: 0 };

const SHORT_MOST_MS = 3_000;
const LONG_LEAST_MS = 5_000;
const LONG_MOST_MS = 15_000;
const HOLD_MINUTES = 30;

export function followButton(
  memory: ButtonMemory,
  reading: ContactReading,
  elapsedMs: number,
): { readonly memory: ButtonMemory; readonly press: Press | null } {
  // Written so that an age that is no number is no age; after a gap nobody knows what the finger did meanwhile.
  const seen = reading.fault === null && reading.ageMs <= CONTACT_STALE_MS && elapsedMs <= CONTACT_STALE_MS;
  if (!seen) return { memory: FRESH_BUTTON, press: null };
  if (!reading.value) {
    const press = memory.state === "down" ? pressOf(memory.downMs + elapsedMs) : null;
    return { memory: { state: "up", downMs: 0 }, press };
  }
  if (memory.state === "unknown") return { memory, press: null };
  const downMs = memory.state === "down" ? Math.min(LONG_MOST_MS, memory.downMs + elapsedMs) : 0;
  return { memory: { state: "down", downMs }, press: null };
}

const pressOf = (downMs: number): Press | null => {
  if (downMs <= SHORT_MOST_MS) return "short";
  return downMs >= LONG_LEAST_MS && downMs < LONG_MOST_MS ? "long" : null;
};

/** What a press asks for, as the box is in this scan. */
export function askedBy(press: Press, record: ScanRecord, newId: () => string): readonly Request[] {
  const { hold, topOff, heaters } = record;
  const asked = () => ({ id: newId(), at: "tank" }) as const;
  if (press === "short") {
    if (hold.active) return [{ kind: "end-hold", ...asked(), answer: null }];
    return [{ kind: "hold", ...asked(), minutes: HOLD_MINUTES }];
  }
  const water = topOff.latch ?? topOff.waterGuardLatch;
  const clear = (machine: Machine, latch: typeof water): Request[] =>
    latch === null ? [] : [{ kind: "clear", ...asked(), machine, occurrence: latch.occurrence }];
  return [
    { kind: "acknowledge", ...asked(), alarm: "all" },
    ...clear("top-off", water),
    ...heaters.flatMap(({ heater, latch, finding }) => clear(LOCK_OF[heater], latch ?? finding)),
  ];
}
