import { PROOF_WARNING_MS } from "../../../shared/settings/limits.ts";
import { type Condition, never } from "../condition.ts";
import { isAbsent } from "../evidence.ts";

const MS_PER_DAY = 86_400_000;

export const highFloatProofDue: Condition = {
  id: "high-float-proof-due",
  title: "The high float was not lifted for long",
  priority: "low",
  cause: "A month has passed since the high float was last seen to read wet and dry again.",
  consequence: "A high float that is stuck shows itself only when it is needed. From 60 days on less is poured.",
  whatToDo: "Start a hold, lift the high float until it reads wet, let it fall, and say at the tank that it is proven.",
  timeToRespond: "A week.",
  inAbsence: "rests",
  onDelayMs: 0,
  offDelayMs: 0,
  deadband: null,
  limit: "35 days since the last proof",
  clears: "by-itself",
  suppressedWhen: "during an absence",
  stands: ({ proofs }) => (proofs["high-float"] ?? 0) >= PROOF_WARNING_MS,
  suppressed: isAbsent,
  lockedOut: never,
  detail: ({ proofs }) => `${Math.floor((proofs["high-float"] ?? 0) / MS_PER_DAY)} days ago`,
};
