import type { Settings } from "../../shared/settings/index.ts";
import { openField } from "../outputs/field.ts";
import { openDurableMemory } from "../record/index.ts";
import { recall } from "./recall.ts";
import { folderOf, isRehearsal, type Tank, type TankOptions, testimonyOf } from "./tank.ts";

/** What is simulated is loaded only where something is. */
export const openTank = async (settings: Settings, options: TankOptions): Promise<Tank> =>
  isRehearsal(settings)
    ? (await import("./rehearsed-tank.ts")).openRehearsedTank(settings, options)
    : openRealTank(settings, options);

const nowMs = (): number => performance.now();

async function openRealTank(settings: Settings, { data }: TankOptions): Promise<Tank> {
  const memory = await openDurableMemory(folderOf(settings, data), { wallMs: Date.now, testimonyOf });
  return {
    kind: "real",
    field: await openField(settings, nowMs),
    memory,
    wallMs: Date.now,
    cycle: { ...recall(memory.read(), settings, Date.now()), nowMs, rehearsal: null },
  };
}
