import fc from "fast-check";
import { describe, expect, it } from "vitest";
import {
  drySaltShare,
  freshToAdd,
  gramsPerLitreOfMix,
  hydrateFactor,
  hydrateFactorFromBatch,
  hydrateFactorFromGramsPerLitre,
  massToExchange,
  newWaterSalinity,
  salinityAfterEvaporation,
  saltForPureWater,
  saltForSeaWater,
  saltToRaise,
  saltWaterToTopOff,
} from "../../shared/chemistry/index.ts";
import { salinityFromAbsolute } from "../../shared/seawater/index.ts";
import {
  celsius,
  grams,
  gramsPerKilogram,
  gramsPerLitre,
  kilograms,
  litres,
  practicalSalinityValue as SP,
} from "../../shared/units/index.ts";

const t25 = celsius(25);
const UNREAL = [Number.NaN, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY];
/** 35 g of salt to the kilogram, as practical salinity. */
const per35 = salinityFromAbsolute(gramsPerKilogram(35))!;

describe("the bag of salt", () => {
  // Common practice, computed: 35 g/kg of dry salt is 35.82 g per litre of solution, 36.16 g per litre of fresh water.
  it("35 g/kg of dry salt: 35.82 g per litre of sea water, 36.16 per litre of pure water", () => {
    expect(saltForSeaWater(litres(1), t25, per35, hydrateFactor(1))!).toBeCloseTo(35.82, 1);
    expect(saltForPureWater(litres(1), t25, per35, hydrateFactor(1))!).toBeCloseTo(36.16, 2);
  });

  // Kester et al. 1967: 35.17 g/kg of anhydrous salts are 41.31 g/kg when the hydrates are weighed, factor 1.175.
  it("hydrate factor 1.175: 42.1 g per litre, as Kester et al.; 42.08 g/L: factor 1.175", () => {
    expect(gramsPerLitreOfMix(hydrateFactor(1.175), per35, t25)!).toBeCloseTo(42.1, 1);
    expect(hydrateFactorFromGramsPerLitre(gramsPerLitre(42.08), per35, t25)!).toBeCloseTo(1.175, 3);
    expect(drySaltShare(hydrateFactor(1.25))).toBe(0.8);
  });

  it("batch of 361.62 g in 10 L at 35 g/kg: factor 1; 400 g: 1.10203", () => {
    expect(hydrateFactorFromBatch(grams(361.62), litres(10), t25, per35)!).toBeCloseTo(1, 3);
    // By hand: 400 g in 10 L of 997.047 kg/m³ that measure 35 g/kg: 1000 × 400 / (35 × 10370.47) = 1.10203.
    expect(hydrateFactorFromBatch(grams(400), litres(10), t25, per35)!).toBeCloseTo(1.10203, 5);
  });

  it("any factor, salinity and volume: batch weighed by it gives it back", () => {
    fc.assert(
      fc.property(
        fc.double({ min: 1, max: 1.5, noNaN: true }),
        fc.double({ min: 5, max: 42, noNaN: true }),
        fc.double({ min: 1, max: 100, noNaN: true }),
        (h, S, water) => {
          const product = saltForPureWater(litres(water), t25, SP(S), hydrateFactor(h))!;
          expect(hydrateFactorFromBatch(product, litres(water), t25, SP(S))!).toBeCloseTo(h, 9);
          const perLitre = gramsPerLitreOfMix(hydrateFactor(h), SP(S), t25)!;
          expect(hydrateFactorFromGramsPerLitre(perLitre, SP(S), t25)!).toBeCloseTo(h, 9);
        },
      ),
    );
  });

  it("factor of 0.9 to 1: 1; up to 1.6: itself; outside, or amounts that cannot be: null", () => {
    expect(hydrateFactorFromBatch(grams(345), litres(10), t25, per35)).toBe(1);
    expect(hydrateFactorFromGramsPerLitre(gramsPerLitre(34), per35, t25)).toBe(1);
    // 0.9 and 1.6 are the ends: 0.9 × 35 × 1.02334 = 32.24 and 57.31 g/L.
    expect(hydrateFactorFromGramsPerLitre(gramsPerLitre(32.3), per35, t25)).toBe(1);
    expect(hydrateFactorFromGramsPerLitre(gramsPerLitre(57.2), per35, t25)).toBeCloseTo(1.597, 3);
    for (const bad of [0, -1, 32.1, 57.4, ...UNREAL]) {
      expect(hydrateFactorFromGramsPerLitre(gramsPerLitre(bad), per35, t25)).toBeNull();
    }
    for (const bad of [0, -1, 100, 900, ...UNREAL]) {
      expect(hydrateFactorFromBatch(grams(bad), litres(10), t25, per35)).toBeNull();
    }
    expect(hydrateFactorFromBatch(grams(325.5), litres(10), t25, per35)).toBe(1);
    expect(hydrateFactorFromBatch(grams(590), litres(10), t25, per35)).toBeCloseTo(1.596, 3);
    for (const bad of [0, -1, ...UNREAL])
      expect(hydrateFactorFromBatch(grams(400), litres(bad), t25, per35)).toBeNull();
    for (const S of [0, -1, 43, ...UNREAL]) {
      expect(hydrateFactorFromBatch(grams(400), litres(10), t25, SP(S))).toBeNull();
      expect(hydrateFactorFromGramsPerLitre(gramsPerLitre(40), SP(S), t25)).toBeNull();
    }
    expect(hydrateFactorFromBatch(grams(400), litres(10), celsius(50), per35)).toBeNull();
    expect(hydrateFactorFromGramsPerLitre(gramsPerLitre(40), per35, celsius(50))).toBeNull();
  });

  it("volume, factor, salinity or temperature out of range: null; 0 L: 0 g", () => {
    const h = hydrateFactor(1.1);
    expect(saltForPureWater(litres(0), t25, SP(35), h)).toBe(0);
    expect(saltForSeaWater(litres(0), t25, SP(35), h)).toBe(0);
    for (const bad of [-1, ...UNREAL]) {
      expect(saltForPureWater(litres(bad), t25, SP(35), h)).toBeNull();
      expect(saltForSeaWater(litres(bad), t25, SP(35), h)).toBeNull();
      expect(saltToRaise(litres(bad), t25, SP(33), SP(35), h)).toBeNull();
    }
    for (const ends of [1, 1.6]) {
      expect(saltForPureWater(litres(10), t25, SP(35), hydrateFactor(ends))).toBeGreaterThan(350);
      expect(saltToRaise(litres(10), t25, SP(33), SP(35), hydrateFactor(ends))).toBeGreaterThan(20);
    }
    for (const bad of [0.999, 1.601, ...UNREAL]) {
      expect(saltForPureWater(litres(10), t25, SP(35), hydrateFactor(bad))).toBeNull();
      expect(saltForSeaWater(litres(10), t25, SP(35), hydrateFactor(bad))).toBeNull();
      expect(gramsPerLitreOfMix(hydrateFactor(bad), SP(35), t25)).toBeNull();
      expect(saltToRaise(litres(140), t25, SP(33), SP(35), hydrateFactor(bad))).toBeNull();
    }
    for (const S of [-1, 43, Number.NaN]) {
      expect(saltForPureWater(litres(10), t25, SP(S), h)).toBeNull();
      expect(saltForSeaWater(litres(10), t25, SP(S), h)).toBeNull();
      expect(gramsPerLitreOfMix(h, SP(S), t25)).toBeNull();
    }
    for (const t of [-3, 41, Number.NaN]) {
      expect(saltForPureWater(litres(10), celsius(t), SP(35), h)).toBeNull();
      expect(saltForSeaWater(litres(10), celsius(t), SP(35), h)).toBeNull();
      expect(gramsPerLitreOfMix(h, SP(35), celsius(t))).toBeNull();
    }
  });
});

