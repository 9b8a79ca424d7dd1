import type { Elapsed } from "../../shared/contract/elapsed.ts";
import type { ThermometerReading } from "../../shared/contract/reading.ts";
import type { Signal } from "../../shared/contract/signal.ts";
import {
  doubted,
  FRESH_PROBE,
  followProbe,
  notFitted,
  type ProbeKind,
  type ProbeMemory,
  rateOf,
  signalOf,
} from "./probe.ts";
import { EMPTY_WINDOW } from "./rate-window.ts";

/** −2…45 °C: sea water in a room. 0.06 K: the step of a 12-bit thermometer. 20 bins of a minute: a rate. */
export const WATER_THERMOMETER: ProbeKind = {
  least: -2,
  most: 45,
  spikeFloor: 0.25,
  stillStep: 0.06,
  rate: { bins: 20, binMs: 60_000 },
};
export const ROOM_THERMOMETER: ProbeKind = { ...WATER_THERMOMETER, least: -20, most: 60, spikeFloor: 1 };

/** Faster than this, water is not what the probe is in: a bare tank cools by 1.4 K/h at most. A strong heater over a
 *  small box may be faster. */
const FASTEST_K_PER_H = 3;
const FASTEST_HEATS = 2;
/** And no water does this between two samples. */
const JUMP_K = 1;
const STUCK_MS = 6 * 3_600_000;
/** Out of the water until it has agreed with another thermometer for this long. */
const AGREE_AGAIN_MS = 600_000;
const AGREE_AGAIN_K = 0.5;
/** Long enough to hang it back after it was calibrated, and for its sleeve to follow. */
const HUNG_BACK_MS = 600_000;
/** As near as this to another it is back, and farther than that from all it is not. */
const BACK_K = 1;
const NOT_BACK_K = 2;
/** Half-width at k = 2 of a bare digital thermometer with its offset removed: common practice. */
const UNCERTAINTY_K = 0.2;

export interface ThermometerMemory {
  readonly probe: ProbeMemory;
  /** It once moved faster than water can; kept until it agrees with another or a person clears it. */
  readonly rateFault: boolean;
  /** The others have shown that it is not in the water: bad until it is forgiven, and it does not cut either. */
  readonly expelled: boolean;
  readonly agreeMs: number;
  /** What is left of the time in which it hangs in a cup, or is hung back into the water. */
  readonly outMs: number;
  /** The heater switched while the value stood still: only then is standing still suspicious. */
  readonly heaterMoved: boolean;
}

export const FRESH_THERMOMETER: ThermometerMemory = {
  probe: FRESH_PROBE,
  rateFault: false,
  expelled: false,
  agreeMs: 0,
  outMs: 0,
  heaterMoved: false,
};

export interface ThermometerScene {
  readonly elapsed: Elapsed;
  /** In a hold, shortly after one, and around a start of the return pump a fast change means nothing. */
  readonly rateMeansNothing: boolean;
  readonly heaterSwitched: boolean;
  /** Kelvin per millisecond that all heaters together make. */
  readonly fullKPerMs: number;
  /** It is being calibrated, so that it hangs in a cup. */
  readonly isOut: boolean;
}

