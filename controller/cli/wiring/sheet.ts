import { GUARD_OF, HEATER_PARTS, type OutputPart, PART_WORDS } from "../../../shared/contract/parts.ts";
import { type BoxBudget, boxBudget, type Settings } from "../../../shared/settings/index.ts";
import { describeBox } from "../box-words.ts";
import { adviceOn, missingParts } from "./advice.ts";
import { inputRows } from "./input-rows.ts";
import { outputRows } from "./output-rows.ts";

/** One part on the sheet: where its wires end, what they do, and what a broken one does. */
export interface Row {
  /** The part's name in the settings. */
  readonly key: string;
  readonly words: string;
  readonly board: string;
  readonly terminal: string;
  readonly drawing: "closed-contact" | "open-contact" | "probe" | "relay" | "guard";
  readonly wiring: string;
  readonly broken: string;
  readonly shorted: string;
  /** What it is, or reads, when nothing else is known. */
  readonly safe: string;
  /** What somebody does to see that it works. */
  readonly seen: string;
}

export interface Group {
  readonly board: string;
  readonly words: string;
  readonly rows: readonly Row[];
}

/** Pump and heaters as chains of switches: every link must be closed. */
export interface Chain {
  readonly of: string;
  readonly links: readonly string[];
}

export interface Sheet {
  readonly tank: string;
  readonly groups: readonly Group[];
  readonly chains: readonly Chain[];
  readonly budget: BoxBudget;
  /** What the settings mean for the box. */
  readonly boxLines: readonly string[];
  /** What dies with the computer, and what does not. */
  readonly whenItDies: string;
  readonly advice: readonly string[];
  readonly missing: readonly string[];
}

/** Everything that stands on the wiring sheet of these settings. */
export function sheetOf(settings: Settings): Sheet {
  const rows = [...inputRows(settings), ...outputRows(settings)];
  return {
    tank: settings.tank.name,
    groups: Object.keys(settings.boards).map((board) => ({
      board,
      words: boardWords(settings, board),
      rows: rows.filter((row) => row.board === board),
    })),
    chains: chainsOf(settings),
    budget: boxBudget(settings),
    boxLines: describeBox(settings),
    whenItDies: whenItDies(settings),
    advice: adviceOn(settings),
    missing: missingParts(settings),
  };
}

function boardWords({ boards }: Settings, name: string): string {
  const board = boards[name];
  switch (board?.kind) {
    case "firmata":
      return `input board, ${board.port}, ${board.firmware} firmware`;
    case "modbus": {
      const parity = { none: "N", even: "E", odd: "O" }[board.parity];
      return `Modbus RTU line, ${board.port}, ${board.baud} baud, 8${parity}${board.stopBits}`;
    }
    case "one-wire":
      return `1-Wire bus, ${board.folder}`;
    case "text":
      return `text instrument, ${board.port}, ${board.baud} baud`;
    default:
      return "";
  }
}

function chainsOf({ outputs }: Settings): Chain[] {
  const pin = (part: OutputPart) => `pin ${outputs[part]?.pin}`;
  const chains: Chain[] = [];
  if (outputs["top-off-pump"]) {
    const links = [
      "12 or 24 V DC",
      "fuse",
      "high float, own contact",
      `relay ${pin("top-off-pump")}`,
      `guard ${pin("water-guard")}`,
    ];
    chains.push({ of: "pump", links });
  }
  for (const heater of HEATER_PARTS) {
    if (outputs[heater] === undefined) continue;
    const switches = [`relay ${pin(heater)}`, `guard ${pin(GUARD_OF[heater])}`];
    chains.push({ of: PART_WORDS[heater], links: ["mains behind an RCD", "fuse", ...switches, "own thermostat"] });
  }
  return chains;
}

export const litres = (value: number): string => `${value.toFixed(1)} L`;

export function whenItDies({ boards, outputs, independentGuard, attendedMinutes }: Settings): string {
  const carriers = new Set(Object.values(outputs).flatMap((output) => output?.board ?? []));
  if (carriers.size === 0) return "No output is wired: nothing can be left on.";
  const holding = [...carriers].filter((name) => {
    const board = boards[name];
    return board?.kind !== "firmata" || board.firmware !== "guard";
  });
  if (holding.length === 0) return "The guard firmware opens relays and guards 2 s after the last healthy scan.";
  if (independentGuard !== null) return `The board holds its outputs. What opens them: “${independentGuard}”`;
  return `The board holds its outputs. ATTENDED ONLY: somebody stays beside the box for ${attendedMinutes} min.`;
}
