import type { HistoryAnswer, HistoryChannel } from "../../shared/contract/http.ts";

/**
 * Columns as the chart wants them: equal in length, time ascending, in seconds. A null breaks the line, so that a gap
 * looks like a gap. Each bucket keeps its lowest and highest value; nothing is smoothed.
 */
export interface TrendColumns {
  readonly bucketMs: number;
  /** A silence longer than this is a gap; a shorter one is only the pause between two samples. */
  readonly gapMs: number;
  /** Middle of each bucket. */
  readonly atS: readonly number[];
  readonly min: readonly (number | null)[];
  readonly max: readonly (number | null)[];
  readonly last: readonly (number | null)[];
}

export const emptyColumns = (bucketMs: number, gapMs: number): TrendColumns => ({
  bucketMs,
  gapMs,
  atS: [],
  min: [],
  max: [],
  last: [],
});

export function columnsFromHistory(
  answer: HistoryAnswer,
  channel: HistoryChannel,
  bucketMs: number,
  gapMs: number,
): TrendColumns {
  const history = answer.channels[channel];
  const filled = answer.atMs.flatMap((atMs, n): Bucket[] => {
    const last = history?.last[n] ?? null;
    if (last === null) return [];
    return [{ atMs, min: history?.min[n] ?? last, max: history?.max[n] ?? last, last }];
  });
  return filled.reduce(put, { columns: open(emptyColumns(bucketMs, gapMs)) }).columns;
}

/** Takes in a live value; null = there is none that could be believed, which breaks the line. */
export function withLive(columns: TrendColumns, atMs: number, value: number | null): TrendColumns {
  const middleMs = Math.floor(atMs / columns.bucketMs) * columns.bucketMs + columns.bucketMs / 2;
  const newest = columns.atS.length - 1;
  const newestMs = newest < 0 ? Number.NEGATIVE_INFINITY : columns.atS[newest]! * 1000;
  const isSameBucket = Math.abs(newestMs - middleMs) < columns.bucketMs / 2;
  // Older than what is drawn: a clock that was set back. Time on the axis only ascends.
  if (!isSameBucket && middleMs < newestMs) return columns;
  if (isSameBucket && value === null) return columns;
  const next = open(columns);
  if (isSameBucket && value !== null) {
    next.min[newest] = Math.min(next.min[newest] ?? value, value);
    next.max[newest] = Math.max(next.max[newest] ?? value, value);
    next.last[newest] = value;
    return next;
  }
  return put({ columns: next }, { atMs: middleMs, min: value, max: value, last: value }).columns;
}

/** Drops what lies before the drawn span. */
export function since(columns: TrendColumns, fromMs: number): TrendColumns {
  const first = columns.atS.findIndex((atS) => atS * 1000 >= fromMs);
  if (first === 0) return columns;
  const from = first < 0 ? columns.atS.length : first;
  return {
    ...columns,
    atS: columns.atS.slice(from),
    min: columns.min.slice(from),
    max: columns.max.slice(from),
    last: columns.last.slice(from),
  };
}

/** The chart in numbers, for whoever does not see it; null = nothing was measured in the span. */
export interface TrendSummary {
  readonly latest: number;
  readonly latestAtMs: number;
  readonly lowest: number;
  readonly highest: number;
  /** Breaks inside what was measured. */
  readonly gaps: number;
}

export function summarise(columns: TrendColumns): TrendSummary | null {
  const known = columns.last.flatMap((value, n) => (value === null ? [] : [n]));
  const newest = known.at(-1);
  if (newest === undefined) return null;
  return {
    latest: columns.last[newest]!,
    latestAtMs: columns.atS[newest]! * 1000,
    lowest: known.reduce((low, n) => Math.min(low, columns.min[n]!), Number.POSITIVE_INFINITY),
    highest: known.reduce((high, n) => Math.max(high, columns.max[n]!), Number.NEGATIVE_INFINITY),
    gaps: known.filter((n, place) => place > 0 && n - known[place - 1]! > 1).length,
  };
}

interface Bucket {
  readonly atMs: number;
  readonly min: number | null;
  readonly max: number | null;
  readonly last: number | null;
}

interface OpenColumns extends TrendColumns {
  readonly atS: number[];
  readonly min: (number | null)[];
  readonly max: (number | null)[];
  readonly last: (number | null)[];
}

const open = (columns: TrendColumns): OpenColumns => ({
  bucketMs: columns.bucketMs,
  gapMs: columns.gapMs,
  atS: [...columns.atS],
  min: [...columns.min],
  max: [...columns.max],
  last: [...columns.last],
});

/** Appends a bucket, after a null where the silence before it was a gap. */
function put({ columns }: { columns: OpenColumns }, bucket: Bucket): { columns: OpenColumns } {
  const newestS = columns.atS.at(-1);
  if (newestS !== undefined && bucket.atMs - newestS * 1000 > columns.gapMs)
    append(columns, { atMs: newestS * 1000 + columns.bucketMs, min: null, max: null, last: null });
  append(columns, bucket);
  return { columns };
}

function append(columns: OpenColumns, bucket: Bucket): void {
  columns.atS.push(bucket.atMs / 1000);
  columns.min.push(bucket.min);
  columns.max.push(bucket.max);
  columns.last.push(bucket.last);
}
