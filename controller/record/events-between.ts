import {
  type AlarmStatus,
  heaterIn,
  type Latch,
  LOCK_OF,
  REASONS,
  type ScanRecord,
} from "../../shared/contract/index.ts";

/** Something that happened between two scans, in a sentence of its own. */
export interface RecordEvent {
  readonly kind:
    | "started"
    | "alarm-raised"
    | "alarm-acknowledged"
    | "alarm-cleared"
    | "latched"
    | "unlatched"
    | "pour-began"
    | "pour-ended"
    | "hold-began"
    | "hold-ended"
    | "hold-question"
    | "request-answered"
    | "board"
    | "disk";
  /** Alarm id, machine or request id; null where the kind says it all. */
  readonly subject: string | null;
  readonly words: string;
}

/** What is worth a line in the log: changes, never repeats. `previous` is null at the first scan after a start. */
export function eventsBetween(previous: ScanRecord | null, next: ScanRecord): RecordEvent[] {
  return [
    ...(previous === null ? [event("started", null, "The controller started.")] : []),
    ...latchEvents("top-off", previous?.topOff.latch ?? null, next.topOff.latch),
    ...latchEvents("water-guard", previous?.topOff.waterGuardLatch ?? null, next.topOff.waterGuardLatch),
    ...next.heaters.flatMap(({ heater, latch }) =>
      latchEvents(LOCK_OF[heater], previous === null ? null : (heaterIn(previous, heater)?.latch ?? null), latch),
    ),
    ...alarmEvents(previous?.alarms ?? [], next.alarms),
    ...pourEvents(previous, next),
    ...holdEvents(previous, next),
    ...next.outcomes.map(({ id, accepted, why }) =>
      event("request-answered", id, `${accepted ? "Accepted" : "Refused"}: ${why}`),
    ),
    ...partEvents(previous, next),
  ];
}

const event = (kind: RecordEvent["kind"], subject: string | null, words: string): RecordEvent => ({
  kind,
  subject,
  words,
});

/** A latch is known by its occurrence: one that was cleared and tripped again between two scans is two events. */
function latchEvents(machine: string, before: Latch | null, now: Latch | null): RecordEvent[] {
  if (before?.occurrence === now?.occurrence) return [];
  return [
    ...(before === null ? [] : [event("unlatched", machine, `Cleared: ${REASONS[before.reason]}`)]),
    ...(now === null ? [] : [event("latched", machine, `Locked: ${REASONS[now.reason]}`)]),
  ];
}

function alarmEvents(before: readonly AlarmStatus[], now: readonly AlarmStatus[]): RecordEvent[] {
  const known = new Map(before.map((alarm) => [alarm.id, alarm]));
  const standing = new Set(now.map(({ id }) => id));
  const changed = now.flatMap((alarm) => {
    const was = known.get(alarm.id);
    if (alarm.active && was?.active !== true) return [event("alarm-raised", alarm.id, `Alarm raised: ${alarm.id}.`)];
    if (alarm.state === "acknowledged" && was?.state === "unacknowledged") {
      return [event("alarm-acknowledged", alarm.id, `Alarm acknowledged: ${alarm.id}.`)];
    }
    if (!alarm.active && was?.active === true) return [event("alarm-cleared", alarm.id, `Alarm over: ${alarm.id}.`)];
    return [];
  });
  const gone = before
    .filter((alarm) => alarm.active && !standing.has(alarm.id))
    .map(({ id }) => event("alarm-cleared", id, `Alarm over: ${id}.`));
  return [...changed, ...gone];
}

function pourEvents(previous: ScanRecord | null, next: ScanRecord): RecordEvent[] {
  const before = previous?.topOff.state === "pouring";
  const now = next.topOff.state === "pouring";
  if (before === now) return [];
  return now
    ? [event("pour-began", "top-off", `Pouring: ${REASONS[next.topOff.why]}`)]
    : [event("pour-ended", "top-off", `The pour ended: ${REASONS[next.topOff.why]}`)];
}

function holdEvents(previous: ScanRecord | null, next: ScanRecord): RecordEvent[] {
  const { active, question, withHeat } = next.hold;
  const events: RecordEvent[] = [];
  if (active && previous?.hold.active !== true) {
    events.push(event("hold-began", null, withHeat ? "Hold: pouring and heat are off." : "Hold: pouring is off."));
  }
  if (!active && previous?.hold.active === true) events.push(event("hold-ended", null, "The hold ended."));
  if (question && previous?.hold.question !== true) {
    events.push(event("hold-question", null, REASONS["hold-question"]));
  }
  return events;
}

function partEvents(previous: ScanRecord | null, next: ScanRecord): RecordEvent[] {
  const events: RecordEvent[] = [];
  if ((previous?.board ?? "ready") !== next.board) events.push(event("board", "board", BOARD_WORDS[next.board]));
  if ((previous?.disk ?? "working") !== next.disk) {
    events.push(event("disk", "disk", next.disk === "failed" ? REASONS["disk-failed"] : "The disk works again."));
  }
  return events;
}

const BOARD_WORDS: Record<ScanRecord["board"], string> = {
  ready: "The input and output board reports.",
  silent: REASONS["board-silent"],
  restarted: "The input and output board restarted.",
  unattended: REASONS["nobody-beside"],
};
