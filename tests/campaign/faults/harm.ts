import type { Report } from "../../../controller/rehearsal/index.ts";
import type { Tank } from "../../../controller/rehearsal/plant/tank.ts";
import { lastLevelMm, salinityOf } from "../../../controller/rehearsal/plant/water.ts";

/** What a week must not bring, judged by the water, the parts and what people had to hear. */
export const HARMS = ["floor", "fresh", "salty", "cold", "hot", "level", "pump-dry", "heater-dry", "flood"] as const;
export type HarmKind = (typeof HARMS)[number];

export interface Harm {
  readonly harm: HarmKind;
  /** When it began. */
  readonly atH: number;
  /** How far it went: litres on the floor, salinity away from the start, degrees, minutes, seconds, alarms. */
  readonly worst: number;
}

/** A week without harm spills nothing and keeps within ±2 of the salinity it began with, and within 20–30 °C. */
export const SALINITY_WITHIN = 2;
export const COLDEST_C = 20;
export const HOTTEST_C = 30;
/** Less is a drop and no spill: the tank counts in fractions of a millilitre. */
const SPILL_L = 0.001;
/** Minutes in which the return pump ran and sucked air, because the last chamber was empty. */
const STARVED_MIN = 60;
/** Over its last millimetres the return pump loses its flow. */
const STARVES_UNDER_MM = 10;
/** A pump without a reservoir float is given a minute to find it out. */
const PUMP_DRY_S = 60;
const HEATER_DRY_S = 60;
/** Loud alarms that anybody can hear in a day and still look at (one in an hour; ten in ten minutes are a flood by
 *  ISA-18.2, and for people who do nothing else). */
const ALARMS_IN_A_DAY = 24;

const LOOK_EVERY = 4;
const MS_PER_H = 3_600_000;
/** Before this much the only witness of a level must have been missed. */
const HALF = 0.5;

export interface HarmWatch {
  readonly look: (tank: Tank) => void;
  harms(): readonly Harm[];
  /** How far it went towards each harm, where there was none too: in the unit of `worst`. */
  furthest(): Readonly<Record<HarmKind, number>>;
  /** When salinity was first half a unit away from the start; null = never. */
  halfAtH(): number | null;
  /** Litres that had evaporated by this hour. */
  evaporatedL(hour: number): number;
}

/** Looks at the tank once a second. It shares nothing with whoever decides. */
export function watchHarm(startSalinity: number, scanMs: number): HarmWatch {
  const beganH = new Map<HarmKind, number>();
  const furthest = { ...NOTHING_YET };
  const hourlyL: number[] = [];
  let looked = 0;
  let starvedS = 0;
  let halfAtH: number | null = null;
  const note = (harm: HarmKind, excess: number, value: number) => {
    if (isLower(harm) ? value < furthest[harm] : value > furthest[harm]) furthest[harm] = value;
    if (excess > 0 && !beganH.has(harm)) beganH.set(harm, (looked * scanMs) / MS_PER_H);
  };
  return {
    look: ({ state }) => {
      looked += 1;
      if (looked % LOOK_EVERY !== 0) return;
      const { accounts, geometry, water, heat, plumbing, returnPump } = state;
      const nowH = (looked * scanMs) / MS_PER_H;
      if (nowH >= hourlyL.length) hourlyL.push(accounts.evaporatedL);
      const spilledL = accounts.overRimL + accounts.tubeSpilledL;
      note("floor", spilledL - SPILL_L, spilledL);
      const away = salinityOf(water) - startSalinity;
      if (Math.abs(away) >= HALF) halfAtH ??= nowH;
      note("fresh", -away - SALINITY_WITHIN, away);
      note("salty", away - SALINITY_WITHIN, away);
      note("cold", COLDEST_C - heat.restC, heat.restC);
      note("hot", heat.restC - HOTTEST_C, heat.restC);
      const starves = returnPump.running && lastLevelMm(water, geometry) < geometry.intakeMm + STARVES_UNDER_MM;
      if (starves) starvedS += (LOOK_EVERY * scanMs) / 1000;
      note("level", starvedS / 60 - STARVED_MIN, starvedS / 60);
      note("pump-dry", plumbing.dryS - PUMP_DRY_S, plumbing.dryS);
      note("heater-dry", accounts.heaterDryS - HEATER_DRY_S, accounts.heaterDryS);
    },
    harms: () =>
      HARMS.flatMap((harm) => {
        const atH = beganH.get(harm);
        return atH === undefined ? [] : [{ harm, atH, worst: furthest[harm] }];
      }),
    furthest: () => furthest,
    halfAtH: () => halfAtH,
    evaporatedL: (hour) => hourlyL[Math.min(hourlyL.length - 1, Math.floor(hour))] ?? 0,
  };
}

/** Of these the lowest is the worst. */
export const isLower = (harm: HarmKind): boolean => harm === "fresh" || harm === "cold";

const NOTHING_YET: Readonly<Record<HarmKind, number>> = {
  floor: 0,
  fresh: 0,
  salty: 0,
  cold: Number.POSITIVE_INFINITY,
  hot: Number.NEGATIVE_INFINITY,
  level: 0,
  "pump-dry": 0,
  "heater-dry": 0,
  flood: 0,
};

/** More loud alarms in a day than anybody looks at. */
export function floodOf(alarms: Report["alarms"]): readonly Harm[] {
  const raisedH = alarms.filter(({ priority }) => priority !== "low").map(({ raisedAtH }) => raisedAtH);
  let worst = 0;
  let atH: number | null = null;
  for (const [place, hour] of raisedH.entries()) {
    const inDay = raisedH.filter((other, index) => index <= place && other > hour - 24).length;
    worst = Math.max(worst, inDay);
    if (inDay > ALARMS_IN_A_DAY) atH ??= hour;
  }
  return atH === null ? [] : [{ harm: "flood", atH, worst }];
}
