import type { ProvingRun } from "../../../shared/contract/proving.ts";
import type { Proposal } from "../arbitrate.ts";
import type { TopOffVerdict } from "./machine.ts";

/** The water guard rests open and closes with the pour alone; a latch that opens it lets neither close. */
export function proposePour({ pour, memory }: TopOffVerdict, underTest: ProvingRun | null): Proposal {
  const on = pour && !memory.guardLatched;
  return {
    relay: "top-off-pump",
    guard: "water-guard",
    on,
    guardClosed: on,
    guardUnderTest: underTest === "water-guard",
  };
}
