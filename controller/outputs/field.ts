import type { Field } from "../../shared/contract/field.ts";
import { EVERYTHING_OFF, type Image } from "../../shared/contract/image.ts";
import { CONTACT_PARTS, OUTPUT_PARTS } from "../../shared/contract/parts.ts";
import type { Settings } from "../../shared/settings/index.ts";
import { openBoards, type PinBoard } from "../boards/index.ts";
import { inputSentences, readButton, readInputs, readSensed } from "../inputs/index.ts";
import { openAttendance } from "./attendance.ts";
import { openRelays } from "./relays.ts";

/** The real parts. What is not plugged in yet is tried again until it is; nothing here waits for it. */
export async function openField(settings: Settings, nowMs: () => number): Promise<Field> {
  const boards = await openBoards(settings, nowMs);
  const relays = openRelays(settings.outputs, boards, nowMs, breakApartMs(settings));
  const carriers = carriersOf(settings).flatMap((name) => boards.pins.get(name) ?? []);
  const attendance = openAttendance(settings, nowMs(), process.env.NOTIFY_SOCKET !== undefined);
  return {
    look: (atMs) => ({
      readings: readInputs(settings.inputs, boards, atMs),
      seen: readSensed(settings.outputs, boards, atMs),
      board: boardNews(carriers, attendance.mayEnergise(atMs), atMs),
      pumpLocked: carriers.some((board) => board.pumpLocked),
    }),
    command(commands, atMs) {
      // Fed here and nowhere else: a scan that does not come to its end feeds nobody.
      for (const board of carriers) board.feed();
      relays.command(attendance.mayEnergise(atMs) ? commands : EVERYTHING_OFF, atMs);
    },
    button: (atMs) => readButton(settings.inputs, boards, atMs),
    sayInputs: () =>
      inputSentences(
        settings,
        readInputs(settings.inputs, boards, nowMs()),
        readSensed(settings.outputs, boards, nowMs()),
        readButton(settings.inputs, boards, nowMs()),
      ),
    describe: () => [...boards.describe(nowMs()), ...attendance.describe(nowMs())],
    async close() {
      relays.allOff();
      relays.stop();
      await boards.close();
    },
  };
}

/** Two relays of a kind open within this of each other; a guard contact opens when the charge of its pulse is gone. */
const RELAYS_APART_MS = 10;
const PULSE_FADES_MS = 60;

function breakApartMs({ boards, outputs }: Settings): number {
  const board = boards[outputs["water-guard"]?.board ?? ""];
  return board?.kind === "firmata" && board.firmware === "guard" ? PULSE_FADES_MS : RELAYS_APART_MS;
}

/** Boards that carry an output or a contact: without them the scan is blind or has no hands. */
function carriersOf({ inputs, outputs }: Settings): readonly string[] {
  const wired = [
    ...CONTACT_PARTS.flatMap((part) => inputs[part] ?? []),
    ...OUTPUT_PARTS.flatMap((part) => outputs[part] ?? []),
  ];
  return [...new Set(wired.map(({ board }) => board))];
}

/** A restart is told once, in the first look after it; until then no output comes on. */
function boardNews(carriers: readonly PinBoard[], attended: boolean, nowMs: number): Image["board"] {
  const restarted = carriers.filter((board) => board.hasRestarted);
  for (const board of restarted) board.forgetRestart();
  if (restarted.length > 0) return "restarted";
  if (carriers.some((board) => board.isSilent(nowMs))) return "silent";
  return attended ? "ready" : "unattended";
}
