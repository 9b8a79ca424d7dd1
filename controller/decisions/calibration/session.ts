import type { Session, SessionStatus, StandardTaken } from "../../../shared/contract/calibration.ts";
import {
  DRY_MOST_MS_PER_CM,
  SESSION_MOST_MS,
  STEADY_CELL_MS,
  STEADY_K,
  STEADY_MS_PER_CM,
  STEADY_THERMOMETER_MS,
} from "../../../shared/settings/limits.ts";

/** For how long a value has stayed near one place. */
export interface Still {
  readonly anchor: number | null;
  readonly forMs: number;
  /** Of all that was read meanwhile: quieter than any single reading. */
  readonly mean: number;
}

/** A calibration under way. Volatile: what was measured before a restart is measured again. */
export interface SessionMemory {
  readonly session: Session;
  readonly by: string | null;
  readonly leftMs: number;
  readonly cell: Still;
  readonly cellC: Still;
  readonly first: Still;
  readonly second: Still;
  readonly dry: boolean;
  readonly taken: readonly StandardTaken[];
  /** A factor that changes much and waits to be found a second time; null = none. */
  readonly repeat: number | null;
  /** What the probes say in this scan. */
  readonly reads: SessionReads;
}

/** Corrected by what was in force before the session; null = no value. */
export interface SessionReads {
  /** In the air as well, where the signal says nothing. mS/cm. */
  readonly cellMsPerCm: number | null;
  readonly cellC: number | null;
  readonly firstC: number | null;
  readonly secondC: number | null;
}

const NOT_STILL: Still = { anchor: null, forMs: 0, mean: 0 };
export const NO_READS: SessionReads = { cellMsPerCm: null, cellC: null, firstC: null, secondC: null };

export const newSession = (session: Session, by: string | null, reads: SessionReads): SessionMemory => ({
  session,
  by,
  leftMs: SESSION_MOST_MS,
  cell: NOT_STILL,
  cellC: NOT_STILL,
  first: NOT_STILL,
  second: NOT_STILL,
  dry: false,
  taken: [],
  repeat: null,
  reads,
});

/** Of the value: a cell in sea water is never quieter than this. */
const STEADY_SHARE = 0.001;

export function followSession(
  memory: SessionMemory,
  reads: SessionReads,
  creditMs: number,
  elapsedMs: number,
): SessionMemory | null {
  if (memory.leftMs <= elapsedMs) return null;
  const cellWithin = Math.max(STEADY_MS_PER_CM, STEADY_SHARE * (reads.cellMsPerCm ?? 0));
  return {
    ...memory,
    leftMs: memory.leftMs - elapsedMs,
    cell: still(memory.cell, reads.cellMsPerCm, cellWithin, creditMs),
    cellC: still(memory.cellC, reads.cellC, STEADY_K, creditMs),
    first: still(memory.first, reads.firstC, STEADY_K, creditMs),
    second: still(memory.second, reads.secondC, STEADY_K, creditMs),
    reads,
  };
}

function still({ anchor, forMs, mean }: Still, value: number | null, within: number, creditMs: number): Still {
  if (value === null) return NOT_STILL;
  if (anchor === null || Math.abs(value - anchor) > within) return { anchor: value, forMs: 0, mean: value };
  const stillMs = forMs + creditMs;
  const share = stillMs === 0 ? 1 : creditMs / stillMs;
  return { anchor, forMs: Math.min(STEADY_THERMOMETER_MS, stillMs), mean: mean + share * (value - mean) };
}

/** What the probes have said while they stood still, as means; null = no value. */
export const steadyReads = ({ cell, cellC, first, second }: SessionMemory): SessionReads => ({
  cellMsPerCm: meanOf(cell),
  cellC: meanOf(cellC),
  firstC: meanOf(first),
  secondC: meanOf(second),
});

const meanOf = ({ anchor, mean }: Still): number | null => (anchor === null ? null : mean);

/** For how long all that the session reads has stood still, and whether that is long enough. */
export function steadiness({ session, cell, cellC, first, second, reads }: SessionMemory): {
  readonly forMs: number;
  readonly steady: boolean;
} {
  const needed = session === "conductivity" ? STEADY_CELL_MS : STEADY_THERMOMETER_MS;
  const forMs = {
    conductivity: reads.cellC === null ? cell.forMs : Math.min(cell.forMs, cellC.forMs),
    "thermometer-1": first.forMs,
    "thermometer-2": second.forMs,
    thermometers: Math.min(first.forMs, second.forMs),
  }[session];
  return { forMs, steady: forMs >= needed };
}

export const isDry = (reads: SessionReads): boolean =>
  reads.cellMsPerCm !== null && reads.cellMsPerCm <= DRY_MOST_MS_PER_CM;

export function sessionStatus(memory: SessionMemory): SessionStatus {
  const { session, by, leftMs, dry, taken, reads } = memory;
  const { forMs, steady } = steadiness(memory);
  const readNow = {
    conductivity: reads.cellMsPerCm,
    "thermometer-1": reads.firstC,
    "thermometer-2": reads.secondC,
    thermometers: reads.firstC,
  }[session];
  const temperatureC = { conductivity: reads.cellC, thermometers: reads.secondC }[session as string] ?? null;
  const next = nextWords(memory, steady);
  return { session, by, leftMs, reads: readNow, temperatureC, steadyMs: forMs, steady, dry, taken, next };
}

function nextWords({ session, dry, taken, repeat }: SessionMemory, steady: boolean): string {
  const wait = steady ? "It stands still." : "Wait until it stands still.";
  switch (session) {
    case "conductivity":
      if (!dry) return "Clean the cell, rinse it with pure water, dry it, let it hang in the air, and send dry.";
      if (taken.length === 0) {
        const again = repeat === null ? "" : "Once more, with fresh standard: ";
        return `${again}Rinse the cell with a little of the standard, hang it in the rest without bubbles. ${wait} Then send standard.`;
      }
      return "Accept what was found, or take a second standard first.";
    case "thermometers":
      return `Hang both thermometers together in the same stirred water. ${wait} Then send reference without a value.`;
    default:
      return `Hang it beside the reference in the same stirred water. ${wait} Then send what the reference says.`;
  }
}
