import {
  createMeter,
  HISTORY_CHANNELS,
  type HistoryChannel,
  heaterIn,
  type ScanRecord,
} from "../../shared/contract/index.ts";
import { eventsBetween, type RecordEvent } from "./events-between.ts";

/** What one scan left that is worth keeping: samples of its quantities, and what happened in it. */
export interface Note {
  /** Counts up from 1 with each start. */
  readonly number: number;
  /** Wall time, or simulated time in a rehearsal, Unix milliseconds, whole. */
  readonly atMs: number;
  readonly samples: readonly (readonly [channel: HistoryChannel, value: number])[];
  readonly events: readonly RecordEvent[];
}

/**
 * Notes that wait until they are kept on disk by somebody else. It is filled by the scan, so it is quick and bounded:
 * where nobody keeps them the oldest go.
 */
export interface Notebook {
  note(record: ScanRecord, atMs: number): void;
  /** Takes in what an earlier process left behind. Before anything else. */
  resume(notes: readonly Omit<Note, "number">[]): void;
  /** The oldest notes beyond a number, at most so many. */
  after(number: number, most: number): readonly Note[];
  /** Everything up to this number is on disk. */
  kept(upTo: number): void;
  waiting(): readonly Note[];
}

/** A channel is sampled at most this often. */
export const SAMPLE_EVERY_MS = 10_000;
/** Six hours of samples. */
export const MOST_NOTES = 2_200;
/**
 * What happens by itself is rare; what is asked may come at any rate, and must not fill the disk. By the time that the
 * box lives in, so that a fast rehearsal may have as much in its day as a box.
 */
export const EVENT_ALLOWANCE = { burst: 200, perSecond: 1 / 60 } as const;
export const REQUEST_ALLOWANCE = { burst: 60, perSecond: 1 / 60 } as const;

export function createNotebook(): Notebook {
  let notes: Note[] = [];
  let lastNumber = 0;
  let previous: ScanRecord | null = null;
  const sampledAtMs = new Map<HistoryChannel, number>();
  const bounded = boundEvents();
  const add = (note: Omit<Note, "number">) => {
    lastNumber += 1;
    notes.push({ ...note, number: lastNumber });
    if (notes.length > MOST_NOTES) notes = notes.slice(-MOST_NOTES);
  };
  return {
    note(record, wallMs) {
      const atMs = Math.round(wallMs);
      const samples = samplesDue(record, atMs, sampledAtMs);
      const events = bounded(eventsBetween(previous, record), atMs);
      previous = record;
      if (samples.length > 0 || events.length > 0) add({ atMs, samples, events });
    },
    resume: (left) => left.forEach(add),
    after(number, most) {
      const from = notes.findIndex((note) => note.number > number);
      return from < 0 ? [] : notes.slice(from, from + most);
    },
    kept(upTo) {
      notes = notes.filter(({ number }) => number > upTo);
    },
    waiting: () => notes,
  };
}

function samplesDue(record: ScanRecord, atMs: number, sampledAtMs: Map<HistoryChannel, number>): Note["samples"] {
  if (!Number.isFinite(atMs)) return [];
  const due: (readonly [HistoryChannel, number])[] = [];
  for (const channel of HISTORY_CHANNELS) {
    // After a clock was put back every value is a sample again.
    const sinceMs = atMs - (sampledAtMs.get(channel) ?? Number.NEGATIVE_INFINITY);
    if (sinceMs >= 0 && sinceMs < SAMPLE_EVERY_MS) continue;
    const value = channelValue(record, channel);
    if (value === null || !Number.isFinite(value)) continue;
    sampledAtMs.set(channel, atMs);
    due.push([channel, value]);
  }
  return due;
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

/** Lets through what the allowances hold; how much was left out is an event itself, once there is room for it. */
function boundEvents(): (events: readonly RecordEvent[], atMs: number) => readonly RecordEvent[] {
  const meters = { asked: createMeter(REQUEST_ALLOWANCE), happened: createMeter(EVENT_ALLOWANCE) };
  let leftOut = 0;
  return (events, atMs) => {
    if (events.length === 0 && leftOut === 0) return events;
    const through: RecordEvent[] = [];
    for (const event of events) {
      const meter = event.kind === "request-answered" ? meters.asked : meters.happened;
      if (meter.take(1, atMs)) through.push(event);
      else leftOut += 1;
    }
    if (leftOut > 0 && events.length === 0 && meters.happened.take(1, atMs)) {
      through.push({ kind: "left-out", subject: null, words: `${leftOut} more were not kept: too many at once.` });
      leftOut = 0;
    }
    return through;
  };
}
