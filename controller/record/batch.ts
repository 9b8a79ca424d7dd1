import type { HistoryChannel } from "../../shared/contract/index.ts";

export interface Sample {
  /** Unix milliseconds, whole. */
  readonly atMs: number;
  readonly channel: HistoryChannel;
  readonly value: number;
}

/** A run of bytes that no encoder of ours has written, or that the disk has changed since. */
export class SpoiltBatch extends Error {
  override readonly name = "SpoiltBatch";
}

/** Numbers of the channels on disk. A number is never given to another channel. */
const CHANNEL_NUMBERS: Record<HistoryChannel, number> = {
  temperature: 1,
  salinity: 2,
  conductivity: 3,
  "thermometer-1": 4,
  "thermometer-2": 5,
  room: 6,
  "heat-duty": 7,
  "top-off-poured": 8,
};

/** Values are kept to this fraction: a tenth of the last digit that is ever shown. */
const STEPS_PER_UNIT = 10_000;

/** No batch spans more than this, so that a look-up knows how far back to begin. */
export const BATCH_SPAN_MS = 600_000;

/**
 * Samples of some minutes as one run of bytes: for each channel its number, how many samples, how many bytes, then time
 * and value as differences from the sample before. About four bytes a sample, so that a flush is a part of one disk
 * block. Times within a channel must not fall.
 */
export function encodeBatch(fromMs: number, samples: readonly Sample[]): Uint8Array {
  const bytes: number[] = [];
  for (const [channel, number] of Object.entries(CHANNEL_NUMBERS)) {
    const own = samples.filter((sample) => sample.channel === channel);
    if (own.length === 0) continue;
    const body: number[] = [];
    let [atMs, steps] = [fromMs, 0];
    for (const sample of own) {
      const nextSteps = Math.round(sample.value * STEPS_PER_UNIT);
      pushVarint(body, sample.atMs - atMs);
      pushVarint(body, nextSteps >= steps ? (nextSteps - steps) * 2 : (steps - nextSteps) * 2 - 1);
      [atMs, steps] = [sample.atMs, nextSteps];
    }
    pushVarint(bytes, number);
    pushVarint(bytes, own.length);
    pushVarint(bytes, body.length);
    for (const byte of body) bytes.push(byte);
  }
  return Uint8Array.from(bytes);
}

/**
 * Every sample of the wanted channels; the others are stepped over. Throws `SpoiltBatch` rather than believe a count, a
 * length or a number that cannot be: what is read takes no longer, and no more memory, than its bytes are worth.
 */
export function decodeBatch(fromMs: number, bytes: Uint8Array, wanted: readonly HistoryChannel[]): readonly Sample[] {
  const names = new Map(wanted.map((channel) => [CHANNEL_NUMBERS[channel], channel]));
  const samples: Sample[] = [];
  const heading: Cursor = { bytes, at: 0, end: bytes.length };
  while (heading.at < bytes.length) {
    const number = readVarint(heading);
    const count = readVarint(heading);
    const length = readVarint(heading);
    if (number < 1 || number > MOST_CHANNELS) throw new SpoiltBatch(`there is no channel ${number}`);
    if (length > bytes.length - heading.at) throw new SpoiltBatch("a channel is longer than what is left");
    if (count * LEAST_SAMPLE_BYTES > length) throw new SpoiltBatch(`${count} samples in ${length} bytes`);
    const channel = names.get(number);
    const body: Cursor = { bytes, at: heading.at, end: heading.at + length };
    if (channel !== undefined) readSamples(body, count, fromMs, channel, samples);
    heading.at = body.end;
  }
  return samples;
}

/** Numbers up to this may come from a newer program, and are stepped over. */
const MOST_CHANNELS = 127;
const LEAST_SAMPLE_BYTES = 2;

interface Cursor {
  readonly bytes: Uint8Array;
  at: number;
  readonly end: number;
}

function readSamples(body: Cursor, count: number, fromMs: number, channel: HistoryChannel, samples: Sample[]): void {
  let [atMs, steps] = [fromMs, 0];
  for (let index = 0; index < count; index += 1) {
    atMs += readVarint(body);
    if (atMs > fromMs + BATCH_SPAN_MS) throw new SpoiltBatch("a sample from after the end of its batch");
    const change = readVarint(body);
    steps += change % 2 === 0 ? change / 2 : -(change + 1) / 2;
    samples.push({ atMs, channel, value: steps / STEPS_PER_UNIT });
  }
  if (body.at !== body.end) throw new SpoiltBatch("bytes behind the last sample of a channel");
}

/** Seven bits a byte, lowest first. By arithmetic, since 32-bit shifts would cut large numbers. */
function pushVarint(bytes: number[], whole: number): void {
  let rest = whole;
  while (rest >= 128) {
    bytes.push((rest % 128) + 128);
    rest = Math.floor(rest / 128);
  }
  bytes.push(rest);
}

/** More could not be told from its neighbour as a number. */
const MOST_VARINT_BYTES = 8;

function readVarint(cursor: Cursor): number {
  let [value, weight] = [0, 1];
  for (let length = 1; length <= MOST_VARINT_BYTES; length += 1) {
    if (cursor.at >= cursor.end) throw new SpoiltBatch("it ends within a number");
    const byte = cursor.bytes[cursor.at] as number;
    cursor.at += 1;
    value += (byte % 128) * weight;
    if (byte < 128) {
      if (Number.isSafeInteger(value)) return value;
      break;
    }
    weight *= 128;
  }
  throw new SpoiltBatch("a number too large to be one");
}
