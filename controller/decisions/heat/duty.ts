import type { HeatDurable, HeatVolatile } from "./memory.ts";
import { saturated } from "./memory.ts";

/** The share of time that the heater is on, as leaking means over a day and a week, moved once a minute. */
const MINUTE_MS = 60_000;
const DAY_MS = 86_400_000;
const WEEK_MS = 7 * DAY_MS;

export function countDuty(
  durable: HeatDurable,
  volatile: HeatVolatile,
  on: boolean,
  elapsedMs: number,
): { durable: HeatDurable; dutyOnMs: number; dutyAllMs: number } {
  const dutyOnMs = volatile.dutyOnMs + (on ? elapsedMs : 0);
  const dutyAllMs = volatile.dutyAllMs + elapsedMs;
  if (dutyAllMs < MINUTE_MS) return { durable, dutyOnMs, dutyAllMs };
  const share = dutyOnMs / dutyAllMs;
  const dutyKnownMs = saturated(durable.dutyKnownMs + dutyAllMs);
  const mean = (before: number, spanMs: number) =>
    before + (share - before) * Math.min(1, dutyAllMs / Math.min(spanMs, dutyKnownMs));
  return {
    durable: {
      ...durable,
      dutyDay: mean(durable.dutyDay, DAY_MS),
      // What careful heating was allowed says nothing of what the box needs: its share would feed on itself.
      dutyWeek: volatile.cautious ? durable.dutyWeek : mean(durable.dutyWeek, WEEK_MS),
      dutyKnownMs,
    },
    dutyOnMs: 0,
    dutyAllMs: 0,
  };
}

export const isDutyKnown = (durable: HeatDurable): boolean => durable.dutyKnownMs >= DAY_MS;
