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

/** Faster than this, water is not what the probe is in: a bare tank cools by 1.4 K/h at most. */
const FASTEST_K_PER_H = 3;
const STUCK_MS = 6 * 3_600_000;
/** Out of the water until it has agreed with another thermometer for this long. */
const AGREE_AGAIN_MS = 600_000;
const AGREE_AGAIN_K = 0.5;
/** Half-width at k = 2 of a bare digital thermometer with its offset removed: common practice. */
const UNCERTAINTY_K = 0.2;

export interface ThermometerMemory {
  readonly probe: ProbeMemory;
  /** It once moved faster than water can; kept until it agrees with another or a person clears it. */
  readonly rateFault: boolean;
  readonly agreeMs: number;
  /** The heater switched while the value stood still: only then is standing still suspicious. */
  readonly heaterMoved: boolean;
}

export const FRESH_THERMOMETER: ThermometerMemory = {
  probe: FRESH_PROBE,
  rateFault: false,
  agreeMs: 0,
  heaterMoved: false,
};

export interface ThermometerScene {
  readonly elapsed: Elapsed;
  /** In a hold, shortly after one, and around a start of the return pump a fast change means nothing. */
  readonly rateMeansNothing: boolean;
  readonly heaterSwitched: boolean;
}

export function readThermometer(
  memory: ThermometerMemory,
  reading: ThermometerReading | null,
  kind: ProbeKind,
  scene: ThermometerScene,
): { memory: ThermometerMemory; signal: Signal } {
  if (reading === null) return NOT_FITTED;
  const probe = followProbe(memory.probe, reading, kind, scene.elapsed);
  const rate = probe.sinceSampleMs === 0 ? rateOf(probe, kind) : null;
  // Air may change as fast as it likes, and stand still although a heater works in the water.
  const inWater = kind !== ROOM_THERMOMETER;
  const fast = inWater && rate !== null && Math.abs(rate) > FASTEST_K_PER_H && !scene.rateMeansNothing;
  const next = {
    probe,
    rateFault: memory.rateFault || fast,
    agreeMs: memory.agreeMs,
    heaterMoved: inWater && probe.stillMs > 0 && (memory.heaterMoved || scene.heaterSwitched),
  };
  const signal = signalOf(probe, reading, UNCERTAINTY_K);
  if (probe.value === null) return { memory: next, signal };
  if (probe.stillMs > STUCK_MS && next.heaterMoved) return { memory: next, signal: doubted(signal, "bad", "stuck") };
  return { memory: next, signal: next.rateFault ? doubted(signal, "uncertain", "rate") : signal };
}

/**
 * Forgives a rate fault after ten minutes of agreement with another thermometer that has none. The rate begins anew: its
 * window still holds the way back into the water.
 */
export function forgive(
  memory: ThermometerMemory,
  own: Signal,
  others: readonly Signal[],
  creditMs: number,
): ThermometerMemory {
  if (!memory.rateFault) return memory;
  const agrees = others.some((other) => agree(own, other));
  const agreeMs = agrees ? memory.agreeMs + creditMs : 0;
  if (agreeMs < AGREE_AGAIN_MS) return { ...memory, agreeMs };
  return believed(memory);
}

/** Nothing is held against it any more, and its rate begins anew. */
export const believed = (memory: ThermometerMemory): ThermometerMemory => ({
  ...memory,
  rateFault: false,
  agreeMs: 0,
  probe: { ...memory.probe, rate: EMPTY_WINDOW },
});

const agree = (own: Signal, other: Signal): boolean =>
  own.value !== null &&
  other.value !== null &&
  other.doubt !== "rate" &&
  Math.abs(own.value - other.value) < AGREE_AGAIN_K;

const NOT_FITTED = { memory: FRESH_THERMOMETER, signal: notFitted };
