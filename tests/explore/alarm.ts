import type { Clears, Watched } from "../../controller/alarms/condition.ts";
import { type AlarmMemory, atRest, isHidden, resumedAlarms, shelvedAlarm } from "../../controller/alarms/memory.ts";
import { advance, stateOf } from "../../controller/alarms/state.ts";
import { amount, choice, flag, type Table } from "./pack.ts";
import { type Machine, rule } from "./search.ts";

/** Four milliseconds a tick, because a delay refills at a quarter of its speed. */
const TICK_MS = 4;

interface Facts {
  readonly seen: boolean;
  readonly suppressed: boolean;
  readonly lockedOut: boolean;
}
interface AlarmState {
  readonly alarm: AlarmMemory;
  /** Told by an outside observer: announced and nobody has acknowledged it yet; announced by a lockout and not undone. */
  readonly seen: { readonly owed: boolean; readonly locked: boolean };
}

const FIELDS: Table = {
  alarm: {
    id: choice(0),
    active: flag,
    acknowledged: flag,
    latched: flag,
    onLeftMs: amount(4),
    offLeftMs: amount(4),
    forMs: amount(0),
    recentMs: amount(1),
    suppressed: flag,
    shelvedLeftMs: amount(3),
    outOfService: flag,
  },
  seen: { owed: flag, locked: flag },
};

interface Move {
  readonly words: string;
  readonly facts: Facts;
  readonly acknowledge: boolean;
  readonly elapsedMs: number;
  readonly asked: "shelve" | "unshelve" | "restart" | null;
}

function movesOf(clears: Clears): readonly Move[] {
  const moves: Move[] = [];
  const facts = { seen: false, suppressed: false, lockedOut: false };
  for (const ticks of [0, 1, 3, 300]) {
    for (const seen of [true, false]) {
      for (const suppressed of [true, false]) {
        for (const lockedOut of clears === "cleared" ? [true, false] : [false]) {
          for (const acknowledge of [true, false]) {
            const words = `${ticks} ticks pass, ${seen ? "cause seen" : "cause gone"}${suppressed ? ", suppressed" : ""}${lockedOut ? ", machine locked out" : ""}${acknowledge ? ", acknowledged" : ""}`;
            moves.push({
              words,
              facts: { seen, suppressed, lockedOut },
              acknowledge,
              elapsedMs: ticks * TICK_MS,
              asked: null,
            });
          }
        }
      }
    }
  }
  for (const asked of ["shelve", "unshelve", "restart"] as const) {
    moves.push({ words: asked, facts, acknowledge: false, elapsedMs: 0, asked });
  }
  return moves;
}

