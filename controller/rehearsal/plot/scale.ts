/** From a quantity to a place on the paper. */
export interface Scale {
  readonly from: number;
  readonly to: number;
  readonly at: (value: number) => number;
}

export function scale(from: number, to: number, start: number, end: number): Scale {
  const perUnit = (end - start) / (to - from);
  return { from, to, at: (value) => start + (value - from) * perUnit };
}

/** A span around the values with a little air, never narrower than `least`. */
export function spanOf(values: readonly number[], least: number): [from: number, to: number] {
  // Not spread into Math.min: a long run has thousands of columns.
  let [low, high] = [Infinity, -Infinity];
  for (const value of values) {
    if (value < low) low = value;
    if (value > high) high = value;
  }
  if (low > high) return [0, least];
  const air = Math.max((high - low) * 0.08, (least - (high - low)) / 2);
  return [low - air, high + air];
}

const STEPS = [1, 2, 2.5, 5, 10];

/** Round values inside a span, about `count` of them. */
export function ticks(from: number, to: number, count: number): number[] {
  const rough = (to - from) / count;
  const power = 10 ** Math.floor(Math.log10(rough));
  const step = (STEPS.find((each) => each * power >= rough) ?? 10) * power;
  return multiples(from, to, step);
}

const HOUR_STEPS = [
  1 / 60,
  2 / 60,
  5 / 60,
  10 / 60,
  0.25,
  0.5,
  1,
  2,
  3,
  6,
  12,
  24,
  48,
  7 * 24,
  28 * 24,
  91 * 24,
  365 * 24,
  1825 * 24,
];

/** Times at which people look at a clock or a calendar, at most a dozen. */
export function hourTicks(hours: number): number[] {
  return multiples(0, hours, HOUR_STEPS.find((step) => hours / step <= 12) ?? 1825 * 24);
}

/** Such as `90 min`, `6 h`, `day 3`: the same word along the whole axis. */
export function hourWords(value: number, hours: number): string {
  if (hours > 72) return `day ${trimmed(value / 24)}`;
  return hours < 1 ? `${trimmed(value * 60)} min` : `${trimmed(value)} h`;
}

export const trimmed = (value: number): string => String(Math.round(value * 100) / 100).replace("-", "−");

function multiples(from: number, to: number, step: number): number[] {
  const found: number[] = [];
  // Plus zero: there is no minus zero on an axis.
  for (let place = Math.ceil(from / step - 1e-9) + 0; place * step <= to + step * 1e-9; place++)
    found.push(place * step);
  return found;
}
