import { CALIBRATED, type StandardTaken } from "../../../shared/contract/calibration.ts";
import type { Settings } from "../../../shared/settings/schema.ts";
import { type CalibrationMemory, type Entry, nothingCalibrated, withValues } from "./memory.ts";

/** Calibrations as they were stored; entries that cannot be read are none, and what they corrected is not corrected. */
export function calibrationFrom(stored: unknown, settings: Settings): CalibrationMemory {
  const nothing = nothingCalibrated(settings);
  if (!isObject(stored) || !Array.isArray(stored.entries)) return nothing;
  const entries = stored.entries.filter(isEntry);
  const { prints, sinceMs, numbers } = stored;
  const highest = Math.max(0, ...entries.map(({ number }) => number));
  return withValues({
    ...nothing,
    entries,
    numbers: Number.isSafeInteger(numbers) ? Math.max(highest, numbers as number) : highest,
    sinceMs: isNumber(sinceMs) ? Math.max(0, sinceMs) : 0,
    prints: { ...nothing.prints, ...(isObject(prints) ? prints : {}) },
  });
}

const isObject = (value: unknown): value is Record<string, unknown> => typeof value === "object" && value !== null;
const isNumber = (value: unknown): value is number => typeof value === "number" && Number.isFinite(value);
const isText = (value: unknown): boolean => value === null || typeof value === "string";

function isEntry(value: unknown): value is Entry {
  if (!isObject(value)) return false;
  const { number, what, before, after, beforeNumber, ageMs, by, lot, temperatureC, standards, doubt, standing } = value;
  return (
    Number.isSafeInteger(number) &&
    (CALIBRATED as readonly unknown[]).includes(what) &&
    [before, after, ageMs, doubt].every(isNumber) &&
    (beforeNumber === null || Number.isSafeInteger(beforeNumber)) &&
    [by, lot].every(isText) &&
    (temperatureC === null || isNumber(temperatureC)) &&
    Array.isArray(standards) &&
    standards.every(isStandard) &&
    ["in-force", "followed", "undone", "fallen"].includes(standing as string)
  );
}

function isStandard(value: unknown): value is StandardTaken {
  if (!isObject(value)) return false;
  const { standard, lot, temperatureC, expectedMsPerCm, readMsPerCm } = value;
  return typeof standard === "string" && isText(lot) && [temperatureC, expectedMsPerCm, readMsPerCm].every(isNumber);
}