describe("raising the salinity", () => {
  // Common practice, computed: 140 L from 33 to 35 take 296 g of dry salt, or 326 g of a product of factor 1.10.
  it("140 L from 33 to 35: 296 g dry, 326 g of factor 1.10; from 35 to 35: 0", () => {
    expect(saltToRaise(litres(140), t25, SP(33), SP(35), hydrateFactor(1))! / 296).toBeCloseTo(1, 1);
    expect(saltToRaise(litres(140), t25, SP(33), SP(35), hydrateFactor(1.1))! / 326).toBeCloseTo(1, 1);
    expect(saltToRaise(litres(140), t25, SP(35), SP(35), hydrateFactor(1.1))).toBe(0);
  });

  it("any salinities and factor: salt balances within 1e-9", () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0, max: 42, noNaN: true }),
        fc.double({ min: 0, max: 42, noNaN: true }),
        fc.double({ min: 1, max: 1.6, noNaN: true }),
        (a, b, h) => {
          const [S, St] = [Math.min(a, b), Math.max(a, b)];
          const product = saltToRaise(litres(100), t25, SP(S), SP(St), hydrateFactor(h))!;
          const before = saltForSeaWater(litres(100), t25, SP(S), hydrateFactor(1))!;
          // Mass of the water from its own salt: before = M SA/1000; at S 0 the density of pure water (UNESCO 44).
          const mass = S > 0.1 ? (before * 1000) / ((S * 35.16504) / 35) : null;
          if (mass === null) return;
          const after = (1000 * (before + product / h)) / (mass + product);
          expect(after).toBeCloseTo((St * 35.16504) / 35, 9);
        },
      ),
    );
  });

  it("downwards, negative volume, salinity or temperature out of range: null", () => {
    const h = hydrateFactor(1);
    expect(saltToRaise(litres(140), t25, SP(35), SP(34.999), h)).toBeNull();
    expect(saltToRaise(litres(-140), t25, SP(35), SP(33), h)).toBeNull();
    expect(saltToRaise(litres(140), t25, SP(35), SP(43), h)).toBeNull();
    expect(saltToRaise(litres(140), t25, SP(-1), SP(35), h)).toBeNull();
    expect(saltToRaise(litres(140), celsius(41), SP(33), SP(35), h)).toBeNull();
  });

  // Common practice, computed: 140 L from 33 to 35 by exchange against water of 40 take 40 L.
  it("140 kg from 33 to 35 by exchange with 40: 40 kg; with 35: all of it", () => {
    expect(massToExchange(kilograms(140), SP(33), SP(35), SP(40))!).toBeCloseTo(40, 9);
    expect(massToExchange(kilograms(140), SP(33), SP(35), SP(35))).toBe(140);
    expect(newWaterSalinity(SP(33), SP(35), 40 / 140)!).toBeCloseTo(40, 9);
    expect(newWaterSalinity(SP(33), SP(35), 1)).toBe(35);
    // Two changes of a tenth leave 0.9² of the difference: 35 + 1 / 0.19.
    expect(newWaterSalinity(SP(35), SP(36), 0.1, 2)!).toBeCloseTo(40.263158, 6);
  });

  it("140 L of 34.5 topped off with 35: 2 L make 35", () => {
    expect(saltWaterToTopOff(litres(140), SP(34.5), SP(35), SP(35))!).toBeCloseTo(2, 9);
    expect(saltWaterToTopOff(litres(140), SP(35), SP(35), SP(35))).toBe(0);
  });

  it("1.5 L evaporated from 140 L at 35: 35.38 (*common practice*)", () => {
    expect(salinityAfterEvaporation(litres(140), SP(35), litres(1.5))!).toBeCloseTo(35.38, 2);
    expect(salinityAfterEvaporation(litres(140), SP(35), litres(0))).toBe(35);
  });
});

