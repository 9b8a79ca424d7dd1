import fc from "fast-check";
import { describe, expect, it } from "vitest";
import {
  afterChanges,
  afterContinuousExchange,
  afterOneChange,
  changesNeeded,
  conductivityFromTds,
  membraneFlow,
  milligramsPerLitreTds,
  milligramsPerLitreNO3 as NO3,
  netVolumeByDilution,
  osmoticPressure,
  rejection,
  tdsFromConductivity,
  temperatureCorrection,
} from "../../shared/chemistry/index.ts";
import {
  celsius,
  fraction,
  grams,
  gramsPerLitre,
  kilopascals,
  kilopascalsFromPsi,
  litres,
  litresPerHourFromUsGallonsPerDay,
  microsiemensPerCm,
  poundsPerSquareInch,
  usGallonsPerDay,
} from "../../shared/units/index.ts";

const UNREAL = [Number.NaN, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY];
const share = fraction;

describe("water changes", () => {
  it("20 mg/L, a quarter of clean water: 15; of 4 mg/L: 16; none: 20; all: 4", () => {
    expect(afterOneChange(NO3(20), NO3(0), share(0.25))).toBe(15);
    expect(afterOneChange(NO3(20), NO3(4), share(0.25))).toBe(16);
    expect(afterOneChange(NO3(20), NO3(4), share(0))).toBe(20);
    expect(afterOneChange(NO3(20), NO3(4), share(1))).toBe(4);
  });

  // Common practice, computed: four changes of 25 % leave 31.6 %; halving takes 3.1 changes of 20 %.
  it("four changes of 25 %: 31.6 of 100 left; 40 to 20 by 20 % each: 3.1 changes", () => {
    expect(afterChanges(NO3(100), NO3(0), share(0.25), 4)!).toBeCloseTo(31.6, 1);
    expect(afterChanges(NO3(100), NO3(10), share(0.25), 0)).toBe(100);
    expect(changesNeeded(NO3(40), NO3(0), NO3(20), share(0.2))!).toBeCloseTo(3.1, 1);
    expect(changesNeeded(NO3(40), NO3(10), NO3(20), share(0.2))!).toBeCloseTo(Math.log(1 / 3) / Math.log(0.8), 12);
    expect(changesNeeded(NO3(0), NO3(40), NO3(20), share(0.2))!).toBeCloseTo(3.1, 1);
    expect(changesNeeded(NO3(40), NO3(0), NO3(40), share(0.2))).toBe(0);
  });

  it("one volume in a stream: 1/e left; half a volume: 1/√e", () => {
    expect(afterContinuousExchange(NO3(100), NO3(0), litres(140), litres(140))!).toBeCloseTo(100 / Math.E, 9);
    expect(afterContinuousExchange(NO3(100), NO3(20), litres(70), litres(140))!).toBeCloseTo(
      20 + 80 / Math.E ** 0.5,
      9,
    );
    expect(afterContinuousExchange(NO3(100), NO3(20), litres(0), litres(140))).toBe(100);
  });

  it("any number of changes: counted back from what they leave", () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 20 }), fc.double({ min: 0.05, max: 0.5, noNaN: true }), (count, f) => {
        const target = afterChanges(NO3(50), NO3(2), share(f), count)!;
        expect(changesNeeded(NO3(50), NO3(2), target, share(f))!).toBeCloseTo(count, 6);
      }),
    );
  });

  it("negative amount, share outside 0 to 1, target out of reach or no number: null", () => {
    for (const bad of [-1, ...UNREAL]) {
      expect(afterOneChange(NO3(bad), NO3(0), share(0.2))).toBeNull();
      expect(afterOneChange(NO3(1), NO3(bad), share(0.2))).toBeNull();
      expect(afterContinuousExchange(NO3(bad), NO3(0), litres(1), litres(1))).toBeNull();
      expect(afterContinuousExchange(NO3(1), NO3(bad), litres(1), litres(1))).toBeNull();
      expect(afterContinuousExchange(NO3(1), NO3(1), litres(bad), litres(1))).toBeNull();
      expect(changesNeeded(NO3(bad), NO3(0), NO3(20), share(0.2))).toBeNull();
      expect(changesNeeded(NO3(40), NO3(bad), NO3(20), share(0.2))).toBeNull();
      expect(changesNeeded(NO3(40), NO3(0), NO3(bad), share(0.2))).toBeNull();
    }
    for (const bad of [0, -1, ...UNREAL]) {
      expect(afterContinuousExchange(NO3(1), NO3(0), litres(1), litres(bad))).toBeNull();
    }
    for (const bad of [-0.1, 1.1, ...UNREAL]) expect(afterOneChange(NO3(1), NO3(0), share(bad))).toBeNull();
    for (const bad of [-1, 1.5, ...UNREAL]) expect(afterChanges(NO3(1), NO3(0), share(0.2), bad)).toBeNull();
    for (const bad of [0, 1, -0.1, 1.1, ...UNREAL]) {
      expect(changesNeeded(NO3(40), NO3(0), NO3(20), share(bad))).toBeNull();
    }
    for (const target of [0, 50]) expect(changesNeeded(NO3(40), NO3(0), NO3(target), share(0.2))).toBeNull();
    expect(changesNeeded(NO3(40), NO3(10), NO3(5), share(0.2))).toBeNull();
  });
});

