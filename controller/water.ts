import { join } from "node:path";
import type { Field } from "../shared/contract/index.ts";
import type { Settings } from "../shared/settings/index.ts";
import { openField } from "./outputs/field.ts";
import { type OpenRecord, openRecord } from "./record/index.ts";
import { rehearsalField } from "./rehearsal/index.ts";
import type { CycleParts } from "./scan/cycle.ts";
import { provenMemory, restored, type StoredMemory } from "./scan/memory.ts";
import { readMemory } from "./scan/stored.ts";
import { readWitness, witnessOf } from "./scan/witness.ts";

/** What the scan runs on: real parts by the clock, or the simulated tank by its own; and the folder that remembers it. */
export interface Water {
  readonly kind: "real" | "rehearsal";
  readonly field: Field;
  /** Where it is remembered: this process's own while it runs. */
  readonly folder: string;
  readonly record: OpenRecord;
  /** The time that everything is told in, Unix milliseconds; simulated in a rehearsal. */
  readonly wallMs: () => number;
  readonly cycle: Pick<CycleParts, "memory" | "news" | "nowMs" | "rehearsal">;
}

export interface WaterOptions {
  readonly data: string;
  readonly speed: number;
  readonly seed: number;
}

/** What is written there is always a memory of the scan. */
const testimonyOf = (memory: unknown) => witnessOf(memory as StoredMemory);

const nowMs = (): number => performance.now();

/** Settings that name no board describe a tank that is only rehearsed. */
export const openWater = (settings: Settings, options: WaterOptions): Promise<Water> =>
  Object.keys(settings.boards).length === 0 ? openRehearsal(settings, options) : openReal(settings, options);

async function openReal(settings: Settings, { data }: WaterOptions): Promise<Water> {
  const folder = join(data, settings.tank.id);
  const record = await openRecord(folder, { wallMs: Date.now, testimonyOf });
  const found = record.memory.read();
  const stored = found.memory === null ? null : memoryIn(found.memory, settings, folder);
  const isNew = found.state === "missing" && found.sequence === 0;
  const unreadable = found.state === "sound" && stored === null;
  // Wall time may only make things older: a clock that went back tells nothing.
  const offMs = found.savedAtMs === null || found.savedAtMs > Date.now() ? null : Date.now() - found.savedAtMs;
  return {
    kind: "real",
    field: await openField(settings, nowMs),
    folder,
    record,
    wallMs: Date.now,
    cycle: {
      memory: restored(stored, settings, found.sequence),
      news: {
        memory: unreadable ? "corrupt" : isNew ? "new" : found.state,
        offMs,
        witness: readWitness(found.testimony),
      },
      nowMs,
      rehearsal: null,
    },
  };
}

/** Null = what was stored is not what a memory must be. One that a newer program wrote is left as it is. */
function memoryIn(stored: unknown, settings: Settings, folder: string): StoredMemory | null {
  const read = readMemory(stored, settings);
  if (read.state === "newer") {
    throw new Error(
      `The memory in ${folder} was written by a newer Evenbrine (format ${read.version}). Nothing was changed in it: ` +
        "start that version again, or give this one another folder.",
    );
  }
  return read.state === "sound" ? read.memory : null;
}

/** Saved amounts may be this much older than the last simulated moment that was told. */
const SAVED_WITHIN_MS = 360_000;

async function openRehearsal(settings: Settings, { data, speed, seed }: WaterOptions): Promise<Water> {
  // The simulated clock begins at the present, or where an earlier rehearsal in this folder ended, if that is later.
  const clock = { wallMs: Date.now };
  const folder = join(data, "rehearsal");
  const record = await openRecord(folder, { wallMs: () => clock.wallMs() });
  const found = record.memory.read();
  const startMs = Math.max(Date.now(), (found.savedAtMs ?? 0) + SAVED_WITHIN_MS);
  const midnightMs = new Date(startMs).setHours(0, 0, 0, 0);
  const tank = rehearsalField(seed, settings, { startH: (startMs - midnightMs) / 3_600_000 });
  clock.wallMs = () => midnightMs + tank.simulatedMs;
  const stored = found.state === "sound" ? memoryIn(found.memory, settings, folder) : null;
  const proven = provenMemory(settings);
  const fresh = { ...proven, durable: { ...proven.durable, sequence: found.sequence + 1 } };
  return {
    kind: "rehearsal",
    field: { ...tank, close: async () => tank.switchOff() },
    folder,
    record,
    wallMs: clock.wallMs,
    cycle: {
      memory: stored === null ? fresh : restored(stored, settings, found.sequence),
      news: { memory: "sound", offMs: 0 },
      nowMs,
      rehearsal: { scansPerTick: speed, advance: tank.advance, simulatedMs: () => tank.simulatedMs },
    },
  };
}
