import type { HistoryAnswer, HistoryChannel } from "../../shared/contract/index.ts";
import { decodeBatch, encodeBatch, type Sample } from "./batch.ts";
import { emptyBuckets, SAMPLE_EVERY_MS } from "./buckets.ts";
import type { Store, StoredBatch } from "./store.ts";

/** Quantities over time. What was appended is readable at once and on disk after the next flush. */
export interface History {
  /** Keeps the value if the channel's last one is old enough. A value that is not finite is no sample. */
  append(atMs: number, channel: HistoryChannel, value: number): void;
  /** At most 1,500 buckets; fewer than asked for where they would be narrower than the samples are apart. */
  read(channels: readonly HistoryChannel[], fromMs: number, toMs: number, buckets: number): Promise<HistoryAnswer>;
  /** Samples that are not on disk. */
  waiting(): number;
  /** The oldest of what waits for the disk, and how to say that it got there. */
  pending(): { readonly batches: readonly StoredBatch[]; taken(): void };
}

/** Should the disk be gone, this many samples are kept without it: the last six hours of eight channels. */
const MOST_PENDING = 18_000;
/** Samples written at once: about a millisecond of work. */
const MOST_AT_ONCE = 4_000;
/** No batch spans more than this, so that a look-up knows how far back to begin. */
const BATCH_SPAN_MS = 600_000;
/** Batches read between two chances for the scan: about a millisecond of work. */
const BATCHES_AT_ONCE = 100;

export function createHistory(store: Store): History {
  let waiting: Sample[] = [];
  const lastAtMs = new Map<HistoryChannel, number>();
  return {
    append(atMs, channel, value) {
      if (!Number.isFinite(value) || !Number.isFinite(atMs)) return;
      const at = Math.round(atMs);
      const sinceMs = at - (lastAtMs.get(channel) ?? Number.NEGATIVE_INFINITY);
      if (sinceMs >= 0 && sinceMs < SAMPLE_EVERY_MS) return;
      lastAtMs.set(channel, at);
      waiting.push({ atMs: at, channel, value });
      if (waiting.length > MOST_PENDING) waiting = waiting.slice(-MOST_PENDING / 2);
    },
    async read(channels, fromMs, toMs, wanted) {
      const buckets = emptyBuckets(channels, fromMs, toMs, wanted);
      for (const { channel, atMs, value } of waiting) buckets.add(channel, atMs, value);
      let nextMs = fromMs - BATCH_SPAN_MS;
      for (;;) {
        const batches = store.batches(nextMs, toMs, BATCHES_AT_ONCE);
        for (const batch of batches) decodeBatch(batch.fromMs, batch.body, channels, buckets.add);
        const last = batches.at(-1);
        if (last === undefined || batches.length < BATCHES_AT_ONCE) return buckets.answer();
        nextMs = last.fromMs + 1;
        await new Promise(setImmediate);
      }
    },
    waiting: () => waiting.length,
    pending() {
      const sent = waiting.slice(0, MOST_AT_ONCE);
      return {
        batches: batchesOf(sent),
        taken: () => {
          waiting = waiting.slice(sent.length);
        },
      };
    },
  };
}

/** A new batch begins after ten minutes, and wherever the clock was put back. */
function batchesOf(samples: readonly Sample[]): StoredBatch[] {
  const batches: StoredBatch[] = [];
  let own: Sample[] = [];
  const finish = () => {
    const fromMs = own[0]?.atMs;
    if (fromMs !== undefined) batches.push({ fromMs, body: encodeBatch(fromMs, own) });
    own = [];
  };
  for (const sample of samples) {
    const [first, last] = [own[0], own.at(-1)];
    if (first !== undefined && last !== undefined) {
      if (sample.atMs < last.atMs || sample.atMs - first.atMs >= BATCH_SPAN_MS) finish();
    }
    own.push(sample);
  }
  finish();
  return batches;
}
