import { describe, expect, it } from "vitest";
import {
  BACTERIA_STEP_S,
  carryNitrogen,
  conditionsIn,
  createNitrogen,
  dissolvedMg,
  feed,
  letBacteriaEat,
  MATURE,
  type Nitrogen,
} from "../../controller/rehearsal/plant/nitrogen.ts";
import { createTank } from "../../controller/rehearsal/plant/tank.ts";
import { SEED } from "../../shared/chemistry/index.ts";
import { runFor, SETTINGS } from "./still-tank.ts";

const VOLUME_L = 140;
const S_PER_DAY = 86_400;

const newTank = (seed: (typeof SEED)[keyof typeof SEED]): Nitrogen =>
  createNitrogen(VOLUME_L, {
    ammoniaMgPerL: 2,
    nitrateMgPerL: 0,
    ammoniaOxidisersMgPerL: seed.ammoniaOxidisers,
    nitriteOxidisersMgPerL: seed.nitriteOxidisers,
    fedMgPerLDay: 0,
  });

/** As keepers start a tank (*common practice*): 2 mg/L as N again, at most daily, when total ammonia is under 0.25 and
 *  nitrite under 3; done when both are under 0.25 within a day of a dose. */
function cycle(nitrogen: Nitrogen) {
  let [dosedMg, dosedDay, clearedDay, nitritePeak] = [dissolvedMg(nitrogen), 0, Number.POSITIVE_INFINITY, 0];
  for (let passedS = 0; passedS < 100 * S_PER_DAY; passedS += BACTERIA_STEP_S) {
    feed(nitrogen, BACTERIA_STEP_S);
    letBacteriaEat(nitrogen, VOLUME_L, conditionsIn(26, 35));
    const day = (passedS + BACTERIA_STEP_S) / S_PER_DAY;
    const [ammonia, nitrite] = [nitrogen.ammoniaMg / VOLUME_L, nitrogen.nitriteMg / VOLUME_L];
    nitritePeak = Math.max(nitritePeak, nitrite);
    if (ammonia >= 0.25) continue;
    clearedDay = Math.min(clearedDay, day);
    if (nitrite < 0.25 && dosedDay > 0 && day - dosedDay <= 1)
      return { clearedDay, nitritePeak, doneDay: day, dosedMg };
    if (nitrite < 3 && day - dosedDay >= 1) {
      nitrogen.ammoniaMg += 2 * VOLUME_L;
      dosedMg += 2 * VOLUME_L;
      dosedDay = day;
    }
  }
  throw new Error("never done");
}

describe("the nitrogen cycle of the simulated tank", () => {
  // The simulator set is a project's own calibration to *common practice* ("12 days to 6–8 weeks"), 26 °C, pH 8.2 and
  // 6.4 mg/L of oxygen: ammonia clears on day 15, 8, 3; nitrite peaks at 4.0, 4.3, 3.9; done on day 45, 24, 12.
  it.each([
    ["nothing", 15, 4.0, 45],
    ["liveRock", 8, 4.3, 24],
    ["bottled", 3, 3.9, 12],
  ] as const)("seeded with %s: ammonia clears on day %d, nitrite peak %d, done on %d", (seed, cleared, peak, done) => {
    const nitrogen = newTank(SEED[seed]);
    const story = cycle(nitrogen);
    expect(Math.abs(story.clearedDay - cleared)).toBeLessThanOrEqual(0.5);
    expect(Math.abs(story.nitritePeak - peak)).toBeLessThanOrEqual(0.06);
    expect(Math.abs(story.doneDay - done)).toBeLessThanOrEqual(1);
    expect(Math.abs(dissolvedMg(nitrogen) / story.dosedMg - 1)).toBeLessThan(1e-9);
  });

  it("mature tank fed for 30 days: ammonia and nitrite below 0.1 mg/L, all of it nitrate", () => {
    const nitrogen = createNitrogen(VOLUME_L, MATURE);
    for (let passedS = 0; passedS < 30 * S_PER_DAY; passedS += BACTERIA_STEP_S) {
      feed(nitrogen, BACTERIA_STEP_S);
      letBacteriaEat(nitrogen, VOLUME_L, conditionsIn(25, 35));
      expect(nitrogen.ammoniaMg / VOLUME_L).toBeLessThan(0.1);
      expect(nitrogen.nitriteMg / VOLUME_L).toBeLessThan(0.1);
    }
    expect(nitrogen.nitrateMg / VOLUME_L).toBeGreaterThan(1 + 29 * MATURE.fedMgPerLDay);
  });

  it("1, 41 or 80 °C: nothing eaten, nothing lost", () => {
    for (const celsius of [1, 41, 80]) {
      const nitrogen = newTank(SEED.bottled);
      const before = { ...nitrogen };
      letBacteriaEat(nitrogen, VOLUME_L, conditionsIn(celsius, 35));
      expect({ ...nitrogen, waitingS: 0 }).toEqual({ ...before, waitingS: 0 });
    }
  });

  it("a quarter of the water out: a quarter of the nitrogen with it, bacteria stay", () => {
    const nitrogen = createNitrogen(VOLUME_L, MATURE);
    const [before, bacteria] = [dissolvedMg(nitrogen), nitrogen.ammoniaOxidisersMg];
    expect(carryNitrogen(nitrogen, 0.25)).toBeCloseTo(before / 4, 9);
    expect(dissolvedMg(nitrogen)).toBeCloseTo((before * 3) / 4, 9);
    expect(nitrogen.ammoniaOxidisersMg).toBe(bacteria);
  });

  it("2 mg/L in a mature tank: below 1.4 after 12 h; 35 L changed: nitrate at 0.7 to 0.82", () => {
    const tank = createTank(1, SETTINGS, { nitrogen: { ...MATURE, ammoniaMgPerL: 2, fedMgPerLDay: 0 } });
    runFor(tank, 12 * 3600);
    const { nitrogen, jobs } = tank.state;
    expect(nitrogen.ammoniaMg / VOLUME_L).toBeLessThan(1.4);
    const nitrateMg = nitrogen.nitrateMg;
    jobs.push({ litresLeft: 35, outwards: true, salinity: 0, celsius: 0 });
    jobs.push({ litresLeft: 35, outwards: false, salinity: 35, celsius: 25 });
    runFor(tank, 20 * 60);
    expect(nitrogen.nitrateMg / nitrateMg).toBeGreaterThan(0.7);
    expect(nitrogen.nitrateMg / nitrateMg).toBeLessThan(0.82);
  });
});
