import type { StartNews } from "../../shared/contract/index.ts";
import type { Settings } from "../../shared/settings/index.ts";
import type { FoundMemory } from "../record/index.ts";
import { durableFrom, type Memory, restored } from "../scan/memory.ts";
import { witnessFrom } from "../scan/witness.ts";

export interface Recalled {
  readonly memory: Memory;
  readonly news: StartNews;
}

/**
 * What the scan begins with, by what lay on the disk and when it begins, Unix milliseconds: on real water and in a
 * rehearsal by the same rules, so that what a fault does to the memory can be seen where nothing can happen.
 */
export function recall(found: FoundMemory, settings: Settings, startMs: number): Recalled {
  const { state, memory, sequence, savedAtMs, testimony } = found;
  const durable = memory === null ? null : durableFrom(memory, settings);
  const unreadable = state === "sound" && durable === null;
  // Wall time may only make things older: a clock that went back tells nothing.
  const offMs = savedAtMs === null || savedAtMs > startMs ? null : startMs - savedAtMs;
  return {
    memory: restored(durable, settings, sequence),
    news: {
      memory: unreadable ? "corrupt" : isNew(found) ? "new" : state,
      offMs,
      witness: witnessFrom(testimony),
    },
  };
}

/** Nothing was ever kept there. */
export const isNew = ({ state, sequence }: FoundMemory): boolean => state === "missing" && sequence === 0;
