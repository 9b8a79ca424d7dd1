import type { Calibrated } from "../../../shared/contract/calibration.ts";
import { oncePerSettings } from "../../../shared/settings/once.ts";

/** The settings that a calibration was made under: wiring and kind of the part, and the value that it stands for. */
export type CalibrationPrints = Readonly<Record<Calibrated, string>>;

export const calibrationPrints = oncePerSettings(
  ({ inputs, outputs, tank, topOff }): CalibrationPrints => ({
    conductivity: printOf(inputs["conductivity-probe"]),
    "thermometer-1": printOf(inputs["thermometer-1"]),
    "thermometer-2": printOf(inputs["thermometer-2"]),
    "top-off-flow": printOf([outputs["top-off-pump"], topOff.provenFlowLPerMin]),
    "high-float-mm": printOf(tank.highFloatMm),
    "low-float-mm": printOf(tank.lowFloatMm),
    "float-hysteresis-mm": printOf(tank.floatHysteresisMm),
    "pump-off-level-mm": printOf(tank.pumpOffLevelMm),
  }),
);

const printOf = (value: unknown): string => fingerprint(JSON.stringify(value ?? null));

/** Fowler, Noll and Vo's hash (FNV-1a) in 32 bits. */
export function fingerprint(text: string): string {
  let hash = 0x811c9dc5;
  for (let index = 0; index < text.length; index++) hash = Math.imul(hash ^ text.charCodeAt(index), 0x01000193);
  return (hash >>> 0).toString(16);
}
