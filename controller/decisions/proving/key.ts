import type { ProvingStatus } from "../../../shared/contract/proving.ts";
import type { ScanRecord } from "../../../shared/contract/record.ts";
import type { CalibrationMemory } from "../calibration/memory.ts";
import type { SessionMemory } from "../calibration/session.ts";
import type { Key } from "../machine.ts";
import type { ProofsMemory, ProvingMemory } from "./memory.ts";

export interface ProvingVolatile {
  /** What was seen of parts lately, and the run under way. */
  readonly proving: ProvingMemory;
  /** What is shown, made anew only when something of it has changed: it costs more than the scan. */
  readonly shown: Shown | null;
}

export interface Shown {
  /** What it was made from: while these are the same, it is shown again as it is. */
  readonly parts: ProofsMemory["parts"];
  readonly from: ProvingMemory;
  readonly atTankMs: number;
  readonly entries: CalibrationMemory["entries"];
  readonly session: SessionMemory | null;
  readonly ages: ScanRecord["proofs"];
  readonly status: ProvingStatus;
}

export const PROVING: Key<ProofsMemory, ProvingVolatile> = { name: "proving" };
