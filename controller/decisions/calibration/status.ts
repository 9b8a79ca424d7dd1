import {
  CALIBRATED,
  CALIBRATED_UNITS,
  type Calibrated,
  type CalibrationStatus,
  type CalibrationValue,
  type SessionStatus,
} from "../../../shared/contract/calibration.ts";
import type { Settings } from "../../../shared/settings/schema.ts";
import { settingOf } from "./effective.ts";
import { type CalibrationMemory, calibrationAgeMs } from "./memory.ts";

/** What calibration shows of itself. */
export function calibrationStatus(
  memory: CalibrationMemory,
  session: SessionStatus | null,
  settings: Settings,
): CalibrationStatus {
  const inForce = Object.fromEntries(CALIBRATED.map((what) => [what, valueNow(what, memory, settings)])) as Record<
    Calibrated,
    CalibrationValue
  >;
  const entries = memory.entries.map(({ beforeNumber: _, doubt: __, ageMs, ...entry }) => ({
    ...entry,
    unit: CALIBRATED_UNITS[entry.what],
    ageMs: ageMs + memory.sinceMs,
  }));
  return { inForce, session, entries };
}

function valueNow(what: Calibrated, memory: CalibrationMemory, settings: Settings): CalibrationValue {
  const value = memory.values[what];
  return {
    value: value?.value ?? settingOf(what, settings),
    unit: CALIBRATED_UNITS[what],
    number: value?.number ?? null,
    ageMs: calibrationAgeMs(memory, what),
  };
}
