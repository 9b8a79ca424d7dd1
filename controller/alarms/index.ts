import type { AlarmStatus, AlarmWords, ScanRecord } from "../../shared/contract/index.ts";
import type { Settings } from "../../shared/settings/index.ts";
import type { AlarmFacts } from "./condition.ts";
import { scanStoppedItself } from "./conditions/scan-stopped-itself.ts";
import { watchConditions } from "./engine.ts";
import { CONDITIONS } from "./list.ts";
import { type AlarmsMemory, resumedAlarms, shelvedAlarm } from "./memory.ts";

export type { AlarmFacts } from "./condition.ts";
export { type AlarmsMemory, freshAlarms, storedAlarms } from "./memory.ts";
export { sentenceOf } from "./sentence.ts";

/** The words of every alarm, in order of rank. */
export const ALARM_WORDS: readonly AlarmWords[] = CONDITIONS.map(
  ({ id, title, priority, cause, consequence, whatToDo, timeToRespond }) => ({
    id,
    title,
    priority,
    cause,
    consequence,
    whatToDo,
    timeToRespond,
  }),
);

/** The words of the alarms on which whoever looks after the box for a while can act, in order of rank. */
export const SITTER_ALARMS: readonly AlarmWords[] = ALARM_WORDS.filter(
  (_, index) => CONDITIONS[index]?.inAbsence === "for-sitter",
);

const BY_ID = new Map(CONDITIONS.map((condition) => [condition.id, condition]));

/** The alarm whose acknowledgement ends what it tells of. */
export const SCAN_STOPPED = scanStoppedItself.id;

export const isAlarmId = (id: string): boolean => BY_ID.has(id);

/**
 * One scan of all alarms. `acknowledged` holds the ids that somebody acknowledged in this scan, or `all`.
 * `alarms` lists what is not normal, in order of rank; `changed` says that something which must be on disk changed.
 */
export function watchAlarms(
  memory: AlarmsMemory,
  facts: AlarmFacts,
  settings: Settings,
  acknowledged: readonly string[],
  elapsedMs: number,
): { memory: AlarmsMemory; alarms: readonly AlarmStatus[]; changed: boolean } {
  return watchConditions(CONDITIONS, memory, facts, settings, acknowledged, elapsedMs);
}

/** What was stored, as a new process takes it up: delays begin anew, shelving ends, latched alarms are told anew. */
export const resumeAlarms = (stored: AlarmsMemory): AlarmsMemory => resumedAlarms(CONDITIONS, stored);

/** Shelves an alarm for at most eight hours, or unshelves it with 0; null = refused. */
export const shelveAlarm = (memory: AlarmsMemory, id: string, forMs: number): AlarmsMemory | null =>
  shelvedAlarm(CONDITIONS, memory, id, forMs);

/** What exactly is wrong at the moment, such as which float; fits after the title and a colon. */
export const detailOf = (id: string, record: ScanRecord, settings: Settings): string | null =>
  BY_ID.get(id)?.detail(record, settings) ?? null;
