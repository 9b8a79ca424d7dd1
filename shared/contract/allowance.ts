/** So much at once, and from then on so much a second. */
export interface Allowance {
  readonly burst: number;
  readonly perSecond: number;
}

/** What is left of an allowance. It has no clock: whoever asks says what time it is, on any clock that only goes on. */
export interface Meter {
  /** False = it is used up, and nothing was taken. */
  take(amount: number, nowMs: number): boolean;
  left(nowMs: number): number;
}

export function createMeter({ burst, perSecond }: Allowance): Meter {
  let left = burst;
  let lastMs: number | null = null;
  const fill = (nowMs: number) => {
    const elapsedMs = lastMs === null ? 0 : Math.max(0, nowMs - lastMs);
    lastMs = nowMs;
    left = Math.min(burst, left + (elapsedMs / 1000) * perSecond);
    return left;
  };
  return {
    take(amount, nowMs) {
      if (fill(nowMs) < amount) return false;
      left -= amount;
      return true;
    },
    left: fill,
  };
}
