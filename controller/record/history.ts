import { join } from "node:path";
import type { HistoryAnswer, HistoryChannel } from "../../shared/contract/index.ts";
import { BATCH_SPAN_MS, decodeBatch, encodeBatch, type Sample, SpoiltBatch } from "./batch.ts";
import { emptyBuckets } from "./buckets.ts";
import type { RecordEvent } from "./events-between.ts";
import { describeNewerHistory } from "./newer-memory.ts";
import { MOST_NOTES, type Note } from "./notebook.ts";
import { openStore, type SpoiltPiece, type StoredBatch, type StoredEvent } from "./store.ts";

/** Quantities over time, and the log of what happened. What was taken is readable at once and on disk after a flush. */
export interface History {
  take(notes: readonly Note[]): void;
  /**
   * At most 1,500 buckets; fewer than asked for where they would be narrower than the samples are apart. Rejects with
   * the signal's reason when nobody wants the answer any more.
   */
  read(
    channels: readonly HistoryChannel[],
    fromMs: number,
    toMs: number,
    buckets: number,
    signal?: AbortSignal,
  ): Promise<HistoryAnswer>;
  /** Events, newest first, those not yet on disk included. */
  newest(most: number): readonly LoggedEvent[];
  /** Notes that are not on disk. */
  waiting(): number;
  /** What waits does not reach the disk at the moment. It is kept in memory, within bounds. */
  failed(): boolean;
  /** Why nothing is kept, where the file is of a newer program; null = it is not. */
  newer(): string | null;
  /** Sends to disk what waits. The timer does it by itself. */
  flush(): void;
  close(): Promise<void>;
}

export interface LoggedEvent extends RecordEvent {
  readonly atMs: number;
}

export interface HistoryOptions {
  /** Called when every note up to this number would survive a power cut. */
  readonly onKept?: (upTo: number) => void;
  /** Time between two flushes: what a power cut may take. */
  readonly flushMs?: number;
  /** An event does not wait that long. */
  readonly eventFlushMs?: number;
}

/** A rehearsal faster than the clock gathers more between two flushes than is wanted in memory. */
const MANY_NOTES = 250;
/** Notes written at once: about a millisecond of work. */
const NOTES_AT_ONCE = 500;
/** Batches read between two chances for others: about a millisecond of work. */
const BATCHES_AT_ONCE = 100;

export function openHistory(folder: string, options: HistoryOptions = {}): History {
  const store = openStore(join(folder, "history.db"));
  let pending: Note[] = [];
  const spoilt = new Map<number, SpoiltPiece>();
  const flush = () => {
    const notes = pending.slice(0, NOTES_AT_ONCE);
    const pieces = [...spoilt.values()];
    if (notes.length === 0 && pieces.length === 0) return;
    if (!store.put(batchesOf(notes), [...eventsOf(notes), ...pieces.map(eventOf)], pieces)) return;
    pending = pending.slice(notes.length);
    for (const { fromMs } of pieces) spoilt.delete(fromMs);
    const upTo = notes.at(-1)?.number ?? 0;
    void store.settle().then(() => {
      if (!store.failed() && upTo > 0) options.onKept?.(upTo);
    });
  };
  const timer = setInterval(flush, options.flushMs ?? 50_000);
  let soonTimer: NodeJS.Timeout | null = null;
  const soon = () => {
    soonTimer ??= setTimeout(() => {
      soonTimer = null;
      flush();
    }, options.eventFlushMs ?? 2_000);
  };
  return {
    take(notes) {
      pending = [...pending, ...notes].slice(-MOST_NOTES);
      if (pending.length > MANY_NOTES || notes.some(({ events }) => events.length > 0)) soon();
    },
    async read(channels, fromMs, toMs, wanted, signal) {
      const buckets = emptyBuckets(channels, fromMs, toMs, wanted);
      for (const { channel, atMs, value } of samplesOf(pending)) buckets.add(channel, atMs, value);
      let nextMs = fromMs - BATCH_SPAN_MS;
      for (;;) {
        signal?.throwIfAborted();
        const batches = store.batches(nextMs, toMs, BATCHES_AT_ONCE);
        for (const batch of batches) {
          for (const { channel, atMs, value } of samplesIn(batch, channels, spoilt)) buckets.add(channel, atMs, value);
        }
        const last = batches.at(-1);
        if (last === undefined || batches.length < BATCHES_AT_ONCE) break;
        nextMs = last.fromMs + 1;
        await new Promise(setImmediate);
      }
      if (spoilt.size > 0) soon();
      return buckets.answer();
    },
    newest(most) {
      const unsaved = eventsOf(pending).slice(-most).reverse();
      const saved = store.events(Number.MAX_SAFE_INTEGER, most - unsaved.length);
      return [...unsaved, ...saved].map(({ atMs, body }) => ({ atMs, ...(JSON.parse(body) as RecordEvent) }));
    },
    waiting: () => pending.length,
    failed: () => store.failed(),
    newer: () => {
      const version = store.newer();
      return version === null ? null : describeNewerHistory(version);
    },
    flush,
    async close() {
      clearInterval(timer);
      if (soonTimer !== null) clearTimeout(soonTimer);
      for (let before = -1; pending.length !== before; ) {
        before = pending.length;
        await store.settle();
        flush();
      }
      await store.close();
    },
  };
}

/** A piece that cannot be read is a gap from now on, and is set aside with the next flush. */
function samplesIn(
  { fromMs, body }: StoredBatch,
  channels: readonly HistoryChannel[],
  spoilt: Map<number, SpoiltPiece>,
): readonly Sample[] {
  if (spoilt.has(fromMs)) return [];
  try {
    return decodeBatch(fromMs, body, channels);
  } catch (error) {
    if (!(error instanceof SpoiltBatch)) throw error;
    spoilt.set(fromMs, { fromMs, why: error.message });
    return [];
  }
}

function eventOf({ fromMs, why }: SpoiltPiece): StoredEvent {
  const from = `${new Date(fromMs).toISOString().slice(0, 16).replace("T", " ")} UTC`;
  const words = `The history of the minutes from ${from} cannot be read (${why}); it was set aside and stays a gap.`;
  const event: RecordEvent = { kind: "history", subject: String(fromMs), words };
  return { atMs: fromMs, body: JSON.stringify(event) };
}

const samplesOf = (notes: readonly Note[]): Sample[] =>
  notes.flatMap(({ atMs, samples }) => samples.map(([channel, value]) => ({ atMs, channel, value })));

const eventsOf = (notes: readonly Note[]): StoredEvent[] =>
  notes.flatMap(({ atMs, events }) => events.map((event) => ({ atMs, body: JSON.stringify(event) })));

/** A new batch begins after ten minutes, and wherever the clock was put back. */
function batchesOf(notes: readonly Note[]): StoredBatch[] {
  const batches: StoredBatch[] = [];
  let own: Sample[] = [];
  const finish = () => {
    const fromMs = own[0]?.atMs;
    if (fromMs !== undefined) batches.push({ fromMs, body: encodeBatch(fromMs, own) });
    own = [];
  };
  for (const sample of samplesOf(notes)) {
    const [first, last] = [own[0], own.at(-1)];
    if (first !== undefined && last !== undefined) {
      if (sample.atMs < last.atMs || sample.atMs - first.atMs >= BATCH_SPAN_MS) finish();
    }
    own.push(sample);
  }
  finish();
  return batches;
}
