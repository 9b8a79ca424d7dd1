import { milligramsPerLitreTds, tdsFromConductivity } from "../../shared/chemistry/index.ts";
import type { ConductivityReading } from "../../shared/contract/reading.ts";
import { microsiemensPerCm } from "../../shared/units/index.ts";

/** What the cell in the water that fills the reservoir says of it. */
export interface SourceWater {
  readonly conductivityAt25UsPerCm: number;
  /** Dissolved solids by the factor of sodium chloride. */
  readonly tdsMgPerL: number;
}

/** Fresh water changes by about 2 % a kelvin; common practice, and good enough to see a spent cartridge. */
const PERCENT_PER_K = 2;
/** Factor of sodium chloride, common practice. A meter with another factor shows another number for the same water. */
export const TDS_FACTOR = 0.5;

/** Null where the cell has no thermometer: the difference between seasons would look like a spent cartridge. */
export function sourceWaterFrom({ conductivityMsPerCm, temperatureC }: ConductivityReading): SourceWater | null {
  if (temperatureC === null) return null;
  const at25 = (conductivityMsPerCm * 1000) / (1 + (PERCENT_PER_K / 100) * (temperatureC - 25));
  const tds = tdsFromConductivity(microsiemensPerCm(at25), TDS_FACTOR);
  if (tds === null) return null;
  return { conductivityAt25UsPerCm: at25, tdsMgPerL: milligramsPerLitreTds(tds) };
}
