import { describe, expect, it } from "vitest";
import {
  type MilligramsPerLitreN,
  type MilligramsPerLitreO2,
  type NitrifyingWater,
  nitrify,
  phNbs,
  SEED,
  unionisedAmmoniaNbs,
} from "../../shared/chemistry/index.ts";
import { celsius, days, fraction, practicalSalinityValue as SP } from "../../shared/units/index.ts";

const N = (value: number) => value as MilligramsPerLitreN;
const O2 = (value: number) => value as MilligramsPerLitreO2;
const warm = {
  t90C: celsius(26),
  oxygen: O2(6.4),
  unionised: unionisedAmmoniaNbs(phNbs(8.2), SP(35), celsius(26))!,
};
const STEP_DAYS = 0.005;

/** A new tank as keepers run it: 2 mg/L of N at the start and again, at most daily, when total ammonia is under 0.25
 *  and nitrite under 3; done when both are under 0.25 within a day of a dose. */
function cycle(seed: (typeof SEED)[keyof typeof SEED], conditions = warm) {
  let water: NitrifyingWater = { ammonia: N(2), nitrite: N(0), nitrate: N(0), ...seed };
  let dosed = 0;
  let cleared = Number.POSITIVE_INFINITY;
  let nitritePeak = 0;
  for (let day = 0; day < 150; day += STEP_DAYS) {
    water = nitrify(water, conditions, days(STEP_DAYS))!;
    nitritePeak = Math.max(nitritePeak, water.nitrite);
    if (water.ammonia >= 0.25) continue;
    cleared = Math.min(cleared, day);
    if (water.nitrite < 0.25 && dosed > 0 && day - dosed <= 1) return { cleared, nitritePeak, done: day };
    if (water.nitrite < 3 && day - dosed >= 1) {
      water = { ...water, ammonia: N(water.ammonia + 2) };
      dosed = day;
    }
  }
  throw new Error("never done");
}

describe("two-step nitrification", () => {
  // The project's own calibration (common practice, "12 days to 6–8 weeks"): total ammonia first clears on day 15, 8
  // and 3, nitrite peaks at 4.0, 4.3 and 3.9 mg/L as N, and the cycle is done on day 45, 24 and 12.
  it.each([
    ["nothing", 15, 4.0, 45],
    ["liveRock", 8, 4.3, 24],
    ["bottled", 3, 3.9, 12],
  ] as const)("seeded with %s: ammonia clears on day %d, nitrite peak %d, done on %d", (seed, cleared, peak, done) => {
    const story = cycle(SEED[seed]);
    expect(Math.abs(story.cleared - cleared)).toBeLessThanOrEqual(0.5);
    expect(Math.abs(story.nitritePeak - peak)).toBeLessThanOrEqual(0.06);
    expect(Math.abs(story.done - done)).toBeLessThanOrEqual(1);
  });

  const rich: NitrifyingWater = {
    ammonia: N(2),
    nitrite: N(1),
    nitrate: N(5),
    ammoniaOxidisers: 1 as never,
    nitriteOxidisers: 0.5 as never,
  };
  const hour = days(1 / 24);

  // By hand, from the printed rates: r₁ = 0.70/0.15 · 1 · 2/2.5 · 6.4/7.1 = 3.36526, and with no free ammonia
  // r₂ = 0.50/0.05 · 0.5 · 1/1.5 · 6.4/7.4 = 2.88288 mg N/(L d); growth 0.15 r₁ − 0.06 and 0.05 r₂ − 0.06 · 0.5.
  it("1 h at 26 °C: 3.36526 and 2.88288 mg N/(L d), growth as by hand from the printed rates", () => {
    const after = nitrify(rich, { ...warm, unionised: fraction(0) }, hour)!;
    expect((2 - after.ammonia) * 24).toBeCloseTo(3.36526, 5);
    expect((after.nitrate - 5) * 24).toBeCloseTo(2.88288, 5);
    expect(after.nitrite).toBeCloseTo(1 + (3.36526 - 2.88288) / 24, 6);
    expect((after.ammoniaOxidisers - 1) * 24).toBeCloseTo(0.15 * 3.36526 - 0.06, 6);
    expect((after.nitriteOxidisers - 0.5) * 24).toBeCloseTo(0.05 * 2.88288 - 0.03, 6);
  });

  // Park & Bae 2009: half the rate at 0.64 mg/L of un-ionised N. Here 0.32 of 2 mg/L.
  it("un-ionised N of 0.64 mg/L: second step at half its rate, first as before", () => {
    const free = nitrify(rich, { ...warm, unionised: fraction(0) }, hour)!;
    const held = nitrify(rich, { ...warm, unionised: fraction(0.32) }, hour)!;
    expect((held.nitrate - 5) / (free.nitrate - 5)).toBeCloseTo(0.5, 9);
    expect(held.ammonia).toBe(free.ammonia);
  });

  // Arrhenius with 68 and 44 kJ/mol (Vannecke & Volcke 2015): × 1.75 and × 1.44 from 20 to 26 °C.
  it("26 instead of 20 °C: first step × 1.75, second × 1.44", () => {
    const none = { ...warm, unionised: fraction(0) };
    const cool = nitrify(rich, { ...none, t90C: celsius(20) }, hour)!;
    const hot = nitrify(rich, none, hour)!;
    expect((2 - hot.ammonia) / (2 - cool.ammonia)).toBeCloseTo(1.75, 2);
    expect((hot.nitrate - 5) / (cool.nitrate - 5)).toBeCloseTo(1.44, 2);
  });

  it("a thousandfold of bacteria: ammonia and nitrite 0, nitrogen kept; no time or oxygen: nothing eaten", () => {
    const sum = (w: NitrifyingWater) => w.ammonia + w.nitrite + w.nitrate;
    const crowd = { ...rich, ammoniaOxidisers: 1000 as never, nitriteOxidisers: 1000 as never };
    const after = nitrify(crowd, warm, days(0.05))!;
    expect(after.ammonia).toBe(0);
    expect(after.nitrite).toBe(0);
    expect(sum(after)).toBeCloseTo(8, 12);
    expect(sum(nitrify(rich, warm, hour)!)).toBeCloseTo(8, 12);
    expect(nitrify(rich, warm, days(0))).toEqual(rich);
    expect(nitrify(rich, { ...warm, oxygen: O2(0) }, hour)!.nitrate).toBe(5);
  });

  it("4.9 or 40.1 °C, a step over 0.05 d, a negative amount or no number: null", () => {
    const unreal = [Number.NaN, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY];
    for (const t of [5, 40]) expect(nitrify(rich, { ...warm, t90C: celsius(t) }, hour)).not.toBeNull();
    for (const t of [4.9, 40.1, ...unreal]) expect(nitrify(rich, { ...warm, t90C: celsius(t) }, hour)).toBeNull();
    for (const span of [-0.01, 0.0501, ...unreal]) expect(nitrify(rich, warm, days(span))).toBeNull();
    for (const bad of [-1, ...unreal]) {
      expect(nitrify(rich, { ...warm, oxygen: O2(bad) }, hour)).toBeNull();
      expect(nitrify(rich, { ...warm, unionised: fraction(bad) }, hour)).toBeNull();
      for (const part of Object.keys(rich)) expect(nitrify({ ...rich, [part]: bad }, warm, hour)).toBeNull();
    }
    expect(nitrify(rich, { ...warm, unionised: fraction(1) }, hour)).not.toBeNull();
    expect(nitrify(rich, { ...warm, unionised: fraction(1.01) }, hour)).toBeNull();
  });
});