export function alarmMachine(clears: Clears): Machine<AlarmState> {
  const watched: Watched<Facts, null> = {
    id: "one",
    onDelayMs: 3 * TICK_MS,
    offDelayMs: 2 * TICK_MS,
    clears,
    stands: ({ seen }) => seen,
    suppressed: ({ suppressed }) => suppressed,
    lockedOut: ({ lockedOut }) => lockedOut,
  };
  const moves = movesOf(clears);
  const step = ({ alarm: before, seen }: AlarmState, place: number) => {
    const move = moves[place] as Move;
    if (move.asked !== null) return asked(watched, before, seen, move.asked);
    const { facts, acknowledge, elapsedMs } = move;
    const after = advance(watched, before, facts, null, acknowledge, elapsedMs);
    const shown = stateOf(after);
    rule(
      !facts.lockedOut || ((after.active || after.latched) && shown !== null),
      "L3",
      "a machine is locked out and no alarm stands",
    );
    rule(!facts.lockedOut || !after.suppressed, "L3", "the alarm of a lockout is suppressed");
    rule(!seen.locked || !facts.lockedOut || after.latched || isHidden(before), "S3", "the alarm forgot a lockout");
    rule(
      !before.latched || after.latched || !facts.lockedOut,
      "S3",
      "an alarm lost its latch and the machine is locked",
    );
    const gone = before.latched && !after.latched;
    rule(!gone || (after.acknowledged && !after.active), "S3", "a latched alarm went away unacknowledged");
    const wasHidden = isHidden(before);
    const confirmed = after.acknowledged && !before.acknowledged;
    const byItself = clears === "by-itself" && !after.active;
    rule(!confirmed || (acknowledge && !wasHidden) || byItself, "S7", "acknowledged what nobody has seen");
    const announced = after.active && !isHidden(after) && (!before.active || wasHidden);
    rule(
      !announced || !before.acknowledged || !after.acknowledged || before.active,
      "S7",
      "a new alarm was born acknowledged",
    );
    const owed = (seen.owed || announced) && !after.acknowledged;
    rule(!owed || isHidden(after) || shown !== null, "L3", "an alarm vanished that nobody has acknowledged");
    return { next: { alarm: cut(after), seen: { owed, locked: after.latched } } };
  };
  return {
    name: `alarm that clears ${clears === "by-itself" ? "by itself" : clears === "cleared" ? "with its machine" : "when acknowledged"}`,
    about: "cause, suppression, lockout, acknowledgement and shelving in every order",
    fields: FIELDS,
    begins: [["at rest", { alarm: cut(atRest(watched)), seen: { owed: false, locked: false } }]],
    moves: moves.map(({ words }) => words),
    step,
    walks: [
      {
        rule: "L3",
        asked: ({ alarm }) => alarm.shelvedLeftMs === 0,
        reached: ({ alarm }) => alarm.active && stateOf(alarm) !== null,
        next: ({ alarm, seen }) => ({
          alarm: cut(
            advance(watched, alarm, { seen: true, suppressed: false, lockedOut: false }, null, false, TICK_MS),
          ),
          seen,
        }),
        most: () => watched.onDelayMs / TICK_MS + 1,
      },
      {
        rule: "L4",
        asked: () => true,
        reached: ({ alarm }) => stateOf(alarm) === null,
        next: ({ alarm, seen }) => {
          const facts = { seen: false, suppressed: false, lockedOut: false };
          const after = advance(watched, alarm, facts, null, true, TICK_MS);
          return { alarm: cut(after), seen };
        },
        most: ({ alarm }) => (watched.offDelayMs + alarm.shelvedLeftMs) / TICK_MS + 3,
      },
    ],
    tell: ({ alarm }) => `${stateOf(alarm) ?? "normal"} ${JSON.stringify(alarm)}`,
    mustMeet: {
      active: ({ alarm }) => alarm.active && !alarm.acknowledged,
      shelved: ({ alarm }) => clears === "cleared" || alarm.shelvedLeftMs > 0,
      latched: ({ alarm }) => clears !== "cleared" || alarm.latched,
    },
  };
}

/** For display only: how long it stands, and how often it came in the last hour. */
const cut = (alarm: AlarmMemory): AlarmMemory => ({ ...alarm, forMs: 0, recentMs: 0 });

function asked(
  watched: Watched<Facts, null>,
  before: AlarmMemory,
  seen: AlarmState["seen"],
  what: "shelve" | "unshelve" | "restart",
) {
  const memory = { restless: [before], firstUp: null };
  if (what === "restart") {
    const after = resumedAlarms([watched], memory).restless[0] ?? atRest(watched);
    rule(after.latched === before.latched && after.active === before.active, "S3", "a restart lost an alarm");
    rule(!after.latched || !after.acknowledged, "S3", "a latched alarm is not announced anew");
    rule(after.shelvedLeftMs === 0, "S3", "an alarm is still shelved after a restart");
    return { next: { alarm: cut(after), seen: { ...seen, owed: seen.owed && !after.acknowledged } } };
  }
  const shelved = shelvedAlarm([watched], memory, watched.id, what === "shelve" ? 3 * TICK_MS : 0);
  rule(watched.clears !== "cleared" || shelved === null, "S7", "the alarm of a lockout was shelved");
  const after = shelved?.restless[0] ?? before;
  return { next: { alarm: cut(after), seen } };
}
