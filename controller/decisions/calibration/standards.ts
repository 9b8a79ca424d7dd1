import { STANDARDS, type Standard } from "../../../shared/contract/calibration.ts";
import type { CalibrateRequest } from "../../../shared/contract/requests.ts";
import { standardConductivity } from "../../../shared/seawater/index.ts";
import { celsius } from "../../../shared/units/index.ts";

export type StandardRequest = Extract<CalibrateRequest, { readonly step: "standard" }>;

export const STANDARD_WORDS: Readonly<Record<Standard, string>> = {
  "sea-water-35": "sea water of salinity 35",
  "kcl-0.1-molal": "potassium chloride, 0.1 mol/kg",
  "kcl-0.01-molal": "potassium chloride, 0.01 mol/kg",
  "kcl-0.1-molar": "potassium chloride, 12.88 mS/cm at 25 °C",
  label: "the standard by its label",
};

/** Half-width of the doubt in what a standard conducts, percent: bottles state 1 %, a careful weighing is better. */
const DOUBT_PERCENT: Readonly<Record<Standard, number>> = {
  "sea-water-35": 0.5,
  "kcl-0.1-molal": 0.5,
  "kcl-0.01-molal": 0.5,
  "kcl-0.1-molar": 1,
  label: 1,
};
/** A standard far below sea water leaves the cell's straightness unseen: common practice. */
const FAR_BELOW_MS_PER_CM = 20;
const FAR_PERCENT = 1;

export const standardDoubtPercent = (standard: Standard, expectedMsPerCm: number): number =>
  Math.hypot(DOUBT_PERCENT[standard], expectedMsPerCm < FAR_BELOW_MS_PER_CM ? FAR_PERCENT : 0);

/** A label speaks of one temperature; with its own change per kelvin, of those near it. */
const NEAR_LABEL_K = 1;
const WITH_SLOPE_K = 10;

/** What the standard conducts at this temperature, mS/cm; else why that is not known. */
export function expectedOf(request: StandardRequest, temperatureC: number): number | string {
  const { standard, labelMsPerCm, labelC, labelPercentPerK } = request;
  if (standard !== "label") {
    return (
      standardConductivity(standard, celsius(temperatureC)) ??
      `This standard is known from 0 to 40 °C, and it has ${temperatureC.toFixed(1)} °C.`
    );
  }
  if (labelMsPerCm === undefined || labelC === undefined) {
    return "Say what the bottle says: conductivity and temperature (labelMsPerCm, labelC).";
  }
  const beyondK = Math.abs(temperatureC - labelC);
  if (labelPercentPerK === undefined && beyondK > NEAR_LABEL_K) {
    return `The bottle speaks of ${labelC} °C and the standard has ${temperatureC.toFixed(1)} °C: bring it within ${NEAR_LABEL_K} K, or give its change per kelvin.`;
  }
  if (beyondK > WITH_SLOPE_K) return `Bring the standard within ${WITH_SLOPE_K} K of the ${labelC} °C of its label.`;
  return labelMsPerCm * (1 + ((labelPercentPerK ?? 0) / 100) * (temperatureC - labelC));
}

const READS_LIKE = 0.05;

/** The other standard that this reading would fit; null = none. */
export function readsLike(readMsPerCm: number, temperatureC: number, asked: Standard): string | null {
  const found = STANDARDS.find((standard) => {
    if (standard === "label" || standard === asked) return false;
    const expected = standardConductivity(standard, celsius(temperatureC));
    return expected !== null && Math.abs(readMsPerCm / expected - 1) < READS_LIKE;
  });
  return found === undefined ? null : STANDARD_WORDS[found];
}
