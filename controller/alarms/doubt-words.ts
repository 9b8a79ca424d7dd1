import type { Doubt } from "../../shared/contract/index.ts";

/** What is wrong with a part, after its name: "the probe does not answer". */
export const DOUBT_WORDS: Record<Doubt, string> = {
  "not-yet": "has not reported yet",
  "no-answer": "does not answer",
  garbled: "answers garbled",
  "not-a-number": "answers with no number",
  "open-circuit": "has a broken wire",
  "short-circuit": "has a shorted wire",
  "power-on-value": "has not measured since its power came on",
  "all-zero": "has a shorted line",
  disconnected: "is disconnected",
  stale: "has stopped reporting",
  "out-of-range": "reads what cannot be",
  stuck: "is stuck",
  spike: "jumps",
  rate: "changes faster than water can",
  disagrees: "disagrees with the other one",
  single: "has nothing to be compared with",
  "own-chamber": "speaks for its own chamber only",
  bubbles: "stands in bubbles",
  "being-calibrated": "is being calibrated",
  extrapolated: "is outside the range of its equation",
  "not-fitted": "is not fitted",
};
