import {
  JUMP_CELL_SHARE,
  JUMP_K,
  JUMP_LEAST_MS_PER_CM,
  STEADY_CELL_SHARE,
  STEADY_K,
  STEADY_LEAST_MS_PER_CM,
} from "../../../shared/settings/limits.ts";

/** What one probe has said since it jumped last: means of equal spans, so that noise does not look like movement. */
export interface Still {
  /** Oldest first, at most `SPANS`. */
  readonly means: readonly number[];
  /** The span that is not full yet: the mean of it, and how long it is. */
  readonly mean: number;
  readonly forMs: number;
}

export interface StillKind {
  /** The halves of what was watched may differ by this, at this value. */
  readonly within: (value: number) => number;
  /** A single reading this far from the mean begins anew. */
  readonly jump: (value: number) => number;
}

export const THERMOMETER: StillKind = { within: () => STEADY_K, jump: () => JUMP_K };
export const CELL: StillKind = {
  within: (msPerCm) => Math.max(STEADY_LEAST_MS_PER_CM, STEADY_CELL_SHARE * msPerCm),
  jump: (msPerCm) => Math.max(JUMP_LEAST_MS_PER_CM, JUMP_CELL_SHARE * msPerCm),
};

/** An even number: they are compared by halves. */
const SPANS = 12;

export const NOT_STILL: Still = { means: [], mean: 0, forMs: 0 };

/** One scan more. `wholeMs` is what all spans together take. */
export function followStill(
  memory: Still,
  value: number | null,
  kind: StillKind,
  wholeMs: number,
  creditMs: number,
): Still {
  if (value === null) return NOT_STILL;
  const before = meanOf(memory);
  const { means, mean, forMs } = before === null || Math.abs(value - before) <= kind.jump(before) ? memory : NOT_STILL;
  const nextMs = forMs + creditMs;
  const nextMean = nextMs === 0 ? value : mean + (creditMs / nextMs) * (value - mean);
  if (nextMs < wholeMs / SPANS) return { means, mean: nextMean, forMs: nextMs };
  return { means: [...means, nextMean].slice(-SPANS), mean: 0, forMs: 0 };
}

/** Of all that was watched; null = nothing yet. */
export function meanOf({ means, mean, forMs }: Still): number | null {
  if (means.length === 0) return forMs === 0 ? null : mean;
  return average(means);
}

/** Watched for long enough, and the newer half says the same as the older one. */
export function isStill({ means }: Still, kind: StillKind): boolean {
  if (means.length < SPANS) return false;
  const [older, newer] = [average(means.slice(0, SPANS / 2)), average(means.slice(SPANS / 2))];
  return Math.abs(newer - older) <= kind.within(Math.abs(older));
}

/** How long it was watched without a jump, at most `wholeMs`. */
export const watchedMs = ({ means, forMs }: Still, wholeMs: number): number =>
  Math.min(wholeMs, (means.length * wholeMs) / SPANS + forMs);

const average = (values: readonly number[]): number => values.reduce((sum, value) => sum + value, 0) / values.length;
