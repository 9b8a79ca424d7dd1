/** Times in milliseconds. */
export interface Spread {
  readonly median: number;
  readonly p99: number;
  readonly worst: number;
}

export function spreadOf(times: readonly number[]): Spread {
  const sorted = [...times].sort((a, b) => a - b);
  const at = (share: number) => sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))] ?? Number.NaN;
  return { median: at(0.5), p99: at(0.99), worst: at(1) };
}
