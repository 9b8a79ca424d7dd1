/**
 * A rate from a fixed number of bins that credited time moves on, so that neither a clock nor a gap can forge one.
 * The rate is unknown until every bin has been filled.
 */
export interface RateWindow {
  readonly bins: readonly number[];
  readonly sum: number;
  readonly count: number;
  readonly binMs: number;
}

export const EMPTY_WINDOW: RateWindow = { bins: [], sum: 0, count: 0, binMs: 0 };

export interface RateShape {
  readonly bins: number;
  readonly binMs: number;
}

/** Time without a sample. */
export function aged(window: RateWindow, shape: RateShape, creditMs: number): RateWindow {
  const binMs = window.binMs + creditMs;
  if (binMs < shape.binMs) return { bins: window.bins, sum: window.sum, count: window.count, binMs };
  // A bin in which nothing was measured breaks the window: a rate across a gap would be invented.
  if (window.count === 0) return EMPTY_WINDOW;
  const full = window.bins.length >= shape.bins ? window.bins.slice(1) : window.bins;
  return { bins: [...full, window.sum / window.count], sum: 0, count: 0, binMs: 0 };
}

export const sampled = (window: RateWindow, value: number): RateWindow => ({
  bins: window.bins,
  sum: window.sum + value,
  count: window.count + 1,
  binMs: window.binMs,
});

/** Time that ends in a sample: both in one, for every probe does it in every second, and a bin is seldom full. */
export function followed(window: RateWindow, shape: RateShape, creditMs: number, value: number): RateWindow {
  const binMs = window.binMs + creditMs;
  if (binMs >= shape.binMs) return sampled(aged(window, shape, creditMs), value);
  return { bins: window.bins, sum: window.sum + value, count: window.count + 1, binMs };
}

/** Change from the first to the last bin in units per hour; null until the window is full. */
export function ratePerHour(window: RateWindow, shape: RateShape): number | null {
  if (window.bins.length < shape.bins) return null;
  const spanMs = (shape.bins - 1) * shape.binMs;
  return ((window.bins[shape.bins - 1]! - window.bins[0]!) * 3_600_000) / spanMs;
}
