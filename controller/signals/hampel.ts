/**
 * Hampel identifier over the last seven samples: is the newest one a spike?
 * `floor` is the least deviation, in the signal's unit, that is ever called one: quiet probes have no spread at all.
 * Source: Hampel 1974, J. Am. Stat. Assoc. 69:383; 1.4826 makes the median deviation a standard deviation.
 */
export const WINDOW = 7;

export function medianOf(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  const middle = sorted.length >> 1;
  return sorted.length % 2 === 1 ? sorted[middle]! : (sorted[middle - 1]! + sorted[middle]!) / 2;
}

export function isSpike(window: readonly number[], newest: number, floor: number): boolean {
  if (window.length < WINDOW || allWithin(window, newest, floor)) return false;
  const middle = medianOf(window);
  const deviation = Math.abs(newest - middle);
  if (deviation <= floor) return false;
  return deviation > Math.max(floor, 3 * 1.4826 * medianOf(window.map((value) => Math.abs(value - middle))));
}

/** Quiet water, nearly always: nothing near enough to everything is a spike, and nothing needs sorting. */
function allWithin(window: readonly number[], newest: number, floor: number): boolean {
  for (let place = 0; place < WINDOW; place++) if (Math.abs(window[place]! - newest) > floor) return false;
  return true;
}

/** The window moved on by one sample. A full one is written out: seven probes' worth of copies in every second. */
export function pushed(window: readonly number[], newest: number): readonly number[] {
  if (window.length < WINDOW) return [...window, newest];
  return [window[1]!, window[2]!, window[3]!, window[4]!, window[5]!, window[6]!, newest];
}
