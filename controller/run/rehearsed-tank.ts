import type { Settings } from "../../shared/settings/index.ts";
import { openDurableMemory } from "../record/index.ts";
import { rehearsalField } from "../rehearsal/field.ts";
import { provenMemory } from "../scan/memory.ts";
import { isNew, type Recalled, recall } from "./recall.ts";
import { folderOf, type Tank, type TankOptions, testimonyOf } from "./tank.ts";

/** Saved amounts may be this much older than the last simulated moment that was told. */
const SAVED_WITHIN_MS = 360_000;

export async function openRehearsedTank(settings: Settings, options: TankOptions): Promise<Tank> {
  const { data, speed, seed } = options;
  // The simulated clock begins at the present, or where an earlier rehearsal in this folder ended, if that is later.
  const clock = { wallMs: Date.now };
  const memory = await openDurableMemory(folderOf(settings, data), { wallMs: () => clock.wallMs(), testimonyOf });
  const found = memory.read();
  const startMs = Math.max(Date.now(), (found.savedAtMs ?? 0) + SAVED_WITHIN_MS);
  const midnightMs = new Date(startMs).setHours(0, 0, 0, 0);
  const tank = rehearsalField(seed, settings, { startH: (startMs - midnightMs) / 3_600_000 });
  clock.wallMs = () => midnightMs + tank.simulatedMs;
  return {
    kind: "rehearsal",
    field: { ...tank, close: async () => tank.switchOff() },
    memory,
    wallMs: clock.wallMs,
    cycle: {
      ...(isNew(found) ? allProven(settings) : recall(found, settings, startMs)),
      nowMs: () => performance.now(),
      rehearsal: { scansPerTick: speed, advance: tank.advance, simulatedMs: () => tank.simulatedMs },
    },
  };
}

/** The first rehearsal in a folder begins with a box that has long been proven, so that it shows what a box does. */
const allProven = (settings: Settings): Recalled => ({
  memory: provenMemory(settings),
  news: { memory: "sound", offMs: 0 },
});
