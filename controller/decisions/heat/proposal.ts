import { GUARD_OF, type HeaterPart } from "../../../shared/contract/parts.ts";
import type { ProvingRun } from "../../../shared/contract/proving.ts";
import type { Proposal } from "../arbitrate.ts";
import type { HeatVerdict } from "./machine.ts";

/** A heat guard rests closed while heat is allowed. */
export function proposeHeat(relay: HeaterPart, verdict: HeatVerdict, underTest: ProvingRun | null): Proposal {
  const { on, guardClosed } = verdict;
  const guard = GUARD_OF[relay];
  return { relay, guard, on, guardClosed, guardUnderTest: underTest === guard };
}
