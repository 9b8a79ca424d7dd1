import type { Field } from "../../shared/contract/field.ts";
import type { Image } from "../../shared/contract/image.ts";
import { CONTACT_PARTS, OUTPUT_PARTS } from "../../shared/contract/parts.ts";
import type { Settings } from "../../shared/settings/index.ts";
import { openBoards, type PinBoard } from "../boards/index.ts";
import { readInputs } from "../inputs/index.ts";
import { openRelays } from "./relays.ts";

/** The real parts. What is not plugged in yet is tried again until it is; nothing here waits for it. */
export async function openField(settings: Settings, nowMs: () => number): Promise<Field> {
  const boards = await openBoards(settings, nowMs);
  const relays = openRelays(settings.outputs, boards, nowMs);
  const carriers = carriersOf(settings).flatMap((name) => boards.pins.get(name) ?? []);
  return {
    look: (atMs) => ({
      readings: readInputs(settings.inputs, boards, atMs),
      seen: NOTHING_SENSED,
      board: boardNews(carriers, atMs),
    }),
    command: (commands, atMs) => relays.command(commands, atMs),
    describe: () => [...boards.describe(nowMs()), ...whoGuards(settings)],
    async close() {
      relays.allOff();
      relays.stop();
      await boards.close();
    },
  };
}

const NOTHING_SENSED: Image["seen"] = {
  "top-off-pump": null,
  "heater-1": null,
  "water-guard": null,
  "heat-guard": null,
};

/** Boards that carry an output or a contact: without them the scan is blind or has no hands. */
function carriersOf({ inputs, outputs }: Settings): readonly string[] {
  const wired = [
    ...CONTACT_PARTS.flatMap((part) => inputs[part] ?? []),
    ...OUTPUT_PARTS.flatMap((part) => outputs[part] ?? []),
  ];
  return [...new Set(wired.map(({ board }) => board))];
}

/** A restart is told once, in the first look after it; until then no output comes on. */
function boardNews(carriers: readonly PinBoard[], nowMs: number): Image["board"] {
  const restarted = carriers.filter((board) => board.hasRestarted);
  for (const board of restarted) board.forgetRestart();
  if (restarted.length > 0) return "restarted";
  return carriers.some((board) => board.isSilent(nowMs)) ? "silent" : "ready";
}

function whoGuards({ outputs, independentGuard }: Settings): readonly string[] {
  if (OUTPUT_PARTS.every((part) => outputs[part] === undefined)) return [];
  if (independentGuard !== null) return [`When this computer dies, this switches off: ${independentGuard}`];
  return [
    "With standard firmware the outputs stay as they are when this computer dies: a running pump runs on. Do not leave " +
      "it alone without an independent switch, and name that in the settings under independentGuard.",
  ];
}
