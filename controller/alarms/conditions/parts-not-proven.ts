import { PROOF_PARTS, PROOF_WORDS, type ProofPart, type ProvingStatus } from "../../../shared/contract/index.ts";
import { type Condition, never } from "../condition.ts";
import { isAbsent } from "../evidence.ts";

/** These two have an alarm of their own, every month. */
const MONTHLY: readonly ProofPart[] = ["high-float", "protective-device"];

/** Asked in every scan, and hardly ever another: the status is made anew only when something of it changes. */
const known = new WeakMap<ProvingStatus, readonly ProofPart[]>();

function wanting(proving: ProvingStatus): readonly ProofPart[] {
  const before = known.get(proving);
  if (before !== undefined) return before;
  const found = wantingIn(proving);
  known.set(proving, found);
  return found;
}

const wantingIn = ({ parts }: ProvingStatus): readonly ProofPart[] =>
  PROOF_PARTS.filter((part) => {
    const { standing } = parts[part];
    if (standing === "never") return part !== "protective-device";
    return !MONTHLY.includes(part) && (standing === "due" || standing === "overdue");
  });

export const partsNotProven: Condition = {
  id: "parts-not-proven",
  title: "Parts were not seen to work",
  priority: "low",
  cause: "A part was never proven, or not for a year.",
  consequence:
    "What top-off or heat stands on stays off until it is proven; of the others nobody knows whether they warn.",
  whatToDo: "Walk along the parts that are named, and prove each at the tank.",
  timeToRespond: "A week.",
  inAbsence: "rests",
  onDelayMs: 0,
  offDelayMs: 0,
  deadband: null,
  limit: "never, or a year since the last proof",
  clears: "by-itself",
  suppressedWhen: "during an absence",
  stands: ({ proving }) => wanting(proving).length > 0,
  suppressed: isAbsent,
  lockedOut: never,
  detail: ({ proving }) =>
    wanting(proving)
      .map((part) => PROOF_WORDS[part])
      .join(", "),
};
