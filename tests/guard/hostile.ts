import { GUARD_PINS } from "../system/rig/guard-firmware.ts";
import { type Bench, benchWith, digital, feed, queryPin, sysexIn } from "./conversation.ts";

/** What a stream of bytes has commanded, told from the protocol's text alone and without a look at the firmware. */
export interface Commanded {
  /** Bit 0 to 3: pins 8 to 11. */
  readonly now: number;
  /** Every output that was commanded on at any moment of the stream. */
  readonly ever: number;
}

/** From a system reset on, all within less than the two seconds after which the guard would trip. */
export function commandedBy(stream: readonly number[]): Commanded {
  const state = { now: 0, ever: 0, last: null as number | null, armed: false };
  const want = (mask: number, on: number) => {
    if (!state.armed) return;
    state.now = (state.now & ~mask) | (on & mask);
    state.ever |= state.now;
  };
  for (const [head, ...rest] of messagesIn(stream)) {
    if (head === 0xff) Object.assign(state, { now: 0, last: null, armed: false });
    else if (head === 0xf0) takeFeed(state, rest);
    else if (head === 0x91 && rest.length >= 2) want(0b1111, rest[0] as number);
    else if (head === 0xf5 && rest.length >= 2) {
      const bit = (rest[0] as number) - GUARD_PINS.pump;
      if (bit >= 0 && bit < 4) want(1 << bit, ((rest[1] as number) & 1) << bit);
    }
  }
  return { now: state.now, ever: state.ever };
}

function takeFeed(state: { last: number | null; armed: boolean }, body: readonly number[]): void {
  const [id, kind, low = 0, middle = 0, high = 0] = body;
  if (body.length !== 7 || id !== 0x0e || kind !== 1 || body[6] !== 0xf7) return;
  const counter = low | (middle << 7) | (high << 14);
  if (feed(counter).join() !== [0xf0, ...body].join()) return;
  const ahead = state.last === null ? null : (counter - state.last + 2 ** 21) % 2 ** 21;
  if (ahead === null) state.last = counter;
  else if (ahead > 0 && ahead < 2 ** 20) Object.assign(state, { last: counter, armed: true });
}

/** Split at every byte of 0x80 or more; the end of a sysex belongs to it, and any other such byte cuts it short. */
function messagesIn(stream: readonly number[]): number[][] {
  const messages: number[][] = [];
  for (const byte of stream) {
    const open = messages.at(-1);
    if (byte === 0xf7 && open?.[0] === 0xf0 && open.at(-1) !== 0xf7) open.push(byte);
    else if (byte >= 0x80) messages.push([byte]);
    else if (open?.at(-1) !== 0xf7) open?.push(byte);
  }
  return messages.filter(([head, ...rest]) => head !== 0xf0 || rest.at(-1) === 0xf7);
}

export interface HostileOutcome {
  readonly streams: number;
  readonly seed: number;
  /** Streams of which the firmware made something else than was commanded, as hexadecimal. */
  readonly disobeyed: readonly string[];
  /** In how many streams something was commanded on, and came on. */
  readonly withOutputOn: number;
  readonly safeLevelsChanged: number;
}

const STREAMS_PER_CHIP = 250;
const LONGEST = 72;

/** Sends made-up, spoilt and random bytes at the firmware, and compares its outputs with what they commanded. */
export function tryHostileStreams(hex: string, streams: number, seed: number): HostileOutcome {
  const next = randomFrom(seed);
  const disobeyed: string[] = [];
  let withOutputOn = 0;
  let safeLevelsChanged = 0;
  for (let done = 0; done < streams; done += STREAMS_PER_CHIP) {
    const bench = benchWith(hex);
    bench.runMs(20);
    const described = describedBy(bench);
    for (let count = 0; count < Math.min(STREAMS_PER_CHIP, streams - done); count += 1) {
      const stream = [0xff, ...hostileStream(next)].slice(0, LONGEST);
      const commanded = commandedBy(stream);
      const seen = outputsUnder(bench, stream);
      if (commanded.now > 0) withOutputOn += 1;
      // What is on at the end must be what was commanded, and nothing else may have flashed up meanwhile.
      if (seen.now !== commanded.now || (seen.ever & ~commanded.ever) !== 0)
        disobeyed.push(stream.map((byte) => byte.toString(16).padStart(2, "0")).join(" "));
    }
    bench.say([0xf7], [0xff]);
    bench.runMs(5);
    if (describedBy(bench) !== described || outputsUnder(bench, []).now !== 0) safeLevelsChanged += 1;
  }
  return { streams, seed, disobeyed, withOutputOn, safeLevelsChanged };
}

