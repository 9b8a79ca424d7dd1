import type { StartNews } from "../../shared/contract/index.ts";
import type { Settings } from "../../shared/settings/index.ts";
import { type FoundMemory, NewerMemory } from "../record/index.ts";
import { type Memory, restored, type StoredMemory } from "../scan/memory.ts";
import { readMemory } from "../scan/stored.ts";
import { readWitness } from "../scan/witness.ts";

export interface Recalled {
  readonly memory: Memory;
  readonly news: StartNews;
}

/**
 * What the scan begins with, by what lay on the disk and when it begins, Unix milliseconds: on real water and in a
 * rehearsal by the same rules, so that what a fault does to the memory can be seen where nothing can happen. Throws
 * `NewerMemory`.
 */
export function recall(found: FoundMemory, settings: Settings, startMs: number): Recalled {
  const { state, memory, sequence, savedAtMs, testimony } = found;
  const stored = memory === null ? null : memoryIn(memory, settings);
  const unreadable = state === "sound" && stored === null;
  // Wall time may only make things older: a clock that went back tells nothing.
  const offMs = savedAtMs === null || savedAtMs > startMs ? null : startMs - savedAtMs;
  return {
    memory: restored(stored, settings, sequence),
    news: {
      memory: unreadable ? "corrupt" : isNew(found) ? "new" : state,
      offMs,
      witness: readWitness(testimony),
    },
  };
}

function memoryIn(memory: unknown, settings: Settings): StoredMemory | null {
  const read = readMemory(memory, settings);
  if (read.state === "newer") throw new NewerMemory(read.version);
  return read.state === "sound" ? read.memory : null;
}

/** Nothing was ever kept there. */
export const isNew = ({ state, sequence }: FoundMemory): boolean => state === "missing" && sequence === 0;
