import type { CalibrationStatus } from "../../../shared/contract/calibration.ts";
import type { Key } from "../machine.ts";
import type { CalibrationMemory, Values } from "./memory.ts";
import type { SessionMemory } from "./session.ts";

export interface CalibrationVolatile {
  /** The calibration under way. */
  readonly session: SessionMemory | null;
  /** What the readings of the last scan were corrected by; null = no scan yet. */
  readonly corrected: Values | null;
  /** What is shown, made anew when something of it has changed. */
  readonly shown: Shown | null;
}

export interface Shown {
  /** What it was made from: while these are the same, it is shown again as it is. */
  readonly entries: CalibrationMemory["entries"];
  readonly session: SessionMemory | null;
  readonly status: CalibrationStatus;
}

export const CALIBRATION: Key<CalibrationMemory, CalibrationVolatile> = { name: "calibration" };
