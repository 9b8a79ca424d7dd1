import type { AlarmPriority, AlarmStatus } from "../../shared/contract/index.ts";
import { isLockedOut, type Watched } from "./condition.ts";
import { type AlarmMemory, type AlarmsMemory, atRest, inListOrder, isAtRest, isHidden } from "./memory.ts";
import { advance, durablyEqual, statusOf } from "./state.ts";

export interface WatchResult {
  readonly memory: AlarmsMemory;
  /** Every alarm that is not normal, in the order of the list. */
  readonly alarms: readonly AlarmStatus[];
  /** Something that must be on disk changed. */
  readonly changed: boolean;
}

type Ranked<Facts, Limits> = Watched<Facts, Limits> & { readonly priority: AlarmPriority };

/**
 * One scan of every alarm in the list, which is in order of rank. `acknowledged` holds ids, or `all`; it acts on what
 * was annunciated before this scan. Alarms mirror what was decided; nothing here is looked at by a decision.
 */
export function watchConditions<Facts, Limits>(
  alarms: readonly Ranked<Facts, Limits>[],
  memory: AlarmsMemory,
  facts: Facts,
  limits: Limits,
  acknowledged: readonly string[],
  elapsedMs: number,
): WatchResult {
  const known = memory.restless;
  const next: AlarmMemory[] = [];
  const nextOf: Ranked<Facts, Limits>[] = [];
  let place = 0;
  let same = true;
  let changed = false;
  let becameActive: string | null = null;
  for (const alarm of alarms) {
    // Nearly always at rest: the quiet way first, and never a look beyond the end of what is remembered.
    const before = place < known.length && known[place]!.id === alarm.id ? known[place++] : undefined;
    if (before === undefined && !alarm.stands(facts, limits, false) && !isLockedOut(alarm, facts)) continue;
    const from = before ?? atRest(alarm);
    const after = advance(alarm, from, facts, limits, isAmong(acknowledged, alarm.id), elapsedMs);
    if (!durablyEqual(from, after)) changed = true;
    if (becameActive === null && isAnnounced(from, after)) becameActive = alarm.id;
    const kept = isAtRest(after, alarm.onDelayMs) ? undefined : after;
    if (kept !== before) same = false;
    if (kept === undefined) continue;
    next.push(kept);
    nextOf.push(alarm);
  }
  if (place < known.length) {
    const sorted = { ...memory, restless: inListOrder(alarms, known) };
    return { ...watchConditions(alarms, sorted, facts, limits, acknowledged, elapsedMs), changed: true };
  }
  if (same) return { memory, alarms: statuses(nextOf, next, memory.firstUp), changed };
  const firstUp = firstOf(memory, next, acknowledged, becameActive);
  const result = { restless: next.length > 0 ? next : NO_MEMORIES, firstUp };
  return { memory: result, alarms: statuses(nextOf, next, firstUp), changed: changed || firstUp !== memory.firstUp };
}

const NO_MEMORIES: readonly AlarmMemory[] = [];
const NO_ALARMS: readonly AlarmStatus[] = [];

/** `memories` in the order of `alarms`, one for each. */
function statuses<Facts, Limits>(
  alarms: readonly Ranked<Facts, Limits>[],
  memories: readonly AlarmMemory[],
  firstUp: string | null,
): readonly AlarmStatus[] {
  if (memories.length === 0) return NO_ALARMS;
  const shown: AlarmStatus[] = [];
  for (let place = 0; place < memories.length; place++) {
    const mine = memories[place]!;
    const status = statusOf(mine, alarms[place]!.priority, mine.id === firstUp);
    if (status !== null) shown.push(status);
  }
  return shown.length > 0 ? shown : NO_ALARMS;
}

/**
 * First-up: the alarm that came first since everything was last acknowledged, because what comes first is most often
 * the cause. It is kept until it is normal or a new series begins; then the longest that stands takes its place.
 */
function firstOf(
  before: AlarmsMemory,
  next: readonly AlarmMemory[],
  acknowledged: readonly string[],
  becameActive: string | null,
): string | null {
  if (becameActive !== null && !isSeriesOpen(before, next, acknowledged)) return becameActive;
  const first = before.firstUp === null ? undefined : next.find(({ id }) => id === before.firstUp);
  if (first !== undefined && isStanding(first)) return before.firstUp;
  let longest: AlarmMemory | null = null;
  for (const one of next) if (isStanding(one) && one.forMs > (longest?.forMs ?? -1)) longest = one;
  return longest?.id ?? null;
}

const isStanding = (one: AlarmMemory): boolean => !isHidden(one) && (one.active || !one.acknowledged || one.latched);

/** Something waits to be acknowledged since before this scan. */
const isSeriesOpen = (before: AlarmsMemory, next: readonly AlarmMemory[], acknowledged: readonly string[]): boolean =>
  before.restless.some(
    (one) =>
      !one.acknowledged && !isHidden(one) && !isAmong(acknowledged, one.id) && next.some(({ id }) => id === one.id),
  );

const isAnnounced = (before: AlarmMemory, after: AlarmMemory): boolean =>
  after.active && !isHidden(after) && (!before.active || isHidden(before));

function isAmong(acknowledged: readonly string[], id: string): boolean {
  return acknowledged.length > 0 && (acknowledged.includes(id) || acknowledged.includes("all"));
}
