/** The level in words: an interval between floats, never an invented millimetre. */
export interface ShownLevel {
  readonly state: keyof typeof LEVEL_WORDS;
  readonly fromMm: number | null;
  readonly toMm: number | null;
  readonly estimateMm: number | null;
}

export const LEVEL_WORDS = {
  low: "low",
  "at-mark": "at its mark",
  high: "high",
  contradiction: "contradictory",
  unknown: "unknown",
} as const;

export function levelSentence({ state, fromMm, toMm, estimateMm }: ShownLevel): string {
  if (state === "unknown") return "no float can be trusted";
  if (state === "contradiction") return "the floats contradict each other";
  const bounds =
    fromMm !== null && toMm !== null
      ? `between ${markWords(fromMm)} and ${markWords(toMm)}`
      : fromMm !== null
        ? `not below ${markWords(fromMm)}`
        : toMm !== null
          ? `not above ${markWords(toMm)}`
          : "no bounds known";
  const sentence = estimateMm === null ? bounds : `${bounds}; by the ledger at about ${markWords(estimateMm)}`;
  // The mark is named once; after that it is "it".
  return sentence.replace(/(?<=the mark.*)(above|below) the mark/g, "$1 it");
}

function markWords(mm: number): string {
  const whole = Math.round(mm);
  if (whole === 0) return "the mark";
  return `${Math.abs(whole)} mm ${whole > 0 ? "above" : "below"} the mark`;
}
