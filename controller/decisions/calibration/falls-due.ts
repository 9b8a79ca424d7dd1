import { type Due, dueHours } from "../../../shared/contract/absence.ts";
import { CALIBRATION_DUE_MS, HOUR_MS } from "../../../shared/settings/limits.ts";

const HOURS_A_DAY = 24;
const RENEWED_H = CALIBRATION_DUE_MS / HOUR_MS;

/** When the cell is to be calibrated again; the only probe whose reading wanders from week to week. */
export function calibrationDue(calibrationDays: number): Due {
  const inH = dueHours(RENEWED_H - calibrationDays * HOURS_A_DAY);
  return { kind: "calibration", of: "conductivity probe", inH, earliestH: inH, renewedH: RENEWED_H };
}
