import type { Elapsed } from "../../../shared/contract/elapsed.ts";

/**
 * Whether a heater in the last chamber is surely under water. Its low float says so. Where that is lost, and did not say
 * *bare* before it was, the working float says it: full for ten minutes, and low since for no longer than that, the water
 * stands at its mark, far above the heater. A level that goes on falling counts as bare.
 */
export type Cover =
  | "shown"
  | "bare"
  /** The low float is lost: the working float reads full, or not. */
  | "lost-and-full"
  | "lost-and-low";

/** Volatile. */
export interface CoverMemory {
  /** The last word of the low float. */
  readonly wasBare: boolean;
  /** With the low float lost: up while the working float reads full, down while it does not. */
  readonly fullMs: number;
  /** It was full for its time, and has not been low for as long since. */
  readonly byFloat: boolean;
}

export const COVER_SHOWN: CoverMemory = { wasBare: false, fullMs: 0, byFloat: false };
const BARE: CoverMemory = { wasBare: true, fullMs: 0, byFloat: false };

export function followCover(before: CoverMemory, cover: Cover, elapsed: Elapsed, coverByFloatMs: number): CoverMemory {
  if (cover === "shown") return COVER_SHOWN;
  if (cover === "bare" || before.wasBare) return BARE;
  const { fullMs: wasMs, byFloat } = before;
  const fullMs =
    cover === "lost-and-full" ? Math.min(coverByFloatMs, wasMs + elapsed.creditMs) : Math.max(0, wasMs - elapsed.ms);
  return { wasBare: false, fullMs, byFloat: fullMs === coverByFloatMs || (byFloat && fullMs > 0) };
}

export const isCovered = (cover: Cover, { byFloat }: CoverMemory): boolean => cover === "shown" || byFloat;
