import {
  CALIBRATED,
  type CalibrationStatus,
  PROOF_PARTS,
  type ProvingStatus,
  type RunStatus,
} from "../../../shared/contract/index.ts";
import { NoVisit, type Visit } from "../at-tank/visit.ts";

/** What the controller says of its proofs, as it was told last. */
export function provingOf(visit: Visit): ProvingStatus {
  const status = statusOn<ProvingStatus>(visit, "proving/status");
  if (PROOF_PARTS.some((part) => status.parts?.[part] === undefined)) throw new NoVisit(ANOTHER_VERSION);
  return status;
}

export function calibrationOf(visit: Visit): CalibrationStatus {
  const status = statusOn<CalibrationStatus>(visit, "calibration/status");
  if (CALIBRATED.some((what) => status.inForce?.[what] === undefined)) throw new NoVisit(ANOTHER_VERSION);
  return status;
}

export const ENDED = "The controller has ended. What was proven and calibrated is kept.";
const ANOTHER_VERSION =
  "The running controller is of another version than this command. Start both from the same folder.";

function statusOn<Status>(visit: Visit, place: string): Partial<Status> & Status {
  if (visit.isGone()) throw new NoVisit(ENDED);
  try {
    return JSON.parse(visit.text(place)) as Status;
  } catch {
    throw new NoVisit("The running controller has said nothing of this yet; try again in a moment.");
  }
}

/** Seconds that a run has left: between two words of the controller they are counted here. */
export function createCountdown(speed: number, nowMs: () => number): (run: RunStatus) => number {
  let told: RunStatus | null = null;
  let toldAtMs = 0;
  return (run) => {
    if (told === null || told.part !== run.part || told.phase !== run.phase || told.leftMs !== run.leftMs) {
      told = run;
      toldAtMs = nowMs();
    }
    return Math.max(0, Math.ceil((run.leftMs - (nowMs() - toldAtMs) * speed) / 1000));
  };
}
