import { type Due, dueHours } from "../../../shared/contract/absence.ts";
import { PROOF_PARTS, PROOF_WORDS } from "../../../shared/contract/proving.ts";
import { HOUR_MS } from "../../../shared/settings/limits.ts";
import type { Settings } from "../../../shared/settings/schema.ts";
import { ageOf, type ProofsMemory } from "./memory.ts";
import { dueAfterMs, isFitted } from "./parts.ts";

/** When each fitted part is to be seen to work again; one that never was, now. */
export const proofsDue = (proofs: ProofsMemory, settings: Settings): readonly Due[] =>
  PROOF_PARTS.filter((part) => isFitted(part, settings)).map((part) => {
    const ageMs = ageOf(proofs, part);
    const inH = ageMs === null ? 0 : dueHours((dueAfterMs(part) - ageMs) / HOUR_MS);
    return { kind: "proof", of: PROOF_WORDS[part], inH, earliestH: inH, renewedH: dueAfterMs(part) / HOUR_MS };
  });