const PINS = [GUARD_PINS.pump, GUARD_PINS.waterGuard, GUARD_PINS.heater, GUARD_PINS.heatGuard];

function outputsUnder(bench: Bench, stream: readonly number[]): Commanded {
  // What the stream before it has left on falls first; every edge from here on is the stream's own.
  bench.say([0xf7], [0xff]);
  bench.runMs(1);
  for (const pin of PINS) bench.pulses(pin);
  bench.say(stream);
  bench.runMs(stream.length * 0.18 + 1);
  const edges = PINS.map((pin) => bench.pulses(pin));
  bench.runMs(3);
  const now = PINS.map((pin) => (bench.chip.level(pin) === "high" ? 1 : Math.min(1, bench.pulses(pin))));
  const ever = now.map((on, index) => (on || (edges[index] as number) > 0 ? 1 : 0));
  return { now: bitsOf(now), ever: bitsOf(ever) };
}

const bitsOf = (flags: readonly number[]): number => flags.reduce((bits, flag, index) => bits | (flag << index), 0);

function describedBy(bench: Bench): string {
  bench.heard();
  bench.say([0xf7], [0xf0, 0x0e, 2, 0xf7]);
  bench.runMs(20);
  return String(sysexIn(bench.heard()).find(([id, kind]) => id === 0x0e && kind === 2));
}

/** Either noise, or a conversation that means something, spoilt here and there. */
function hostileStream(next: (below: number) => number): number[] {
  const kind = next(4);
  if (kind === 0) return Array.from({ length: 40 + next(32) }, () => next(256));
  const counter = next(2 ** 21);
  const arming = kind === 1 && next(2) === 0 ? [] : [feed(counter), feed((counter + 1 + next(3)) % 2 ** 21)];
  const messages = [...arming, ...Array.from({ length: 2 + next(5) }, () => anyMessage(next, counter))];
  const whole = messages.flat();
  return kind === 3 ? whole : whole.flatMap((byte) => (next(25) === 0 ? spoilt(byte, next) : [byte]));
}

function anyMessage(next: (below: number) => number, counter: number): number[] {
  const choices = [
    () => digital(next(3), next(256)),
    () => digital(1, next(16)),
    () => [0xf5, 6 + next(8), next(2)],
    () => [0xf4, next(22), next(13)],
    () => [0xe0 | next(16), next(128), next(128)],
    () => queryPin(next(24)),
    () => feed((counter + next(8)) % 2 ** 21),
    () => [0xf0, 0x0e, next(5), ...Array.from({ length: next(14) }, () => next(128)), 0xf7],
    () => [0xf0, 0x6f, 8 + next(4), 1, 0, 0xf7],
    () => [0xc0 | next(8), 1, 0xd0 | next(4), 1],
    () => [0xff],
  ];
  return (choices[next(choices.length)] as () => number[])();
}

function spoilt(byte: number, next: (below: number) => number): number[] {
  switch (next(4)) {
    case 0:
      return [];
    case 1:
      return [byte, byte];
    case 2:
      return [byte ^ (1 << next(8))];
    default:
      return [next(256), byte];
  }
}

/** A generator of the kind x' = x·a + c mod 2³², of which the upper bits are used (Numerical Recipes' constants). */
function randomFrom(seed: number): (below: number) => number {
  let state = seed >>> 0;
  return (below) => {
    state = (Math.imul(state, 1_664_525) + 1_013_904_223) >>> 0;
    return Math.floor((state / 2 ** 32) * below);
  };
}
