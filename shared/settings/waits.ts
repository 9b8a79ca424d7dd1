import type { Settings } from "./schema.ts";

/** A wait as this box serves it: shorter on the bench, and never nothing. */
export const waitMs = (ms: number, { bench }: Pick<Settings, "bench">): number =>
  Math.max(1, Math.round(ms / bench.waitsDividedBy));

/** The most that credits may gain in one scan: two scan periods. */
export const creditMostMs = ({ scanMs }: Pick<Settings, "scanMs">): number => 2 * scanMs;