describe("lowering the salinity", () => {
  // Common practice, computed: 140 L from 37 to 35 take 7.6 L of fresh water in exchange.
  it("140 kg from 37 to 35 with fresh water: 7.57 kg; 4.1 or 8.5 L added: 1 or 2 less", () => {
    expect(massToExchange(kilograms(140), SP(37), SP(35), SP(0))!).toBeCloseTo(7.57, 2);
    // 1 ppt less in 140 L at 35 is 4.1 L, two are 8.5 L.
    expect(freshToAdd(litres(140), SP(35), SP(34))!).toBeCloseTo(4.1, 1);
    expect(freshToAdd(litres(140), SP(35), SP(33))!).toBeCloseTo(8.5, 1);
    expect(freshToAdd(litres(140), SP(35), SP(35))).toBe(0);
  });
});

describe("exchanges that cannot be", () => {
  it("target out of reach, salinity or amount out of range: null; nothing to change: 0", () => {
    expect(massToExchange(kilograms(140), SP(35), SP(35), SP(35))).toBe(0);
    expect(massToExchange(kilograms(140), SP(33), SP(36), SP(35))).toBeNull();
    expect(massToExchange(kilograms(140), SP(35), SP(33), SP(40))).toBeNull();
    expect(massToExchange(kilograms(140), SP(33), SP(35), SP(33))).toBeNull();
    expect(massToExchange(kilograms(140), SP(33), SP(35), SP(100))).toBeGreaterThan(0);
    for (const bad of [-1, 100.1, ...UNREAL]) {
      expect(massToExchange(kilograms(140), SP(33), SP(35), SP(bad))).toBeNull();
    }
    for (const bad of [-1, 42.1, ...UNREAL]) {
      expect(massToExchange(kilograms(140), SP(bad), SP(41), SP(50))).toBeNull();
      expect(massToExchange(kilograms(140), SP(33), SP(bad), SP(50))).toBeNull();
      expect(newWaterSalinity(SP(bad), SP(35), 0.5)).toBeNull();
      expect(newWaterSalinity(SP(35), SP(bad), 0.5)).toBeNull();
      expect(freshToAdd(litres(140), SP(bad), SP(35))).toBeNull();
      expect(salinityAfterEvaporation(litres(140), SP(bad), litres(1))).toBeNull();
      expect(saltWaterToTopOff(litres(140), SP(bad), SP(35), SP(35))).toBeNull();
      expect(saltWaterToTopOff(litres(140), SP(34), SP(bad), SP(35))).toBeNull();
    }
    for (const bad of [-1, ...UNREAL]) {
      expect(massToExchange(kilograms(bad), SP(33), SP(35), SP(40))).toBeNull();
      expect(freshToAdd(litres(bad), SP(35), SP(34))).toBeNull();
      expect(saltWaterToTopOff(litres(bad), SP(34), SP(35), SP(35))).toBeNull();
    }
    expect(massToExchange(kilograms(0), SP(33), SP(35), SP(40))).toBe(0);
  });

  it("share 0 or above 1, or a mix out of 0 to 100: null; at its ends: 100 and 0", () => {
    for (const bad of [0, -0.1, 1.001, ...UNREAL]) expect(newWaterSalinity(SP(33), SP(35), bad)).toBeNull();
    expect(newWaterSalinity(SP(33), SP(35), 0.02)).toBeNull();
    for (const times of [0, -1, 1.5, Number.NaN]) expect(newWaterSalinity(SP(33), SP(35), 0.5, times)).toBeNull();
    expect(newWaterSalinity(SP(30), SP(37), 0.1)).toBe(100);
    expect(newWaterSalinity(SP(35), SP(33), 0.05)).toBeNull();
    expect(newWaterSalinity(SP(40), SP(30), 0.25)).toBe(0);
  });

  it("diluted to 0, or upwards, or topped off with fresh water: null", () => {
    for (const bad of [0, -1, 35.1, ...UNREAL]) expect(freshToAdd(litres(140), SP(35), SP(bad))).toBeNull();
    for (const bad of [0, -1, ...UNREAL]) expect(saltWaterToTopOff(litres(140), SP(34), SP(35), SP(bad))).toBeNull();
    expect(saltWaterToTopOff(litres(140), SP(35), SP(34.9), SP(35))).toBeNull();
  });

  it("all of the water evaporated, or a negative amount: null; above 100: null", () => {
    for (const bad of [-1, 140, 141, 100, ...UNREAL]) {
      expect(salinityAfterEvaporation(litres(140), SP(35), litres(bad))).toBeNull();
    }
    for (const bad of [0, -1, ...UNREAL]) expect(salinityAfterEvaporation(litres(bad), SP(35), litres(0))).toBeNull();
    expect(salinityAfterEvaporation(litres(100), SP(40), litres(60))).toBe(100);
    expect(salinityAfterEvaporation(litres(100), SP(0), litres(99))).toBe(0);
  });
});
