import type { HistoryChannel } from "../../shared/contract/index.ts";

export interface Sample {
  /** Unix milliseconds, whole. */
  readonly atMs: number;
  readonly channel: HistoryChannel;
  readonly value: number;
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

/** Calls `take` for every sample of the wanted channels; the others are stepped over. */
export function decodeBatch(
  fromMs: number,
  bytes: Uint8Array,
  wanted: readonly HistoryChannel[],
  take: (channel: HistoryChannel, atMs: number, value: number) => void,
): void {
  const names = new Map(wanted.map((channel) => [CHANNEL_NUMBERS[channel], channel]));
  const cursor = { at: 0 };
  while (cursor.at < bytes.length) {
    const channel = names.get(readVarint(bytes, cursor));
    const count = readVarint(bytes, cursor);
    const length = readVarint(bytes, cursor);
    const end = cursor.at + length;
    let [atMs, steps] = [fromMs, 0];
    for (let index = 0; channel !== undefined && index < count; index += 1) {
      atMs += readVarint(bytes, cursor);
      const change = readVarint(bytes, cursor);
      steps += change % 2 === 0 ? change / 2 : -(change + 1) / 2;
      take(channel, atMs, steps / STEPS_PER_UNIT);
    }
    cursor.at = end;
  }
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

function readVarint(bytes: Uint8Array, cursor: { at: number }): number {
  let [value, weight] = [0, 1];
  for (;;) {
    const byte = bytes[cursor.at] ?? 0;
    cursor.at += 1;
    value += (byte % 128) * weight;
    if (byte < 128) return value;
    weight *= 128;
  }
}
