import { CALIBRATED, type Calibrated } from "../../../shared/contract/calibration.ts";
import { checkSettings } from "../../../shared/settings/check.ts";
import type { Settings } from "../../../shared/settings/schema.ts";
import { settingsWith } from "./effective.ts";
import { type CalibrationMemory, withValues } from "./memory.ts";

/** Which values a fault of the settings is made of, as far as they can be calibrated; elsewhere it may be any. */
const MADE_OF: Readonly<Record<string, readonly Calibrated[]>> = {
  "tank.highFloatMm": ["high-float-mm", "pump-off-level-mm"],
  "topOff.sliceMl": ["top-off-flow"],
};

/**
 * What was calibrated under another file may contradict this one, although its own line in it has not changed: then the
 * file counts and the calibration falls. A flow falls only by a fault of its own, because the file's may be lower.
 */
export function agreeingWith(memory: CalibrationMemory, file: Settings): CalibrationMemory {
  let agreeing = memory;
  for (;;) {
    const effective = settingsWith(file, agreeing.values);
    const [fault] = effective === file ? [] : checkSettings(effective).faults;
    if (fault === undefined) return agreeing;
    const named = MADE_OF[fault.path] ?? [];
    const standing = (what: Calibrated) => agreeing.values[what] !== null;
    const falling = named.some(standing) ? named : CALIBRATED;
    const entries = agreeing.entries.map((each) =>
      falling.includes(each.what) && each.standing !== "undone" ? { ...each, standing: "fallen" as const } : each,
    );
    agreeing = withValues({ ...agreeing, entries });
  }
}