describe("net volume by dilution", () => {
  it("14 g that raise by 0.1 g/L: 140 L", () => {
    expect(netVolumeByDilution(grams(14), gramsPerLitre(0.02), gramsPerLitre(0.12))!).toBeCloseTo(140, 9);
    expect(netVolumeByDilution(grams(14), gramsPerLitre(0), gramsPerLitre(0.1))!).toBeCloseTo(140, 9);
  });

  it("no rise, negative amount or no number: null", () => {
    expect(netVolumeByDilution(grams(14), gramsPerLitre(0.1), gramsPerLitre(0.1))).toBeNull();
    expect(netVolumeByDilution(grams(14), gramsPerLitre(0.2), gramsPerLitre(0.1))).toBeNull();
    for (const bad of [-1, ...UNREAL]) {
      expect(netVolumeByDilution(grams(bad), gramsPerLitre(0), gramsPerLitre(0.1))).toBeNull();
      expect(netVolumeByDilution(grams(14), gramsPerLitre(bad), gramsPerLitre(0.1))).toBeNull();
      expect(netVolumeByDilution(grams(14), gramsPerLitre(0), gramsPerLitre(bad))).toBeNull();
    }
    expect(netVolumeByDilution(grams(0), gramsPerLitre(0), gramsPerLitre(0.1))).toBeNull();
  });
});

