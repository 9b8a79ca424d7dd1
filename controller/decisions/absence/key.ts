import type { Due } from "../../../shared/contract/absence.ts";
import type { Key } from "../machine.ts";
import type { AbsenceMemory } from "./memory.ts";

export interface AbsenceVolatile {
  /** Since it was last asked what falls due. */
  readonly sinceMs: number;
  readonly due: readonly Due[];
}

/** Nothing that decides looks at it: an absence permits nothing and forbids nothing. */
export const ABSENCE: Key<AbsenceMemory, AbsenceVolatile> = { name: "absence" };
