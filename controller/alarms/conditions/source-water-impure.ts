import { type Condition, never } from "../condition.ts";
import { isAbsent, isHigh } from "../evidence.ts";

const DEADBAND_MG_PER_L = 0.25;

/**
 * Common practice: the water behind a deionising cartridge holds next to nothing, and the cartridge is changed at 1 mg/L
 * (strict) to 5 mg/L (lax) of dissolved solids. The first minutes of a run of the membrane are always worse.
 */
export const sourceWaterImpure: Condition = {
  id: "source-water-impure",
  title: "The source water is not pure",
  priority: "low",
  cause: "The deionising cartridge is spent, or the membrane lets too much through.",
  consequence: "What it lets through, silicate and nitrate first, gathers in the box with every litre poured.",
  whatToDo: "Measure the reservoir by hand and enter it. Change the cartridge, and say so: its litres then count anew.",
  timeToRespond: "A week.",
  inAbsence: "rests",
  onDelayMs: 600_000,
  offDelayMs: 600_000,
  deadband: "0.25 mg/L",
  limit: "1 mg/L of dissolved solids (factor 0.5)",
  clears: "by-itself",
  suppressedWhen: "during an absence",
  stands: ({ sourceWater: { tds } }, { alarms }, isActive) =>
    isHigh(tds.value, alarms.sourceTdsMgPerL, DEADBAND_MG_PER_L, isActive && tds.doubt !== "not-fitted"),
  suppressed: isAbsent,
  lockedOut: never,
  detail: ({ sourceWater: { tds, litresSinceChange } }) => {
    if (tds.value === null) return null;
    const litres =
      litresSinceChange === null ? "" : `, ${litresSinceChange.toFixed(0)} L since the cartridge was changed`;
    return `${tds.value.toFixed(1)} mg/L${litres}`;
  },
};
