/**
 * Follows what comes and goes by its key, scan by scan, and keeps when each began and ended. What comes back within
 * `lingersH` is the same: a state that flickers is one row, not a hundred.
 */
export interface Spans<Entry extends object> {
  /** Says that this stands now. The entry is made when it begins. */
  stands(key: string, begin: () => Entry): Entry & Span;
  /** Ends a scan: whatever was not said to stand is over. */
  close(atH: number): void;
  readonly all: readonly (Entry & Span)[];
}

export interface Span {
  readonly atH: number;
  clearedAtH: number | null;
}

interface Open<Entry> {
  readonly entry: Entry & Span;
  round: number;
}

export function createSpans<Entry extends object>(now: () => number, lingersH = 0): Spans<Entry> {
  const open = new Map<string, Open<Entry>>();
  const all: (Entry & Span)[] = [];
  let round = 0;
  let seenNow = 0;
  return {
    all,
    stands: (key, begin) => {
      const known = open.get(key);
      if (known !== undefined) {
        if (known.round !== round) seenNow += 1;
        known.round = round;
        known.entry.clearedAtH = null;
        return known.entry;
      }
      const entry = { ...begin(), atH: now(), clearedAtH: null };
      all.push(entry);
      open.set(key, { entry, round });
      seenNow += 1;
      return entry;
    },
    close: (atH) => {
      // Nearly always all that is open has been seen again, and there is nothing to look for.
      if (seenNow < open.size) {
        for (const [key, { entry, round: seen }] of open) {
          if (seen === round) continue;
          entry.clearedAtH ??= atH;
          if (atH - entry.clearedAtH >= lingersH) open.delete(key);
        }
      }
      round += 1;
      seenNow = 0;
    },
  };
}
