import type { AlarmStatus } from "../../shared/contract/index.ts";
import { AMOUNT_MOST_MS, SCAN_GAP_MS } from "../../shared/settings/limits.ts";
import { isLockedOut, isSuppressed, type Watched } from "./condition.ts";
import { type AlarmMemory, isHidden } from "./memory.ts";

const HOUR_MS = 3_600_000;

/**
 * One alarm, one scan further: the state model of ANSI/ISA-18.2 and IEC 62682 as two memories (active, acknowledged)
 * with latch and suppression. The order matters: an acknowledgement is taken before anything can become active, so
 * that nobody acknowledges what they have not seen.
 */
export function advance<Facts, Limits>(
  alarm: Watched<Facts, Limits>,
  before: AlarmMemory,
  facts: Facts,
  limits: Limits,
  acknowledge: boolean,
  elapsedMs: number,
): AlarmMemory {
  const lockedOut = isLockedOut(alarm, facts);
  const shelvedLeftMs = Math.max(0, before.shelvedLeftMs - elapsedMs);
  const suppressed = !lockedOut && isSuppressed(alarm, facts, limits);
  const hidden = suppressed || shelvedLeftMs > 0 || before.outOfService;
  const wasHidden = isHidden(before);
  const afresh = wasHidden && !hidden;

  let acknowledged = before.acknowledged || (acknowledge && !wasHidden);
  let latched = before.latched;
  let active = before.active;
  let forMs = Math.min(AMOUNT_MOST_MS, before.forMs + elapsedMs);
  let recentMs = Math.max(0, before.recentMs - elapsedMs);
  let { onLeftMs, offLeftMs } = before;
  if (afresh) {
    active = false;
    onLeftMs = alarm.onDelayMs;
    acknowledged = acknowledged && !latched;
  }

  // A delay asks for having been *seen*: of a gap in the scans it takes no more than one scan may last.
  const spellMs = Math.min(elapsedMs, SCAN_GAP_MS);
  const seen = alarm.stands(facts, limits, active);
  if (active) {
    offLeftMs = seen ? alarm.offDelayMs : Math.max(0, offLeftMs - spellMs);
    if (!seen && offLeftMs === 0) {
      active = false;
      onLeftMs = alarm.onDelayMs;
    }
  } else {
    onLeftMs = countDown(onLeftMs, seen, spellMs, alarm.onDelayMs);
    if ((seen && onLeftMs === 0) || (lockedOut && !latched)) {
      active = true;
      offLeftMs = alarm.offDelayMs;
      forMs = 0;
      recentMs = Math.min(AMOUNT_MOST_MS, recentMs + HOUR_MS);
      // What becomes active out of sight is no news yet: it is announced when it still stands on return.
      if (!hidden) {
        acknowledged = false;
        latched = alarm.clears === "cleared";
      }
    }
  }
  if (!active && alarm.clears === "by-itself") acknowledged = true;
  if (!active && acknowledged && !lockedOut) latched = false;
  if (!active && acknowledged && !latched) forMs = 0;
  return settled(before, {
    id: before.id,
    active,
    acknowledged,
    latched,
    onLeftMs,
    offLeftMs,
    forMs,
    recentMs,
    suppressed,
    shelvedLeftMs,
    outOfService: before.outOfService,
  });
}

/** What is shown of an alarm; null = nothing. */
export function statusOf(memory: AlarmMemory, priority: AlarmStatus["priority"], first: boolean): AlarmStatus | null {
  const state = stateOf(memory);
  if (state === null) return null;
  return {
    id: memory.id,
    priority,
    state,
    active: memory.active,
    forMs: memory.forMs,
    first,
    timesInHour: Math.ceil(memory.recentMs / HOUR_MS),
  };
}

/**
 * A latched alarm that nobody acknowledged stays *unacknowledged* though its cause is gone; *latched* is what only
 * waits for the clear.
 */
export function stateOf(memory: AlarmMemory): AlarmStatus["state"] | null {
  const normal = !memory.active && memory.acknowledged && !memory.latched;
  if (memory.shelvedLeftMs > 0 || memory.outOfService) return "suppressed";
  if (normal) return null;
  if (memory.suppressed) return "suppressed";
  if (!memory.acknowledged) return memory.active || memory.latched ? "unacknowledged" : "returned";
  return memory.active ? "acknowledged" : "latched";
}

/** What must be on disk before it matters. Delays and ages are not: they change in every scan. */
export const durablyEqual = (one: AlarmMemory, other: AlarmMemory): boolean =>
  one.active === other.active &&
  one.acknowledged === other.acknowledged &&
  one.latched === other.latched &&
  one.outOfService === other.outOfService &&
  one.shelvedLeftMs > 0 === other.shelvedLeftMs > 0;

/**
 * A delay that flapping cannot defeat: it drains at full speed while the cause is seen and refills at a quarter, so
 * that what is true more than a fifth of the time still fires. Rounded towards the alarm.
 */
function countDown(leftMs: number, seen: boolean, elapsedMs: number, delayMs: number): number {
  return seen ? Math.max(0, leftMs - elapsedMs) : Math.min(delayMs, leftMs + Math.floor(elapsedMs / 4));
}

/** The same object when nothing changed, so that a quiet memory stays the same memory. */
const settled = (before: AlarmMemory, after: AlarmMemory): AlarmMemory =>
  durablyEqual(before, after) &&
  before.onLeftMs === after.onLeftMs &&
  before.offLeftMs === after.offLeftMs &&
  before.forMs === after.forMs &&
  before.recentMs === after.recentMs &&
  before.suppressed === after.suppressed &&
  before.shelvedLeftMs === after.shelvedLeftMs
    ? before
    : after;
