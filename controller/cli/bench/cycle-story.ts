import {
  type MilligramsPerLitreCod,
  type MilligramsPerLitreN,
  milligramsPerLitreN,
  type NitrifyingConditions,
  type NitrifyingWater,
  nitrify,
} from "../../../shared/chemistry/index.ts";
import { days } from "../../../shared/units/index.ts";

export type CycleStory = {
  readonly days: number;
  readonly ammoniaClearDay: number | null;
  readonly nitritePeak: number;
  readonly doneDay: number | null;
  readonly doses: number;
  readonly nitrate: MilligramsPerLitreN;
};

const STEP = days(0.005);
const STEPS_PER_DAY = 200;
const LONGEST_DAYS = 150;
const CLEAR_MG_N_PER_L = 0.25;
const NITRITE_ENOUGH_MG_N_PER_L = 3;

/** The usual way to start a tank (common practice): a dose, again at most daily when ammonia is clear and nitrite not
 *  too high, until a dose is gone to the last 0.25 mg/L of both within a day. Out of range: null. */
export function cycleStory(
  seed: { readonly ammoniaOxidisers: MilligramsPerLitreCod; readonly nitriteOxidisers: MilligramsPerLitreCod },
  dose: MilligramsPerLitreN,
  conditions: NitrifyingConditions,
): CycleStory | null {
  if (!(dose >= CLEAR_MG_N_PER_L && dose <= 10)) return null;
  const none = milligramsPerLitreN(0);
  let water: NitrifyingWater | null = { ammonia: dose, nitrite: none, nitrate: none, ...seed };
  let ammoniaClearDay: number | null = null;
  let nitritePeak = 0;
  let doses = 1;
  let dosedDay = 0;
  for (let step = 1; step <= LONGEST_DAYS * STEPS_PER_DAY; step++) {
    water = nitrify(water, conditions, STEP);
    if (water === null) return null;
    const day = step / STEPS_PER_DAY;
    nitritePeak = Math.max(nitritePeak, water.nitrite);
    if (water.ammonia >= CLEAR_MG_N_PER_L) continue;
    ammoniaClearDay ??= day;
    const clear = water.nitrite < CLEAR_MG_N_PER_L;
    if (clear && doses > 1 && day - dosedDay <= 1) {
      return { days: LONGEST_DAYS, ammoniaClearDay, nitritePeak, doneDay: day, doses, nitrate: water.nitrate };
    }
    if (water.nitrite < NITRITE_ENOUGH_MG_N_PER_L && day - dosedDay >= 1) {
      water = { ...water, ammonia: milligramsPerLitreN(water.ammonia + dose) };
      dosedDay = day;
      doses += 1;
    }
  }
  return { days: LONGEST_DAYS, ammoniaClearDay, nitritePeak, doneDay: null, doses, nitrate: water.nitrate };
}
