import type { HistoryAnswer, HistoryChannel } from "../../shared/contract/index.ts";
import { SAMPLE_EVERY_MS } from "./notebook.ts";

/** No bucket is narrower than this, so that a healthy channel has a sample in every one. */
const NARROWEST_BUCKET_MS = 2 * SAMPLE_EVERY_MS;
export const MOST_BUCKETS = 1_500;

/** Gathers samples into buckets of equal width that keep minimum, maximum and last. Samples may come in any order. */
export interface Buckets {
  add(channel: HistoryChannel, atMs: number, value: number): void;
  answer(): HistoryAnswer;
}

export function emptyBuckets(
  channels: readonly HistoryChannel[],
  fromMs: number,
  toMs: number,
  wanted: number,
): Buckets {
  const spanMs = Math.max(1, toMs - fromMs);
  const count = Math.max(1, Math.min(wanted, MOST_BUCKETS, Math.floor(spanMs / NARROWEST_BUCKET_MS)));
  const widthMs = spanMs / count;
  const columns = new Map(channels.map((channel) => [channel, emptyColumns(count)]));
  return {
    add(channel, atMs, value) {
      const column = columns.get(channel);
      if (column === undefined || atMs < fromMs || atMs > toMs) return;
      const index = Math.min(count - 1, Math.floor((atMs - fromMs) / widthMs));
      const [min, max] = [column.min[index] ?? null, column.max[index] ?? null];
      if (min === null || value < min) column.min[index] = value;
      if (max === null || value > max) column.max[index] = value;
      if (atMs < (column.lastAtMs[index] as number)) return;
      column.last[index] = value;
      column.lastAtMs[index] = atMs;
    },
    answer: () => ({
      version: 1,
      atMs: Array.from({ length: count }, (_, index) => Math.round(fromMs + (index + 0.5) * widthMs)),
      channels: Object.fromEntries([...columns].map(([channel, { min, max, last }]) => [channel, { min, max, last }])),
    }),
  };
}

function emptyColumns(count: number) {
  const empty = (): (number | null)[] => Array.from({ length: count }, () => null);
  return {
    min: empty(),
    max: empty(),
    last: empty(),
    lastAtMs: new Float64Array(count).fill(Number.NEGATIVE_INFINITY),
  };
}
