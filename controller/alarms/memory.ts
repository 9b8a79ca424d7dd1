import * as z from "zod";
import { AMOUNT_MOST_MS } from "../../shared/settings/limits.ts";
import type { Watched } from "./condition.ts";

const amountMs = z.number().min(0).max(AMOUNT_MOST_MS);

/** All that is remembered of one alarm that is not at rest. Amounts are whole milliseconds and saturate. */
const storedAlarm = z
  .object({
    id: z.string(),
    active: z.boolean(),
    acknowledged: z.boolean(),
    /** Held until acknowledged, the cause gone and the machine cleared. */
    latched: z.boolean(),
    onLeftMs: amountMs,
    offLeftMs: amountMs,
    /** Since it last became active. */
    forMs: amountMs,
    /** Leaky counter: an hour for every activation, less the time gone by. */
    recentMs: amountMs,
    /** Suppressed by design in the last scan. */
    suppressed: z.boolean(),
    /** 0 = not shelved. */
    shelvedLeftMs: amountMs,
    outOfService: z.boolean(),
  })
  .readonly();
export type AlarmMemory = z.infer<typeof storedAlarm>;

const storedRestless = z
  .object({
    /** Only alarms that are not at rest, in the order of the list, so that a quiet box costs nothing. */
    restless: z.array(storedAlarm).readonly(),
    /** The alarm that came first since everything was last acknowledged. */
    firstUp: z.string().nullable(),
  })
  .readonly();
export type AlarmsMemory = z.infer<typeof storedRestless>;

/** No decision hangs on them: spoilt, every alarm is told anew, and nothing is locked. */
export const storedAlarms = storedRestless.catch({ restless: [], firstUp: null });

export const SHELVED_MOST_MS = 8 * 3_600_000;

const FRESH: AlarmsMemory = { restless: [], firstUp: null };
export const freshAlarms = (): AlarmsMemory => FRESH;

export const atRest = (alarm: Pick<Watched<never, never>, "id" | "onDelayMs" | "offDelayMs">): AlarmMemory => ({
  id: alarm.id,
  active: false,
  acknowledged: true,
  latched: false,
  onLeftMs: alarm.onDelayMs,
  offLeftMs: alarm.offDelayMs,
  forMs: 0,
  recentMs: 0,
  suppressed: false,
  shelvedLeftMs: 0,
  outOfService: false,
});

export const isAtRest = (memory: AlarmMemory, onDelayMs: number): boolean =>
  !memory.active &&
  memory.acknowledged &&
  !memory.latched &&
  memory.onLeftMs === onDelayMs &&
  memory.recentMs === 0 &&
  memory.shelvedLeftMs === 0 &&
  !memory.outOfService;

/** Not annunciated, for whatever reason. */
export const isHidden = (memory: AlarmMemory): boolean =>
  memory.suppressed || memory.shelvedLeftMs > 0 || memory.outOfService;

/** Puts what was stored into the order of the list, and forgets alarms that the list no longer has. */
export function inListOrder<Facts, Limits>(
  alarms: readonly Watched<Facts, Limits>[],
  restless: readonly AlarmMemory[],
): readonly AlarmMemory[] {
  return alarms.flatMap((alarm) => restless.find((memory) => memory.id === alarm.id) ?? []);
}

/**
 * The memory as a new process takes it up. Delays begin anew, because nobody watched meanwhile; shelving ends; a
 * latched alarm is announced anew.
 */
export function resumedAlarms<Facts, Limits>(
  alarms: readonly Watched<Facts, Limits>[],
  stored: AlarmsMemory,
): AlarmsMemory {
  const restless = alarms.flatMap((alarm) => {
    const memory = stored.restless.find(({ id }) => id === alarm.id);
    if (memory === undefined) return [];
    const { active, latched, forMs, recentMs, suppressed, outOfService } = memory;
    const acknowledged = memory.acknowledged && !latched;
    const anew = { active, acknowledged, latched, forMs, recentMs, suppressed, outOfService };
    const resumed: AlarmMemory = { ...atRest(alarm), ...anew };
    return isAtRest(resumed, alarm.onDelayMs) ? [] : [resumed];
  });
  const firstUp = restless.some(({ id }) => id === stored.firstUp) ? stored.firstUp : null;
  return { restless, firstUp };
}

/**
 * Shelves one alarm for a time, at most eight hours, or takes it off the shelf with 0. Null = refused: an alarm that
 * mirrors a lockout is never shelved.
 */
export function shelvedAlarm<Facts, Limits>(
  alarms: readonly Watched<Facts, Limits>[],
  memory: AlarmsMemory,
  id: string,
  forMs: number,
): AlarmsMemory | null {
  const alarm = alarms.find((one) => one.id === id);
  if (alarm === undefined || alarm.clears === "cleared") return null;
  const mine = memory.restless.find((one) => one.id === id) ?? atRest(alarm);
  const shelved = { ...mine, shelvedLeftMs: Math.min(SHELVED_MOST_MS, amount(forMs)) };
  const others = memory.restless.filter((one) => one.id !== id);
  return { ...memory, restless: inListOrder(alarms, [...others, shelved]) };
}

const amount = (ms: number): number =>
  Number.isFinite(ms) ? Math.min(AMOUNT_MOST_MS, Math.max(0, Math.trunc(ms))) : 0;
