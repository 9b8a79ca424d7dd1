import type { Doubtful } from "../../../shared/contract/ledger.ts";
import type { FanSeen } from "../fan.ts";
import { joined } from "./drying.ts";
import type { Hour } from "./memory.ts";
import type { Window } from "./stories.ts";

/** What a window of hours comes to: least squares through salinity and through litres, with the same weights, so that a
 *  sudden change stands in the same proportion in both as it did in the water. */

export interface Expected {
  readonly evaporationLPerDay: number;
  /** Share, one standard deviation. */
  readonly evaporationDoubt: number;
  /** What a fan takes beside it; 0 = there is none. */
  readonly fanLPerDay: number;
  readonly perLitre: number;
  /** Litres of one fill: no balance is finer than a part of it. */
  readonly fillL: number;
  /** Litres in the tank for a litre that the pump says. */
  readonly litreShare: Doubtful;
}

/** Below these a window means little. */
export const LEAST_HOURS = 12;
const LEAST_READINGS_SHARE = 0.6;
const HOURS_A_DAY = 24;
const MS_A_DAY = 86_400_000;
/** Evaporation follows lamp and room through the day: this much of half a day's worth. */
const DAILY_COURSE = 0.25;
/** A clean probe's own drift, and what an hour's mean is good for (trade facts §10). */
const DRIFT_A_DAY = 0.02;
const SALINITY_FLOOR = 0.025;
const FILL_NOISE = 0.4;
const BLIND_DOUBT = 0.5;
/** In an hour in which nobody knows what the fan did, it may have blown or not. */
const FAN_DOUBT = 0.5;
/** Salinity is taken back to the mark by what must be missing, which is known no better than this. */
const MISSING_DOUBT = 0.7;

/** The last `count` hours, or null where too few of them say anything. */
export function windowOf(hours: readonly Hour[], count: number, expected: Expected): Window | null {
  if (hours.length < LEAST_HOURS) return null;
  const span = hours.slice(-count);
  const first = span[0]!;
  const last = span[span.length - 1]!;
  const days = (last.endMs - first.endMs) / MS_A_DAY;
  const litres = changeOver(
    span,
    (hour) =>
      hour.pouredL * expected.litreShare.value -
      (expected.evaporationLPerDay * (hour.fullAtDryingMs - first.fullAtDryingMs)) / MS_A_DAY,
  );
  const salinity = salinityOver(span);
  const perDay = expected.evaporationLPerDay * speedOver(span);
  const evaporationL = perDay * days;
  const courseL = DAILY_COURSE * perDay * Math.min(days, 0.5);
  // Since the water was last at its mark, nobody knows what evaporated beyond what was expected.
  const blindDays = (last.endMs - last.fullAtMs) / MS_A_DAY;
  return {
    days,
    blindDays,
    litres: litres ?? 0,
    litresDeviation: Math.hypot(
      expected.evaporationDoubt * evaporationL,
      days >= 1 ? courseL / 2 : courseL,
      FILL_NOISE * expected.fillL,
      BLIND_DOUBT * perDay * blindDays,
      FAN_DOUBT * expected.fanLPerDay * (span.filter(({ fan }) => fan === "unknown").length / HOURS_A_DAY),
    ),
    salinity,
    salinityDeviation: Math.hypot(
      SALINITY_FLOOR,
      DRIFT_A_DAY * days,
      MISSING_DOUBT * perDay * blindDays * expected.perLitre,
    ),
    perLitre: expected.perLitre,
    pouredL: (last.pouredL - first.pouredL) * expected.litreShare.value,
  };
}

function salinityOver(span: readonly Hour[]): number | null {
  const readings = span.filter((hour) => hour.salinity !== null).length;
  return readings < LEAST_READINGS_SHARE * span.length ? null : changeOver(span, (hour) => hour.salinity);
}

/** Slope of the least-squares line times the length of the window. */
function changeOver(span: readonly Hour[], value: (hour: Hour) => number | null): number | null {
  let count = 0;
  let sumX = 0;
  let sumY = 0;
  let sumXX = 0;
  let sumXY = 0;
  for (const hour of span) {
    const y = value(hour);
    if (y === null) continue;
    const x = (hour.endMs - span[0]!.endMs) / MS_A_DAY;
    count += 1;
    sumX += x;
    sumY += y;
    sumXX += x * x;
    sumXY += x * y;
  }
  const spread = sumXX - (sumX * sumX) / count;
  if (count < 3 || spread <= 0) return null;
  const slope = (sumXY - (sumX * sumY) / count) / spread;
  return (slope * (span[span.length - 1]!.endMs - span[0]!.endMs)) / MS_A_DAY;
}

/** How much faster than without a fan the water went, between the first full mark and the last. */
function speedOver(span: readonly Hour[]): number {
  const first = span[0];
  const last = span[span.length - 1];
  if (first === undefined || last === undefined || last.fullAtMs === first.fullAtMs) return 1;
  return (last.fullAtDryingMs - first.fullAtDryingMs) / (last.fullAtMs - first.fullAtMs);
}

/** The hours from which a day's litres are taken. */
const lastDay = (hours: readonly Hour[]): readonly Hour[] => hours.slice(-HOURS_A_DAY - 1);

export const fanOver = (hours: readonly Hour[]): FanSeen =>
  lastDay(hours).reduce<FanSeen | null>((fan, hour) => joined(fan, hour.fan), null) ?? "unknown";

export const dayRanAt = (hours: readonly Hour[]): number => speedOver(lastDay(hours));

/** Litres a day over the last day at most, whole fills only, with what flow, fills and the hour of the day leave open. */
export function litresPerDay(hours: readonly Hour[], { fillL, litreShare }: Expected): Doubtful | null {
  const span = lastDay(hours);
  const first = span[0];
  const last = span[span.length - 1];
  if (first === undefined || last === undefined || span.length < LEAST_HOURS) return null;
  const days = (last.fullAtMs - first.fullAtMs) / MS_A_DAY;
  if (days < 1 / 4) return null;
  const value = ((last.pouredL - first.pouredL) / days) * litreShare.value;
  const course = DAILY_COURSE * (1 - Math.min(1, days)) * value;
  const flow = (litreShare.uncertainty / litreShare.value) * value;
  return { value, uncertainty: Math.hypot(flow, 2 * Math.hypot((FILL_NOISE * fillL) / days, course)) };
}
