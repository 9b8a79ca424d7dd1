import type { Key } from "../machine.ts";
import type { TopOffFacts } from "./blockers.ts";
import type { TopOffVerdict } from "./machine.ts";
import type { TopOffMemory } from "./memory.ts";

/** What top-off has decided, and what it saw. */
export interface TopOffDecided extends TopOffVerdict {
  readonly facts: TopOffFacts;
}

export const TOP_OFF: Key<TopOffMemory, null, TopOffDecided> = { name: "top-off" };
