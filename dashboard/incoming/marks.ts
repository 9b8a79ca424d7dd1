import type { Mark } from "../../shared/contract/calibration.ts";
import type { Box } from "./box.ts";
import { readCalibration } from "./calibration.ts";

/** Heights of the floats above the working mark: as the controller says just now, else as it said to the opening page. */
export interface ShownMarks {
  readonly highFloatMm: number;
  readonly lowFloatMm: number;
}

export function readMarks(box: Pick<Box, "tank" | "text">): ShownMarks {
  const { highFloatMm, lowFloatMm } = box.tank.geometry;
  const inForce = readCalibration(box.text("calibration", "status"))?.inForce ?? [];
  const mm = (mark: Mark) => inForce.find(({ what }) => what === mark)?.value;
  return { highFloatMm: mm("high-float-mm") ?? highFloatMm, lowFloatMm: mm("low-float-mm") ?? lowFloatMm };
}
