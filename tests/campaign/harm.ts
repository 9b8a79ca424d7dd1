import type { Tank } from "../../controller/rehearsal/plant/tank.ts";
import { salinityOf } from "../../controller/rehearsal/plant/water.ts";

/** What a week must not bring, judged by the water itself. */
export const HARMS = ["floor", "fresh", "salty", "cold", "hot"] as const;
export type HarmKind = (typeof HARMS)[number];

export interface Harm {
  readonly harm: HarmKind;
  /** When it began. */
  readonly atH: number;
  /** How far it went: litres on the floor, salinity away from the start, degrees. */
  readonly worst: number;
}

/** A week without harm spills nothing and keeps within ±2 of the salinity it began with, and within 20–30 °C. */
export const SALINITY_WITHIN = 2;
export const COLDEST_C = 20;
export const HOTTEST_C = 30;
/** Less is a drop and no spill: the tank counts in fractions of a millilitre. */
const SPILL_L = 0.001;

const LOOK_EVERY = 4;
const MS_PER_H = 3_600_000;

export interface HarmWatch {
  readonly look: (tank: Tank) => void;
  harms(): readonly Harm[];
  /** How far it went towards each harm, where there was none too: in the unit of `worst`. */
  furthest(): Readonly<Record<HarmKind, number>>;
}

/** Looks at the tank once a second. It shares nothing with whoever decides. */
export function watchHarm(startSalinity: number, scanMs: number): HarmWatch {
  const beganH = new Map<HarmKind, number>();
  const furthest = { floor: 0, fresh: 0, salty: 0, cold: Number.POSITIVE_INFINITY, hot: Number.NEGATIVE_INFINITY };
  let looked = 0;
  const note = (harm: HarmKind, excess: number, value: number) => {
    const lower = harm === "fresh" || harm === "cold";
    if (lower ? value < furthest[harm] : value > furthest[harm]) furthest[harm] = value;
    if (excess > 0 && !beganH.has(harm)) beganH.set(harm, (looked * scanMs) / MS_PER_H);
  };
  return {
    look: ({ state }) => {
      looked += 1;
      if (looked % LOOK_EVERY !== 0) return;
      const { overRimL, tubeSpilledL } = state.accounts;
      const spilledL = overRimL + tubeSpilledL;
      note("floor", spilledL - SPILL_L, spilledL);
      const away = salinityOf(state.water) - startSalinity;
      note("fresh", -away - SALINITY_WITHIN, away);
      note("salty", away - SALINITY_WITHIN, away);
      note("cold", COLDEST_C - state.heat.restC, state.heat.restC);
      note("hot", state.heat.restC - HOTTEST_C, state.heat.restC);
    },
    harms: () =>
      HARMS.flatMap((harm) => {
        const atH = beganH.get(harm);
        return atH === undefined ? [] : [{ harm, atH, worst: furthest[harm] }];
      }),
    furthest: () => furthest,
  };
}
