import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { openDurableMemory } from "../../controller/record/index.ts";
import { provenMemory, toStore } from "../../controller/scan/memory.ts";
import { loadSettings } from "../../controller/settings/load.ts";
import { type EmulatedBoard, startEmulatedBoard } from "../system/rig/emulated-board.ts";
import { type Program, startProgram } from "../system/rig/program.ts";
import { WORKBENCH } from "../system/rig/workbench.ts";

export const PINS = { working: 2, high: 16, reservoir: 4, pump: 8, waterGuard: 9 } as const;
export const SCAN_MS = 250;
/** Waits are a hundredth of what they are above water; the scan keeps its pace. */
export const WAITS_DIVIDED_BY = 100;

/** The whole program in a process of its own, with an emulated board for all that it needs to pour. */
export interface PouringProgram {
  readonly board: EmulatedBoard;
  readonly program: Program;
  close(): Promise<void>;
}

export async function startPouringProgram(): Promise<PouringProgram> {
  const folder = mkdtempSync(join(tmpdir(), "evenbrine-measure-"));
  const board = await startEmulatedBoard({ closed: [PINS.high, PINS.reservoir] });
  const file = join(folder, "settings.json");
  const contact = (pin: number, closedWhen: "on" | "off") => ({ board: "io", pin, closedWhen });
  const output = (pin: number) => ({ board: "io", pin, energisedLevel: "high" });
  const settings = {
    scanMs: SCAN_MS,
    attendedMinutes: 240,
    bench: { waitsDividedBy: WAITS_DIVIDED_BY, shorterWaitsAccepted: "an emulated board: nothing hangs on its pins" },
    tank: { ...WORKBENCH.tank, id: "measured" },
    targets: { salinity: 35 },
    // Weaker still: what a thousand short pours charge stays far below the day's litres.
    topOff: { ...WORKBENCH.topOff, provenFlowLPerMin: 0.05 },
    boards: { io: { kind: "firmata", port: board.path } },
    inputs: {
      "working-float": contact(PINS.working, "off"),
      "high-float": contact(PINS.high, "off"),
      "reservoir-float": contact(PINS.reservoir, "on"),
    },
    outputs: { "top-off-pump": output(PINS.pump), "water-guard": output(PINS.waterGuard) },
  };
  writeFileSync(file, JSON.stringify(settings));
  const memory = await openDurableMemory(join(folder, "measured"));
  memory.write({ ...toStore(provenMemory(await loadSettings(file))), sequence: 1 }, 1);
  await memory.close();
  const program = await startProgram("measured", file, "--data", folder);
  await program.untilTopic("scan/board", "ready", 20_000);
  await program.untilTopic("top-off/blockers", "", 30_000);
  return {
    board,
    program,
    async close() {
      await program.end("SIGKILL");
      await board.stop();
      rmSync(folder, { recursive: true, force: true });
    },
  };
}
