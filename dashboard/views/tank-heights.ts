import type { ShownLevel } from "../pieces/level-words.ts";

/** Where things stand in the drawing, in its own units, downwards. */
export const GLASS = { top: 36, bottom: 206 } as const;
export const CHAMBER = { left: 240, right: 318 } as const;
export const RESERVOIR = { left: 218, right: 322, top: 232, bottom: 300 } as const;

export interface Heights {
  readonly mark: number;
  readonly high: number;
  readonly low: number;
  of(mm: number): number;
}

const MARK = 126;
const HIGHEST = 84;
const LOWEST = 164;

/** One scale for the whole chamber, so that the floats stand apart as they do in the box. */
export function heightOfMm(highFloatMm: number, lowFloatMm: number): Heights {
  const above = Math.max(1, highFloatMm);
  const below = Math.max(1, Math.abs(lowFloatMm));
  const perMm = Math.min((MARK - HIGHEST) / above, (LOWEST - MARK) / below);
  const of = (mm: number): number => Math.min(GLASS.bottom, Math.max(GLASS.top + 4, MARK - mm * perMm));
  // Floats that would be drawn on each other are moved apart; the level itself is never moved.
  return {
    mark: MARK,
    high: Math.min(of(highFloatMm), MARK - LEAST_APART),
    low: Math.max(of(-below), MARK + LEAST_APART),
    of,
  };
}

const LEAST_APART = 24;

export interface DrawnLevel {
  /** Surely water below this; null = nothing is sure. */
  readonly solidTop: number | null;
  /** The water ends somewhere below this and above `solidTop`; null = no interval to draw. */
  readonly bandTop: number | null;
  readonly estimate: number | null;
}

export function drawnLevel({ state, fromMm, toMm, estimateMm }: ShownLevel, heights: Heights): DrawnLevel {
  if (state === "unknown" || state === "contradiction") return { solidTop: null, bandTop: null, estimate: null };
  return {
    solidTop: fromMm === null ? null : heights.of(fromMm),
    bandTop: fromMm === null && toMm === null ? null : toMm === null ? GLASS.top + 4 : heights.of(toMm),
    estimate: estimateMm === null ? null : heights.of(estimateMm),
  };
}
