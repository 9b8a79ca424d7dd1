import type { HealthAnswer, Outcome, ScanRecord } from "../shared/contract/index.ts";
import type { Settings } from "../shared/settings/index.ts";
import { detailOf, sentenceOf } from "./alarms/index.ts";
import type { Publisher, RequestIntake } from "./publish/index.ts";
import type { DurableMemory } from "./record/index.ts";
import type { ScanCounts } from "./scan/cycle.ts";
import type { Water } from "./water.ts";

/** Takes every record of the scan to the disk, to the broker, and, as a sentence, to the terminal. */
export interface Teller {
  /** `isLast` of this tick: only then the world is told; the disk takes every one. */
  tell(record: ScanRecord, counts: ScanCounts, isLast: boolean): void;
  health(): HealthAnswer;
  /** The scan has stopped on a broken invariant of our own. */
  stopped(why: string, counts: ScanCounts): void;
}

export interface TellerParts {
  readonly settings: Settings;
  readonly water: Water;
  readonly publisher: Publisher;
  readonly intake: RequestIntake;
  readonly say: (line: string) => void;
}

export function createTeller({ settings, water, publisher, intake, say }: TellerParts): Teller {
  let last: ScanRecord | null = null;
  let said = "";
  let sentence = "Starting.";
  let scans = 0;
  let halted = false;
  const answers = answersWhenSafe(water.record.memory, (outcomes) => {
    intake.answer(outcomes);
    for (const { why } of outcomes) say(why);
  });
  const connections = connectionsTold(() => water.field.describe(), say);
  const publish = (record: ScanRecord, counts: ScanCounts, sentence: string) =>
    publisher.update(
      record,
      {
        nowMs: water.wallMs(),
        water: water.kind,
        sentence,
        alarmDetails: detailsOf(record, settings),
        scans: counts,
        connections: connections(performance.now()),
      },
      // News is paced by the time that the box lives in: a fast rehearsal would otherwise tell old ages.
      water.kind === "rehearsal" ? water.wallMs() : performance.now(),
    );
  return {
    tell(record, counts, isLast) {
      last = record;
      water.record.note(record, water.wallMs());
      answers.add(record);
      if (!isLast) return;
      sentence = sentenceOf(record, settings);
      scans = counts.count;
      publish(record, counts, sentence);
      const gist = gistOf(record);
      if (gist === said) return;
      said = gist;
      say(water.kind === "rehearsal" ? `Rehearsal, simulated water. ${sentence}` : sentence);
    },
    health: () => ({ version: 1, healthy: last !== null && !halted && !isInTrouble(last), sentence, scans }),
    stopped(why, counts) {
      halted = true;
      sentence = `The scan has stopped: ${why}. Every output is off; start the controller again and look at the water.`;
      say(sentence);
      if (last !== null) publish(last, counts, sentence);
    },
  };
}

/**
 * Nobody is told "yes" before it would survive a kill: outcomes wait until the memory that goes with them is on disk.
 * A disk that failed has its own alarm, and keeps nobody waiting.
 */
function answersWhenSafe(memory: DurableMemory, answer: (outcomes: readonly Outcome[]) => void) {
  let waiting: { readonly sequence: number; readonly outcomes: readonly Outcome[] }[] = [];
  return {
    add({ outcomes, memorySequence }: ScanRecord): void {
      if (outcomes.length > 0) waiting.push({ sequence: memorySequence, outcomes });
      if (waiting.length === 0) return;
      const safe = memory.failed() ? Number.POSITIVE_INFINITY : memory.durableSequence();
      for (const { sequence, outcomes } of waiting) if (sequence <= safe) answer(outcomes);
      waiting = waiting.filter(({ sequence }) => sequence > safe);
    },
  };
}

/** How often the parts are asked how they are: nobody plugs faster, and a loose plug does not fill a log. */
const CONNECTIONS_EVERY_MS = 2_000;

/** What each connection says of itself; on the terminal a sentence is said when it is new, and not again while it holds. */
function connectionsTold(describe: () => readonly string[], say: (line: string) => void) {
  let now: readonly string[] = [];
  let askedMs = Number.NEGATIVE_INFINITY;
  return (atMs: number): readonly string[] => {
    if (atMs - askedMs < CONNECTIONS_EVERY_MS) return now;
    askedMs = atMs;
    const before = now;
    now = describe();
    for (const sentence of now) if (!before.includes(sentence)) say(sentence);
    return now;
  };
}

const isInTrouble = ({ alarms }: ScanRecord): boolean =>
  alarms.some(({ active, priority, state }) => active && priority === "high" && state !== "suppressed");

/** The terminal says a sentence anew only when the box is in another state, not at every tenth of a degree. */
const gistOf = ({ alarms, hold, start, topOff, heaters }: ScanRecord): string =>
  [
    start.steady,
    start.topOffLeftMs === 0,
    hold.active,
    hold.question,
    topOff.latch?.occurrence,
    ...heaters.map(({ latch }) => latch?.occurrence),
    ...alarms.filter(({ active, state }) => active && state !== "suppressed").map(({ id }) => id),
  ].join();

const NOTHING_TO_ADD: Readonly<Record<string, string>> = {};

function detailsOf(record: ScanRecord, settings: Settings): Readonly<Record<string, string>> {
  if (record.alarms.length === 0) return NOTHING_TO_ADD;
  const details = record.alarms.map(({ id }) => [id, detailOf(id, record, settings)] as const);
  return Object.fromEntries(details.filter(([, detail]) => detail !== null)) as Record<string, string>;
}
