import { microsiemensPerCm } from "../units/index.ts";
import { type MilligramsPerLitreTds, tdsFromConductivity } from "./tds.ts";

/** What a cell in the water that fills the reservoir says of it. */
export interface SourceWater {
  readonly conductivityAt25UsPerCm: number;
  /** Dissolved solids by the factor of sodium chloride. */
  readonly tdsMgPerL: MilligramsPerLitreTds;
}

/** Fresh water changes by about 2 % a kelvin; common practice, and good enough to see a spent cartridge. */
const PERCENT_PER_K = 2;
/** Factor of sodium chloride, common practice. A meter with another factor shows another number for the same water. */
export const SOURCE_TDS_FACTOR = 0.5;

/** Null where the cell has no thermometer: the difference between seasons would look like a spent cartridge. */
export function sourceWaterFrom(cell: {
  readonly conductivityMsPerCm: number;
  readonly temperatureC: number | null;
}): SourceWater | null {
  if (cell.temperatureC === null) return null;
  const at25 = (cell.conductivityMsPerCm * 1000) / (1 + (PERCENT_PER_K / 100) * (cell.temperatureC - 25));
  const tdsMgPerL = tdsFromConductivity(microsiemensPerCm(at25), SOURCE_TDS_FACTOR);
  return tdsMgPerL === null ? null : { conductivityAt25UsPerCm: at25, tdsMgPerL };
}
