import * as z from "zod";
import type { AbsenceSpan } from "../../../shared/contract/absence.ts";
import { ABSENCE_ANSWERS } from "../../../shared/contract/absence-words.ts";
import type { AbsenceRequest } from "../../../shared/contract/requests.ts";
import {
  ABSENCE_AHEAD_MOST_DAYS,
  ABSENCE_LEAST_HOURS,
  ABSENCE_MOST_DAYS,
  HOUR_MS,
} from "../../../shared/settings/limits.ts";

const HOURS_A_DAY = 24;
const MOST_AHEAD_H = ABSENCE_AHEAD_MOST_DAYS * HOURS_A_DAY;
const MOST_H = ABSENCE_MOST_DAYS * HOURS_A_DAY;

/** The absence that was told; null = none. Forgotten it does no harm: reminders are sent again. */
export const storedAbsence = z
  .object({
    /** 0 = it has begun. */
    untilBeginMs: z
      .number()
      .min(0)
      .max(MOST_AHEAD_H * HOUR_MS),
    untilEndMs: z
      .number()
      .min(0)
      .max((MOST_AHEAD_H + MOST_H) * HOUR_MS),
    /** The controller was off for an unknown time since: it ends only when somebody says so. */
    untilTold: z.boolean(),
  })
  .readonly()
  .nullable()
  .catch(null);
export type AbsenceMemory = z.infer<typeof storedAbsence>;

/** Why there can be no such absence; null = there can. */
export function refuseSpan({ fromH, toH }: AbsenceSpan): string | null {
  if (!(fromH >= 0 && fromH <= MOST_AHEAD_H)) return ABSENCE_ANSWERS.from(ABSENCE_AHEAD_MOST_DAYS);
  if (!(toH > fromH)) return ABSENCE_ANSWERS.backwards;
  const lastsH = toH - fromH;
  if (lastsH < ABSENCE_LEAST_HOURS || lastsH > MOST_H) return ABSENCE_ANSWERS.lasts(ABSENCE_MOST_DAYS);
  return null;
}

/** The same, beside the one that stands. */
export function refuseAbsence(memory: AbsenceMemory, request: AbsenceRequest): string | null {
  const no = refuseSpan(request);
  if (no !== null || memory === null) return no;
  return ABSENCE_ANSWERS.standing(isLasting(memory), memory.untilTold ? null : memory.untilEndMs / HOUR_MS);
}

export const beginAbsence = ({ fromH, toH }: AbsenceRequest): AbsenceMemory => ({
  untilBeginMs: Math.round(fromH * HOUR_MS),
  untilEndMs: Math.round(toH * HOUR_MS),
  untilTold: false,
});

/** All time counts, that of a gap and of a controller that was off too: whoever is away is away by the calendar. */
export function followAbsence(memory: AbsenceMemory, elapsedMs: number): AbsenceMemory {
  if (memory === null || elapsedMs === 0) return memory;
  const untilEndMs = Math.max(0, memory.untilEndMs - elapsedMs);
  if (untilEndMs === 0 && !memory.untilTold) return null;
  return { untilBeginMs: Math.max(0, memory.untilBeginMs - elapsedMs), untilEndMs, untilTold: memory.untilTold };
}

export const absenceAfterRestart = (memory: AbsenceMemory, offMs: number | null): AbsenceMemory =>
  offMs === null ? memory && { ...memory, untilTold: true } : followAbsence(memory, offMs);

export const isLasting = (memory: AbsenceMemory): boolean => memory !== null && memory.untilBeginMs === 0;
