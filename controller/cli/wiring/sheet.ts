import { GUARD_OF, HEATER_PARTS, OUTPUT_PARTS, type OutputPart, PART_WORDS } from "../../../shared/contract/parts.ts";
import { type BoxBudget, boxBudget, describeSetting, type Settings } from "../../../shared/settings/index.ts";
import type { KeeperUnits } from "../../../shared/units/index.ts";
import { describeBox } from "../box-words.ts";
import { adviceOn, missingParts } from "./advice.ts";
import { inputRows } from "./input-rows.ts";
import { outputRows } from "./output-rows.ts";
import { pinWords } from "./pins.ts";
import type { Row } from "./row.ts";

export interface Group {
  readonly board: string;
  /** A board with pins; else a bus or a line, with these wires. */
  readonly isPinned: boolean;
  readonly wires: string;
  readonly words: string;
  readonly rows: readonly Row[];
  /** What senses power behind a contact, on a pin of this board. */
  readonly sensors: readonly Pick<Row, "words" | "terminal" | "drawing">[];
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
  readonly units: KeeperUnits;
  /** Null = nothing is poured. */
  readonly budget: BoxBudget | null;
  /** What the settings mean for the box. */
  readonly boxLines: readonly string[];
  /** What has to be measured before anything is run. */
  readonly toMeasure: readonly string[];
  /** What dies with the computer, and what does not. */
  readonly whenItDies: string;
  readonly advice: readonly string[];
  readonly missing: readonly string[];
}

/** Everything that stands on the wiring sheet of these settings. */
export function sheetOf(settings: Settings, toMeasure: readonly string[] = []): Sheet {
  const rows = [...inputRows(settings), ...outputRows(settings)];
  return {
    tank: settings.tank.name,
    groups: Object.keys(settings.boards).map((board) => ({
      board,
      isPinned: settings.boards[board]?.kind === "firmata",
      wires: WIRES[settings.boards[board]?.kind ?? "firmata"],
      words: boardWords(settings, board),
      rows: rows.filter((row) => row.board === board),
      sensors: sensorsOn(settings, board),
    })),
    chains: chainsOf(settings),
    units: settings.units,
    budget: settings.outputs["top-off-pump"] === undefined ? null : boxBudget(settings),
    boxLines: describeBox(settings),
    toMeasure: toMeasure.map(describeSetting),
    whenItDies: whenItDies(settings),
    advice: adviceOn(settings),
    missing: missingParts(settings),
  };
}

const sensorsOn = ({ outputs }: Settings, board: string): Group["sensors"] =>
  OUTPUT_PARTS.flatMap((part) => {
    const sensed = outputs[part]?.sensed;
    if (sensed?.board !== board) return [];
    return [
      {
        words: `power behind ${PART_WORDS[part]}`,
        terminal: pinWords(sensed.pin),
        drawing: sensed.closedWhen === "off" ? "closed-contact" : "open-contact",
      },
    ];
  });

const WIRES = {
  firmata: "",
  "one-wire": "3.3 V, data, ground; 4.7 kΩ from data to 3.3 V",
  modbus: "A, B, ground; 120 Ω at both ends of a long line",
  text: "its own cable",
} as const;

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