describe("reverse osmosis, 75 US gal/d at 50 psi, 250 mg/L, 25 °C", () => {
  const rated = {
    flow: litresPerHourFromUsGallonsPerDay(usGallonsPerDay(75)),
    pressure: kilopascalsFromPsi(poundsPerSquareInch(50)),
    tds: milligramsPerLitreTds(250),
  };
  const duty = { feed: rated.pressure, back: kilopascals(0), tds: rated.tds, t90C: celsius(25) };

  // Makers' tables of temperature correction; their last digit is that of 273 and 298 K without the 0.15.
  it.each([
    [10, 1.711],
    [15, 1.422],
    [20, 1.189],
    [25, 1],
    [29, 0.889],
  ])("%d °C: corrected by %d", (t, expected) => {
    expect(Math.abs(temperatureCorrection(celsius(t))! - expected)).toBeLessThanOrEqual(1e-3);
  });

  // Common practice, computed: 75 US gal/d is 11.8 L/h at 25 °C and 6.9 L/h at 10 °C.
  it("at its rating: 11.83 L/h; at 10 °C: 6.9", () => {
    expect(membraneFlow(rated, duty)!).toBeCloseTo(11.83, 2);
    expect(membraneFlow(rated, { ...duty, t90C: celsius(10) })!).toBeCloseTo(6.9, 1);
  });

  it("twice the net pressure: twice the flow; half by back or osmotic pressure: half; none left: 0", () => {
    // 250 mg/L press with 2.5 psi: 47.5 psi net at the rating.
    expect(osmoticPressure(milligramsPerLitreTds(250))).toBeCloseTo(17.237, 3);
    const psi = (value: number) => kilopascalsFromPsi(poundsPerSquareInch(value));
    expect(membraneFlow(rated, { ...duty, feed: psi(97.5) })! / membraneFlow(rated, duty)!).toBeCloseTo(2, 9);
    expect(membraneFlow(rated, { ...duty, back: psi(23.75) })! / membraneFlow(rated, duty)!).toBeCloseTo(0.5, 9);
    const salty = { ...duty, tds: milligramsPerLitreTds(2625) };
    expect(membraneFlow(rated, salty)! / membraneFlow(rated, duty)!).toBeCloseTo(0.5, 9);
    expect(membraneFlow(rated, { ...duty, back: psi(60) })).toBe(0);
    expect(membraneFlow({ ...rated, pressure: psi(97.5) }, duty)! / membraneFlow(rated, duty)!).toBeCloseTo(0.5, 9);
  });

  it("outside 0 to 45 °C, negative pressure, solids, flow or no number: null", () => {
    for (const t of [0, 45]) expect(temperatureCorrection(celsius(t))).toBeGreaterThan(0);
    for (const t of [-0.01, 45.01, ...UNREAL]) {
      expect(temperatureCorrection(celsius(t))).toBeNull();
      expect(membraneFlow(rated, { ...duty, t90C: celsius(t) })).toBeNull();
    }
    for (const bad of [-1, ...UNREAL]) {
      expect(membraneFlow(rated, { ...duty, feed: kilopascals(bad) })).toBeNull();
      expect(membraneFlow(rated, { ...duty, back: kilopascals(bad) })).toBeNull();
      expect(membraneFlow(rated, { ...duty, tds: milligramsPerLitreTds(bad) })).toBeNull();
      expect(membraneFlow({ ...rated, tds: milligramsPerLitreTds(bad) }, duty)).toBeNull();
    }
    for (const bad of [0, -1, ...UNREAL]) {
      expect(membraneFlow({ ...rated, flow: bad as never }, duty)).toBeNull();
      expect(membraneFlow({ ...rated, pressure: kilopascals(bad) }, duty)).toBeNull();
    }
    expect(membraneFlow({ ...rated, tds: milligramsPerLitreTds(0) }, duty)).toBeGreaterThan(0);
    expect(membraneFlow({ ...rated, pressure: kilopascals(17) }, duty)).toBeNull();
  });

  it("500 in, 15 µS/cm out: 0.97; 600 out: −0.2; 0 in or negative: null", () => {
    expect(rejection(microsiemensPerCm(500), microsiemensPerCm(15))!).toBeCloseTo(0.97, 12);
    expect(rejection(microsiemensPerCm(500), microsiemensPerCm(600))!).toBeCloseTo(-0.2, 12);
    expect(rejection(microsiemensPerCm(500), microsiemensPerCm(0))).toBe(1);
    for (const bad of [0, -1, ...UNREAL]) expect(rejection(microsiemensPerCm(bad), microsiemensPerCm(1))).toBeNull();
    for (const bad of [-1, ...UNREAL]) expect(rejection(microsiemensPerCm(500), microsiemensPerCm(bad))).toBeNull();
  });

  // Common practice: 53.065 mS/cm of sea water hold 35.8 g/L, factor 0.675.
  it("53,065 µS/cm with 0.675: 35.8 g/L; 500 with 0.5: 250 and back; factor outside 0.4 to 1: null", () => {
    expect(tdsFromConductivity(microsiemensPerCm(53_065), 0.675)! / 35_800).toBeCloseTo(1, 2);
    expect(tdsFromConductivity(microsiemensPerCm(500), 0.5)).toBe(250);
    expect(conductivityFromTds(milligramsPerLitreTds(250), 0.5)).toBe(500);
    for (const bad of [-1, ...UNREAL]) {
      expect(tdsFromConductivity(microsiemensPerCm(bad), 0.5)).toBeNull();
      expect(conductivityFromTds(milligramsPerLitreTds(bad), 0.5)).toBeNull();
    }
    for (const ends of [0.4, 1]) {
      expect(tdsFromConductivity(microsiemensPerCm(500), ends)).toBe(500 * ends);
      expect(conductivityFromTds(milligramsPerLitreTds(500), ends)).toBe(500 / ends);
    }
    for (const bad of [0, 0.39, 1.01, ...UNREAL]) {
      expect(tdsFromConductivity(microsiemensPerCm(500), bad)).toBeNull();
      expect(conductivityFromTds(milligramsPerLitreTds(500), bad)).toBeNull();
    }
  });
});
