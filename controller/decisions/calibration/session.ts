import type { Session, SessionStatus, StandardTaken } from "../../../shared/contract/calibration.ts";
import type { Elapsed } from "../../../shared/contract/elapsed.ts";
import {
  DRY_MOST_MS_PER_CM,
  SESSION_MOST_MS,
  STEADY_CELL_MS,
  STEADY_THERMOMETER_MS,
} from "../../../shared/settings/limits.ts";
import {
  CELL,
  followStill,
  isStill,
  meanOf,
  NOT_STILL,
  type Still,
  type StillKind,
  THERMOMETER,
  watchedMs,
} from "./still.ts";

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

export function followSession(memory: SessionMemory, reads: SessionReads, elapsed: Elapsed): SessionMemory | null {
  if (memory.leftMs <= elapsed.ms) return null;
  const spanMs = neededMs(memory.session);
  return {
    ...memory,
    leftMs: memory.leftMs - elapsed.ms,
    cell: followStill(memory.cell, reads.cellMsPerCm, CELL, spanMs, elapsed.creditMs),
    cellC: followStill(memory.cellC, reads.cellC, THERMOMETER, spanMs, elapsed.creditMs),
    first: followStill(memory.first, reads.firstC, THERMOMETER, spanMs, elapsed.creditMs),
    second: followStill(memory.second, reads.secondC, THERMOMETER, spanMs, elapsed.creditMs),
    reads,
  };
}

const neededMs = (session: Session): number => (session === "conductivity" ? STEADY_CELL_MS : STEADY_THERMOMETER_MS);

/** What was read until now counts no longer. */
export const watchedAnew = (memory: SessionMemory): SessionMemory => ({
  ...memory,
  cell: NOT_STILL,
  cellC: NOT_STILL,
  first: NOT_STILL,
  second: NOT_STILL,
});

/** The means of what the probes have said since they jumped last; null = no value. */
export const steadyReads = ({ cell, cellC, first, second }: SessionMemory): SessionReads => ({
  cellMsPerCm: meanOf(cell),
  cellC: meanOf(cellC),
  firstC: meanOf(first),
  secondC: meanOf(second),
});

export interface Steadiness {
  /** Watched without a jump, and for how long it has to be. */
  readonly forMs: number;
  readonly neededMs: number;
  readonly steady: boolean;
}

/** Whether all that the session reads has stood still for long enough. */
export function steadiness({ session, cell, cellC, first, second, reads }: SessionMemory): Steadiness {
  const [ofCell, ofCellC] = [of(cell, CELL), of(cellC, THERMOMETER)];
  const [ofFirst, ofSecond] = [of(first, THERMOMETER), of(second, THERMOMETER)];
  const watched = {
    conductivity: reads.cellC === null ? [ofCell] : [ofCell, ofCellC],
    "thermometer-1": [ofFirst],
    "thermometer-2": [ofSecond],
    thermometers: [ofFirst, ofSecond],
  }[session];
  const spanMs = neededMs(session);
  const forMs = Math.min(...watched.map(({ still }) => watchedMs(still, spanMs)));
  const steady = watched.every(({ still, kind }) => isStill(still, kind));
  return { forMs, neededMs: spanMs, steady };
}

const of = (still: Still, kind: StillKind) => ({ still, kind });

export const isDry = (reads: SessionReads): boolean =>
  reads.cellMsPerCm !== null && reads.cellMsPerCm <= DRY_MOST_MS_PER_CM;

export function sessionStatus(memory: SessionMemory): SessionStatus {
  const { session, by, leftMs, dry, taken, reads } = memory;
  const { forMs, neededMs, steady } = steadiness(memory);
  const readNow = {
    conductivity: reads.cellMsPerCm,
    "thermometer-1": reads.firstC,
    "thermometer-2": reads.secondC,
    thermometers: reads.firstC,
  }[session];
  const temperatureC = { conductivity: reads.cellC, thermometers: reads.secondC }[session as string] ?? null;
  const next = nextWords(memory, steady);
  return { session, by, leftMs, reads: readNow, temperatureC, watchedMs: forMs, neededMs, steady, dry, taken, next };
}

function nextWords({ session, dry, taken, repeat, reads }: SessionMemory, steady: boolean): string {
  const wait = steady ? "It stands still:" : "Wait until it stands still; then";
  switch (session) {
    case "conductivity": {
      if (!dry) return "Clean the cell, rinse it with pure water, let it hang in the air until it is dry, and say so.";
      if (taken.length > 0) return "Let it count, or take a second standard first.";
      const again = repeat === null ? "" : "Once more, with fresh standard. ";
      const hang = "Rinse the cell with a little of the standard and hang it in the rest, without bubbles.";
      return isDry(reads) ? `${again}${hang}` : `${again}${hang} ${wait} take the standard.`;
    }
    case "thermometers":
      return `Hang both thermometers together in the same stirred water. ${IN_THE_TANK} ${wait} take both as they stand.`;
    default:
      return `Hang it beside the reference in the same stirred water. ${IN_THE_TANK} ${wait} say what the reference reads.`;
  }
}

const IN_THE_TANK =
  "Best in the tank; in a cup only during a hold with the heater off, for the heat goes by what they say.";
