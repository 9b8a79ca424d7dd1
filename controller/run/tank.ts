import { join } from "node:path";
import type { Field } from "../../shared/contract/index.ts";
import type { Settings } from "../../shared/settings/index.ts";
import type { DurableMemory } from "../record/index.ts";
import type { CycleParts } from "../scan/cycle.ts";
import type { StoredMemory } from "../scan/memory.ts";
import { witnessOf } from "../scan/witness.ts";

/** What the scan runs on: real parts by the clock, or the simulated tank by its own; and what is remembered of it. */
export interface Tank {
  readonly kind: "real" | "rehearsal";
  readonly field: Field;
  readonly memory: DurableMemory;
  /** The time that everything is told in, Unix milliseconds; simulated in a rehearsal. */
  readonly wallMs: () => number;
  readonly cycle: Pick<CycleParts, "memory" | "news" | "nowMs" | "rehearsal">;
}

export interface TankOptions {
  readonly data: string;
  readonly speed: number;
  readonly seed: number;
}

/** Settings that name no board describe a tank that is only rehearsed. */
export const isRehearsal = ({ boards }: Settings): boolean => Object.keys(boards).length === 0;

/** Where a tank is remembered: this process's own while it runs. */
export const folderOf = (settings: Settings, data: string): string =>
  join(data, isRehearsal(settings) ? "rehearsal" : settings.tank.id);

/** What is written there is always a memory of the scan. */
export const testimonyOf = (memory: unknown) => witnessOf(memory as StoredMemory);
