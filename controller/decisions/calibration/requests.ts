import { CALIBRATED_UNITS, type Calibrated, type Mark } from "../../../shared/contract/calibration.ts";
import type { CalibrateRequest, UndoCalibrationRequest } from "../../../shared/contract/requests.ts";
import { CALIBRATED_WORDS } from "../../../shared/contract/walk.ts";
import { checkSettings } from "../../../shared/settings/check.ts";
import type { Settings } from "../../../shared/settings/schema.ts";
import { settingOf, settingsWith } from "./effective.ts";
import { type CalibrationMemory, calibrated, undone } from "./memory.ts";

export interface CalibrationAnswer {
  readonly calibration: CalibrationMemory;
  readonly accepted: boolean;
  readonly why: string;
}

const MARK_WORDS: Readonly<Record<Mark, string>> = {
  "high-float-mm": "The high float",
  "low-float-mm": "The low float",
  "float-hysteresis-mm": "The way of the working float between low and full",
  "pump-off-level-mm": "The level with the return pump off",
};
/** A ruler on a float: common practice. */
const RULER_MM = 2;

export type MarkRequest = Extract<CalibrateRequest, { readonly step: "mark" }>;

/** A mark measured with a ruler takes the place of the one in the settings, if it goes with the others. */
export function markMeasured(memory: CalibrationMemory, request: MarkRequest, settings: Settings): CalibrationAnswer {
  const { mark, mm, by } = request;
  const refuse = (why: string): CalibrationAnswer => ({ calibration: memory, accepted: false, why });
  if (!Number.isFinite(mm)) return refuse("A mark in millimetres is expected.");
  const before = memory.values[mark]?.value ?? settingOf(mark, settings);
  const calibration = calibrated(memory, {
    what: mark,
    before,
    after: mm,
    by: by ?? null,
    lot: null,
    temperatureC: null,
    standards: [],
    doubt: RULER_MM,
  });
  const [fault] = checkSettings(settingsWith(settings, calibration.values)).faults;
  if (fault !== undefined) return refuse(`${mm} mm does not fit: ${fault.path} must be ${fault.expected}.`);
  return { calibration, accepted: true, why: `Noted. ${MARK_WORDS[mark]}: ${mm} mm, before ${before} mm.` };
}

/** Only the newest of its kind can be taken back: the one before it is in force again, with its own age. */
export function undoCalibration(
  memory: CalibrationMemory,
  request: UndoCalibrationRequest,
  settings: Settings,
): CalibrationAnswer {
  const refuse = (why: string): CalibrationAnswer => ({ calibration: memory, accepted: false, why });
  const entry = memory.entries.find(({ number }) => number === request.number);
  if (entry === undefined) return refuse("There is no calibration of that number.");
  if (entry.standing !== "in-force") {
    return refuse("That one is not in force any more; the newest of its kind can be taken back.");
  }
  const calibration = undone(memory, entry);
  const [fault] = checkSettings(settingsWith(settings, calibration.values)).faults;
  if (fault !== undefined) return refuse(`Without it ${fault.path} must be ${fault.expected}.`);
  const now = calibration.values[entry.what]?.value ?? settingOf(entry.what, settings);
  return { calibration, accepted: true, why: `Taken back; from now on: ${valueWords(entry.what, now)}.` };
}

const valueWords = (what: Calibrated, value: number): string =>
  `${CALIBRATED_WORDS[what]} ${Number(value.toPrecision(4))} ${CALIBRATED_UNITS[what]}`.trimEnd();
