import { join } from "node:path";
import { HISTORY_CHANNELS, type HistoryChannel, heaterIn, type ScanRecord } from "../../shared/contract/index.ts";
import { type DurableMemory, type DurableMemoryOptions, openDurableMemory } from "./durable-memory.ts";
import { createEvents, type Events } from "./events.ts";
import { eventsBetween } from "./events-between.ts";
import { createHistory, type History } from "./history.ts";
import { openStore } from "./store.ts";

export * from "./durable-memory.ts";
export * from "./events.ts";
export * from "./events-between.ts";
export * from "./history.ts";
export { FolderInUse } from "./store.ts";

/** Everything that outlives the process, in one folder that belongs to one running controller. */
export interface OpenRecord {
  readonly memory: DurableMemory;
  readonly history: History;
  readonly events: Events;
  /** Takes what is worth keeping of a scan; `atMs` is wall time, or simulated time in a rehearsal. */
  note(record: ScanRecord, atMs: number): void;
  /** History or events do not reach the disk at the moment. They are kept in memory, within bounds. */
  historyFailed(): boolean;
  /** Sends to disk what waits. The timer does it by itself. */
  flush(): void;
  close(): Promise<void>;
}

export interface RecordOptions extends DurableMemoryOptions {
  /** Time between two flushes of history: what a power cut may take. */
  readonly flushMs?: number;
  /** An event does not wait that long. */
  readonly eventFlushMs?: number;
}

/** A rehearsal faster than the clock gathers more between two flushes than is wanted in memory. */
const MANY_SAMPLES = 2_000;

/** Rejects with `FolderInUse` when another controller runs on this folder; any other trouble is reported later. */
export async function openRecord(folder: string, options: RecordOptions = {}): Promise<OpenRecord> {
  const store = openStore(join(folder, "history.db"));
  const memory = await openDurableMemory(folder, options);
  const history = createHistory(store);
  const events = createEvents(store);
  const flush = () => {
    const [samples, lines] = [history.pending(), events.pending()];
    if (samples.batches.length === 0 && lines.events.length === 0) return;
    if (!store.put(samples.batches, lines.events)) return;
    samples.taken();
    lines.taken();
    void store.settle();
  };
  const timer = setInterval(flush, options.flushMs ?? 50_000);
  let eventTimer: NodeJS.Timeout | null = null;
  const soon = () => {
    eventTimer ??= setTimeout(() => {
      eventTimer = null;
      flush();
    }, options.eventFlushMs ?? 2_000);
  };
  let previous: ScanRecord | null = null;
  return {
    memory,
    history,
    events,
    note(record, atMs) {
      for (const channel of HISTORY_CHANNELS) {
        const value = channelValue(record, channel);
        if (value !== null) history.append(atMs, channel, value);
      }
      const news = eventsBetween(previous, record);
      previous = record;
      for (const event of news) events.append(atMs, event);
      if (news.length > 0 || history.waiting() > MANY_SAMPLES) soon();
    },
    flush,
    historyFailed: () => store.failed(),
    async close() {
      clearInterval(timer);
      if (eventTimer !== null) clearTimeout(eventTimer);
      await store.settle();
      flush();
      await Promise.all([store.close(), memory.close()]);
    },
  };
}

function channelValue(record: ScanRecord, channel: HistoryChannel): number | null {
  const { quantities, thermometers, topOff } = record;
  switch (channel) {
    case "temperature":
    case "salinity":
    case "conductivity":
    case "room":
      return quantities[channel].value;
    case "thermometer-1":
      return thermometers[0].value;
    case "thermometer-2":
      return thermometers[1].value;
    case "heat-duty":
      return heaterIn(record, "heater-1")?.dutyPercent ?? null;
    case "top-off-poured":
      return topOff.pouredTotalL;
  }
}
