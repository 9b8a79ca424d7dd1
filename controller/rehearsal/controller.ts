import type { Commands, Field, Image, Request, ScanRecord, StartNews } from "../../shared/contract/index.ts";
import type { Settings } from "../../shared/settings/index.ts";
import { TOP_OFF } from "../decisions/top-off/key.ts";
import { keptIn, type Memory, type StoredMemory, toStore, withKept } from "../scan/memory.ts";
import type { Step } from "../scan/step.ts";
import { witnessOf } from "../scan/witness.ts";
import type { ControllerFaults } from "./faults/kind.ts";

/** What is rehearsed: the scan and the two ways to begin. Checks put a wicked one in its place. */
export interface Core {
  readonly step: (memory: Memory, image: Image, settings: Settings) => Step;
  readonly provenMemory: (settings: Settings) => Memory;
  readonly restored: (stored: StoredMemory | null, settings: Settings, sequence: number) => Memory;
}

export interface Scanned {
  readonly image: Image;
  readonly record: ScanRecord;
  readonly commands: Commands;
}

/** The computer around the scan: its disk, its memory, and how it dies and comes back. */
export interface Controller extends ControllerFaults {
  /** False while it is killed, and for good after a scan has stopped on a broken invariant of its own. */
  alive(): boolean;
  scan(look: ReturnType<Field["look"]>, requests: readonly Request[], elapsedMs: number, settings: Settings): Scanned;
  /** Time passes; a killed controller comes back by itself: true when it just did. */
  pass(dtMs: number): boolean;
  /** For the rest of the run: outputs expire. */
  stop(): void;
}

interface Computer {
  memory: Memory;
  /** Of this memory the durable part is on disk, and of that one it will be there at the next scan. */
  onDisk: Memory;
  onItsWay: Memory;
  start: StartNews | null;
  /** Null while it runs. */
  offMs: number | null;
  backAfterMs: number;
  stopped: boolean;
  killInPourMs: number | null;
  pouringScans: number;
  nextMemory: "sound" | "missing" | "older";
  oldHours: number;
  clockJumpedMs: number;
  runMs: number;
  /** One durable memory an hour, for a restart with an old one; no more of them than that may ask for. */
  readonly hourly: Memory[];
  /** Hours before the oldest that is kept. */
  droppedH: number;
  readonly keptH: number;
}

const MS_PER_H = 3_600_000;
/** A second into a pour is the middle of it. */
const MID_POUR_SCANS = 4;

function withReservoir(memory: Memory, litres: number): Memory {
  const { durable, volatile } = keptIn(memory, TOP_OFF);
  return withKept(memory, TOP_OFF, { durable: { ...durable, reservoirUl: Math.round(litres * 1e6) }, volatile });
}

/** `oldestH`: how old a memory may be that a fault brings back. `reservoirL`: what the keeper has told; left out = full. */
export function createController(core: Core, settings: Settings, oldestH: number, reservoirL?: number): Controller {
  const proven = core.provenMemory(settings);
  const memory = reservoirL === undefined ? proven : withReservoir(proven, reservoirL);
  const computer: Computer = {
    memory,
    onDisk: memory,
    onItsWay: memory,
    start: { memory: "sound", offMs: 0 },
    offMs: null,
    backAfterMs: 0,
    stopped: false,
    killInPourMs: null,
    pouringScans: 0,
    nextMemory: "sound",
    oldHours: 0,
    clockJumpedMs: 0,
    runMs: 0,
    hourly: [],
    droppedH: 0,
    keptH: Math.ceil(oldestH) + 1,
  };
  return {
    alive: () => computer.offMs === null && !computer.stopped,
    scan: (look, requests, elapsedMs, now) => scan(computer, core, now, look, requests, elapsedMs),
    pass: (dtMs) => pass(computer, core, settings, dtMs),
    stop: () => {
      computer.stopped = true;
    },
    kill: (forMs) => kill(computer, forMs),
    killInNextPour: (forMs) => {
      computer.killInPourMs = forMs;
    },
    loseMemory: () => {
      computer.nextMemory = "missing";
    },
    useOldMemory: (hours) => {
      computer.nextMemory = "older";
      computer.oldHours = hours;
    },
    // Only a jump between the last note on disk and the next start can make the time off look wrong.
    jumpClock: (byMs) => {
      if (computer.offMs !== null) computer.clockJumpedMs += byMs;
    },
  };
}

function scan(
  computer: Computer,
  core: Core,
  settings: Settings,
  look: ReturnType<Field["look"]>,
  requests: readonly Request[],
  elapsedMs: number,
): Scanned {
  // The disk confirms one scan later what the last scan wanted kept.
  computer.onDisk = computer.onItsWay;
  const image: Image = {
    elapsedMs: computer.start === null ? elapsedMs : 0,
    start: computer.start,
    readings: look.readings,
    seen: look.seen,
    board: look.board,
    durableSequence: computer.onDisk.durable.sequence,
    disk: "working",
    requests,
  };
  const { memory, commands, record } = core.step(computer.memory, image, settings);
  computer.memory = memory;
  computer.onItsWay = memory;
  computer.start = null;
  watchPour(computer, commands["top-off-pump"]);
  return { image, record, commands };
}

function watchPour(computer: Computer, pouring: boolean): void {
  computer.pouringScans = pouring ? computer.pouringScans + 1 : 0;
  if (computer.killInPourMs === null || computer.pouringScans < MID_POUR_SCANS) return;
  kill(computer, computer.killInPourMs);
  computer.killInPourMs = null;
}

function kill(computer: Computer, forMs: number): void {
  computer.offMs ??= 0;
  computer.backAfterMs = forMs;
  computer.clockJumpedMs = 0;
}

function pass(computer: Computer, core: Core, settings: Settings, dtMs: number): boolean {
  computer.runMs += dtMs;
  if (computer.runMs >= (computer.droppedH + computer.hourly.length) * MS_PER_H) keepHourly(computer);
  if (computer.offMs === null) return false;
  computer.offMs += dtMs;
  if (computer.offMs < computer.backAfterMs) return false;
  comeBack(computer, core, settings, computer.offMs);
  return true;
}

function keepHourly(computer: Computer): void {
  computer.hourly.push(computer.onDisk);
  if (computer.hourly.length <= computer.keptH) return;
  computer.hourly.shift();
  computer.droppedH += 1;
}

function comeBack(computer: Computer, core: Core, settings: Settings, offMs: number): void {
  const found = memoryFound(computer);
  // A clock that was set back says less than nothing.
  const shownOffMs = offMs + computer.clockJumpedMs;
  computer.memory = core.restored(found, settings, computer.onDisk.durable.sequence);
  // The witness is a file of its own, and outlives the memory.
  const witness = witnessOf(toStore(computer.onDisk));
  computer.start = { memory: computer.nextMemory, offMs: shownOffMs >= 0 ? shownOffMs : null, witness };
  computer.onItsWay = computer.memory;
  computer.offMs = null;
  computer.nextMemory = "sound";
  computer.pouringScans = 0;
}

function memoryFound(computer: Computer): StoredMemory | null {
  if (computer.nextMemory === "missing") return null;
  if (computer.nextMemory === "sound") return toStore(computer.onDisk);
  const atH = Math.max(0, Math.floor(computer.runMs / MS_PER_H - computer.oldHours) - computer.droppedH);
  return toStore(computer.hourly[Math.min(atH, computer.hourly.length - 1)] ?? computer.onDisk);
}