export function readThermometer(
  memory: ThermometerMemory,
  reading: ThermometerReading | null,
  kind: ProbeKind,
  scene: ThermometerScene,
): { memory: ThermometerMemory; signal: Signal } {
  if (reading === null) return NOT_FITTED;
  const { elapsed } = scene;
  const outMs = scene.isOut ? HUNG_BACK_MS : Math.max(0, memory.outMs - elapsed.creditMs);
  const followed = followProbe(memory.probe, reading, kind, elapsed);
  // The window that follows must not hold the step that meant nothing.
  const isStill = outMs === 0 && !scene.rateMeansNothing;
  const probe = isStill ? followed : { ...followed, rate: EMPTY_WINDOW };
  const rate = probe.sinceSampleMs === 0 ? rateOf(probe, kind) : null;
  // Air may change as fast as it likes, and stand still although a heater works in the water.
  const inWater = kind !== ROOM_THERMOMETER;
  const fast = inWater && isStill && (isTooFast(rate, scene) || (!elapsed.gap && hasJumped(memory.probe, probe)));
  const next = {
    probe,
    rateFault: memory.rateFault || fast,
    expelled: memory.expelled,
    agreeMs: memory.agreeMs,
    outMs,
    heaterMoved: inWater && probe.stillMs > 0 && (memory.heaterMoved || scene.heaterSwitched),
  };
  const signal = signalOf(probe, reading, UNCERTAINTY_K);
  // What it says is the session's, and never the water's.
  if (outMs > 0) return { memory: next, signal: { ...doubted(signal, "bad", "being-calibrated"), lastValue: null } };
  if (probe.value === null) return { memory: next, signal };
  if (probe.stillMs > STUCK_MS && next.heaterMoved) return { memory: next, signal: doubted(signal, "bad", "stuck") };
  if (!next.rateFault) return { memory: next, signal };
  return { memory: next, signal: doubted(signal, next.expelled ? "bad" : "uncertain", "rate") };
}

const isTooFast = (rateKPerH: number | null, { fullKPerMs }: ThermometerScene): boolean =>
  rateKPerH !== null && Math.abs(rateKPerH) > Math.max(FASTEST_K_PER_H, FASTEST_HEATS * fullKPerMs * 3_600_000);

/** From one sample to the next, with nothing lost between them. */
const hasJumped = (before: ProbeMemory, { value }: ProbeMemory): boolean =>
  value !== null && before.value !== null && Math.abs(value - before.value) > JUMP_K;

/**
 * Forgives a rate fault after ten minutes of agreement with another thermometer that has none. The rate begins anew: its
 * window still holds the way back into the water.
 */
export function forgive(memory: ThermometerMemory, others: readonly Signal[], creditMs: number): ThermometerMemory {
  if (!memory.rateFault) return memory;
  const agrees = others.some((other) => agree(memory.probe.value, other));
  const agreeMs = agrees ? memory.agreeMs + creditMs : 0;
  if (agreeMs < AGREE_AGAIN_MS) return { ...memory, agreeMs };
  return believed(memory);
}

/** Nothing is held against it any more, and its rate begins anew. */
export const believed = (memory: ThermometerMemory): ThermometerMemory => ({
  ...memory,
  rateFault: false,
  expelled: false,
  agreeMs: 0,
  probe: { ...memory.probe, rate: EMPTY_WINDOW },
});

/** What is left is believed without it, and has been for its time: from the next scan on it has no say at all. */
export const expel = (memory: ThermometerMemory, isVouchedAgainst: boolean): ThermometerMemory =>
  memory.rateFault && !memory.expelled && isVouchedAgainst ? { ...memory, expelled: true } : memory;

/** Nobody says when it hangs in its place again. Near another it does; far from all, when its time is over, it is held
 *  against it that it does not. */
export function hangBack(memory: ThermometerMemory, wasOut: boolean, others: readonly Signal[]): ThermometerMemory {
  const { value } = memory.probe;
  if (!wasOut || memory.outMs === HUNG_BACK_MS || value === null) return memory;
  const isNear = (mostK: number) => others.some((other) => Math.abs(value - (other.value ?? Number.NaN)) <= mostK);
  if (isNear(BACK_K)) return { ...memory, outMs: 0 };
  const isAlone = others.every((other) => other.value === null);
  if (memory.outMs > 0 || isAlone || isNear(NOT_BACK_K)) return memory;
  return { ...memory, rateFault: true, agreeMs: 0 };
}

const agree = (own: number | null, other: Signal): boolean =>
  own !== null && other.value !== null && other.doubt !== "rate" && Math.abs(own - other.value) < AGREE_AGAIN_K;

const NOT_FITTED = { memory: FRESH_THERMOMETER, signal: notFitted };
