import type { Box } from "./box.ts";
import { readNumber, readOneOf, readSentence, readTimeMs } from "./payload.ts";

/** A measured quantity as far as the page could understand what it was told. */
export interface ShownQuantity {
  readonly quality: "good" | "uncertain" | "bad" | "unknown";
  /** Null exactly when the quality is bad or unknown. */
  readonly value: number | null;
  readonly uncertainty: number | null;
  readonly doubt: string;
  readonly measuredAtMs: number | null;
  readonly lastValue: number | null;
}

export function readQuantity(box: Box, node: string): ShownQuantity {
  const value = readNumber(box.text(node, "value"));
  const told = readOneOf(box.text(node, "quality"), ["good", "uncertain", "bad"]);
  // A good quality without a number it could belong to is not believed.
  const quality = told === null || (told !== "bad" && value === null) ? "unknown" : told;
  const hasValue = quality === "good" || quality === "uncertain";
  const uncertainty = readNumber(box.text(node, "uncertainty"));
  return {
    quality,
    value: hasValue ? value : null,
    uncertainty: uncertainty !== null && uncertainty >= 0 ? uncertainty : null,
    doubt: readSentence(box.text(node, "doubt")),
    measuredAtMs: readTimeMs(box.text(node, "measured-at")),
    lastValue: readNumber(box.text(node, "last-value")),
  };
}

/** A reading that calls itself good but was made long ago: nobody may take it for what the water is now. */
export function isAged(shown: ShownQuantity, box: Box): boolean {
  const nowMs = box.boxNowMs.value;
  const allowedMs = Math.max(AGED_MS, AGED_BEATS_MS * box.tank.speed);
  return nowMs !== null && shown.measuredAtMs !== null && nowMs - shown.measuredAtMs > allowedMs;
}

const AGED_MS = 5 * 60_000;
/** Times are told every five seconds or so: in a fast rehearsal that is minutes of simulated time. */
const AGED_BEATS_MS = 15_000;
