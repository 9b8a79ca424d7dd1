import type { Elapsed } from "../shared/contract/index.ts";

/** The time of one scan in a test: so many milliseconds, of which credits gain all unless less is said. */
export const elapsed = (ms: number, creditMs = ms, gap = false): Elapsed => ({ ms, creditMs, gap });
