import { bootChip, type Chip, CLOCK_HZ, flashOf, type PinLevel } from "../system/rig/chip.ts";

/** Messages of the guard firmware, built here from its description and not by the controller's own code. */
export const feed = (counter: number): number[] => {
  const payload = [1, counter & 0x7f, (counter >> 7) & 0x7f, (counter >> 14) & 0x7f];
  return [0xf0, 0x0e, ...payload, crc7(payload), 0xf7];
};
export const SYSTEM_RESET = [0xff];
export const digital = (port: number, levels: number): number[] => [0x90 | port, levels & 0x7f, (levels >> 7) & 1];
export const queryPin = (pin: number): number[] => [0xf0, 0x6d, pin, 0xf7];

/** CRC-7 with the polynomial x⁷ + x³ + 1, bit by bit over the message followed by seven zeros. */
export function crc7(bytes: readonly number[]): number {
  const bits = bytes.flatMap((byte) => Array.from({ length: 8 }, (_, index) => (byte >> (7 - index)) & 1));
  const padded = [...bits, 0, 0, 0, 0, 0, 0, 0];
  for (let at = 0; at < bits.length; at += 1) {
    if (padded[at] === 0) continue;
    for (const [offset, bit] of [1, 0, 0, 0, 1, 0, 0, 1].entries()) (padded[at + offset] as number) ^= bit;
  }
  return padded.slice(bits.length).reduce((value, bit) => value * 2 + bit, 0);
}

export interface Bench {
  readonly chip: Chip;
  /** Everything the chip has said since the last `heard`. */
  heard(): number[];
  /** Answers of one kind of sysex among what was heard. */
  say(...messages: readonly (readonly number[])[]): void;
  runMs(ms: number): void;
  /** Edges of a pin since the last call. */
  pulses(pin: number): number;
  /** Cycles since power-on. */
  readonly nowMs: number;
  /** Keeps feeding for so long, ten times a second. */
  feedMs(ms: number): void;
}

/** The firmware on the chip without any wire in between: as fast as the machine can, and always the same. */
export function benchWith(hex: string, closed: ReadonlySet<number> = new Set()): Bench {
  const said: number[] = [];
  const edges = new Map<number, number>();
  const onPin = (pin: number, _level: PinLevel) => edges.set(pin, (edges.get(pin) ?? 0) + 1);
  const chip = bootChip(flashOf(hex), closed, (byte) => said.push(byte), onPin);
  let ms = 0;
  let counter = 0;
  const runMs = (forMs: number) => {
    chip.run((forMs * CLOCK_HZ) / 1000);
    ms += forMs;
  };
  return {
    chip,
    heard: () => said.splice(0),
    say: (...messages) => chip.receive(Uint8Array.from(messages.flat())),
    runMs,
    pulses(pin) {
      const count = edges.get(pin) ?? 0;
      edges.set(pin, 0);
      return count;
    },
    get nowMs() {
      return ms;
    },
    feedMs(forMs) {
      for (let left = forMs; left > 0; left -= 100) {
        counter += 1;
        chip.receive(Uint8Array.from(feed(counter)));
        runMs(Math.min(100, left));
      }
    },
  };
}

/** Every sysex message in what was heard, without its start and end. */
export function sysexIn(bytes: readonly number[]): number[][] {
  const found: number[][] = [];
  let open: number[] | null = null;
  for (const byte of bytes) {
    if (byte === 0xf0) open = [];
    else if (byte === 0xf7 && open) {
      found.push(open);
      open = null;
    } else open?.push(byte);
  }
  return found;
}

/** The last report of the firmware about itself. */
export function reportIn(bytes: readonly number[]) {
  const report = sysexIn(bytes).findLast(([id, kind]) => id === 0x0e && kind === 3);
  if (report === undefined) return null;
  const [, , low, high, state, outputs] = report as [number, number, number, number, number, number];
  return {
    counter: low | (high << 7),
    state: (["unarmed", "armed", "tripped"] as const)[state & 3],
    pumpLocked: (state & 4) !== 0,
    afterHang: (state & 8) !== 0,
    outputs,
    levels: report.slice(6, 9),
    checked: crc7(report.slice(1, -1)) === report.at(-1),
  };
}
