import type { Elapsed } from "../../shared/contract/elapsed.ts";
import type { Reading } from "../../shared/contract/reading.ts";
import type { Doubt, Signal } from "../../shared/contract/signal.ts";
import { PROBE_STALE_MS } from "../../shared/settings/limits.ts";
import { isSpike, medianOf, pushed } from "./hampel.ts";
import { aged, EMPTY_WINDOW, followed, type RateShape, type RateWindow, ratePerHour } from "./rate-window.ts";

/** What every probe that gives a number has in common. Volatile: starts empty with the process. */
export interface ProbeMemory {
  readonly sample: number;
  readonly window: readonly number[];
  readonly rate: RateWindow;
  /** The value and doubt made of the newest sample; null before the first. */
  readonly value: number | null;
  readonly doubt: Doubt | null;
  readonly lastValue: number | null;
  readonly lastValueAgeMs: number;
  /** How long the value has not moved by as much as its smallest step. */
  readonly stillMs: number;
  readonly stillAt: number | null;
  /** Credited time since the newest sample. */
  readonly sinceSampleMs: number;
}

export const FRESH_PROBE: ProbeMemory = {
  sample: -1,
  window: [],
  rate: EMPTY_WINDOW,
  value: null,
  doubt: "not-yet",
  lastValue: null,
  lastValueAgeMs: 0,
  stillMs: 0,
  stillAt: null,
  sinceSampleMs: 0,
};

/** What is physically possible for a kind of probe, and how it is judged. */
export interface ProbeKind {
  readonly least: number;
  readonly most: number;
  /** Deviation below which nothing is a spike. */
  readonly spikeFloor: number;
  /** Smallest change that shows the probe is alive. */
  readonly stillStep: number;
  readonly rate: RateShape;
}

/** The probe's memory after this scan: range, spike, stale and still, each by its own rule. */
export function followProbe(
  memory: ProbeMemory,
  reading: Reading<number>,
  kind: ProbeKind,
  elapsed: Elapsed,
): ProbeMemory {
  const before = elapsed.gap ? afterGap(memory) : memory;
  const fault = faultOf(reading, kind);
  if (fault !== null || reading.value === null) return lost(before, fault ?? "not-a-number", kind, elapsed);
  if (reading.sample === before.sample && before.value !== null) {
    return waiting(before, elapsed);
  }
  return taken(before, reading.value, reading.sample, kind, elapsed);
}

function faultOf(reading: Reading<number>, kind: ProbeKind): Doubt | null {
  if (reading.fault !== null) return reading.fault;
  if (!Number.isFinite(reading.value)) return "not-a-number";
  // Written so that an age that is no number is no age.
  if (!(reading.ageMs <= PROBE_STALE_MS)) return "stale";
  return reading.value < kind.least || reading.value > kind.most ? "out-of-range" : null;
}

/** A window across a gap would be invented; that the value has not moved since is still so. */
const afterGap = ({ lastValue, lastValueAgeMs, stillMs, stillAt }: ProbeMemory): ProbeMemory => ({
  ...FRESH_PROBE,
  lastValue,
  lastValueAgeMs,
  stillMs,
  stillAt,
});

/**
 * Nothing to be had. Its windows wait for as long as a sample may be awaited, so that a garbled answer now and then never
 * hides a probe in the air; after that they are emptied, for a rate across a gap would be invented. How long it stood
 * still is kept: a stuck probe is not alive again because one answer was garbled.
 */
function lost(memory: ProbeMemory, doubt: Doubt, { rate }: ProbeKind, elapsed: Elapsed): ProbeMemory {
  const lastValueAgeMs = memory.lastValueAgeMs + elapsed.ms;
  const waits = memory.lastValue !== null && lastValueAgeMs <= PROBE_STALE_MS;
  return {
    ...FRESH_PROBE,
    window: waits ? memory.window : FRESH_PROBE.window,
    rate: waits ? aged(memory.rate, rate, memory.sinceSampleMs + elapsed.creditMs) : EMPTY_WINDOW,
    doubt,
    stillMs: memory.stillMs,
    stillAt: memory.stillAt,
    lastValue: memory.lastValue,
    lastValueAgeMs,
  };
}

const waiting = (memory: ProbeMemory, elapsed: Elapsed): ProbeMemory => ({
  sample: memory.sample,
  window: memory.window,
  rate: memory.rate,
  value: memory.value,
  doubt: memory.doubt,
  lastValue: memory.lastValue,
  lastValueAgeMs: memory.lastValueAgeMs + elapsed.ms,
  stillMs: memory.stillMs,
  stillAt: memory.stillAt,
  sinceSampleMs: memory.sinceSampleMs + elapsed.creditMs,
});

function taken(memory: ProbeMemory, raw: number, sample: number, kind: ProbeKind, elapsed: Elapsed): ProbeMemory {
  const window = pushed(memory.window, raw);
  const spike = isSpike(window, raw, kind.spikeFloor);
  const value = spike ? medianOf(window) : raw;
  const sinceMs = memory.sinceSampleMs + elapsed.creditMs;
  const moved = memory.stillAt === null || Math.abs(raw - memory.stillAt) >= kind.stillStep;
  return {
    sample,
    window,
    rate: followed(memory.rate, kind.rate, sinceMs, value),
    value,
    doubt: spike ? "spike" : null,
    lastValue: value,
    lastValueAgeMs: elapsed.ms > 0 ? 0 : memory.lastValueAgeMs,
    stillMs: moved ? 0 : memory.stillMs + sinceMs,
    stillAt: moved ? raw : memory.stillAt,
    sinceSampleMs: 0,
  };
}

export const rateOf = (memory: ProbeMemory, kind: ProbeKind): number | null => ratePerHour(memory.rate, kind.rate);

/** The signal of a probe with nothing more against it than what its own samples show. */
export function signalOf(memory: ProbeMemory, reading: Reading<number>, uncertainty: number): Signal {
  const { value, doubt } = memory;
  return {
    value,
    quality: value === null ? "bad" : doubt === null ? "good" : "uncertain",
    doubt,
    ageMs: reading.ageMs,
    uncertainty: value === null ? null : uncertainty,
    lastValue: memory.lastValue,
    lastValueAgeMs: memory.lastValueAgeMs,
  };
}

export const notFitted: Signal = {
  value: null,
  quality: "bad",
  doubt: "not-fitted",
  ageMs: 0,
  uncertainty: null,
  lastValue: null,
  lastValueAgeMs: 0,
};

/** A signal made worse: `uncertain` keeps its value, `bad` has none. */
export const doubted = (signal: Signal, quality: "uncertain" | "bad", doubt: Doubt): Signal => ({
  value: quality === "bad" ? null : signal.value,
  quality,
  doubt,
  ageMs: signal.ageMs,
  uncertainty: quality === "bad" ? null : signal.uncertainty,
  lastValue: signal.lastValue,
  lastValueAgeMs: signal.lastValueAgeMs,
});
