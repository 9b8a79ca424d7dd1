import { PROOF_WORDS } from "../../../shared/contract/index.ts";
import { type Condition, never } from "../condition.ts";

export const proofsFallen: Condition = {
  id: "proofs-fallen",
  title: "Parts must be proven again",
  priority: "medium",
  cause: "The settings of parts have changed since they were seen to work.",
  consequence: "What was proven was another part. What top-off or heat stands on stays off until it is seen to work.",
  whatToDo: "Look whether the change was meant. Then walk along the parts that are named, and prove each at the tank.",
  timeToRespond: "A day; at once where the heat is off.",
  inAbsence: "for-keeper",
  onDelayMs: 0,
  offDelayMs: 0,
  deadband: null,
  limit: "any part",
  clears: "by-itself",
  suppressedWhen: "never",
  stands: ({ proving }) => proving.fallen.length > 0,
  suppressed: never,
  lockedOut: never,
  detail: ({ proving }) => proving.fallen.map(({ part }) => PROOF_WORDS[part]).join(", "),
};
