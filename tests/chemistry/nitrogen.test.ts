import fc from "fast-check";
import { describe, expect, it } from "vitest";
import {
  alkalinityUsed,
  ammoniumChlorideDose,
  ammoniumPkaNbs,
  ammoniumPkaTotal,
  milligramsPerLitreN,
  milligramsPerLitreNH3,
  milligramsPerLitreNH4,
  milligramsPerLitreNO2,
  milligramsPerLitreNO3,
  nh3FromNitrogen,
  nh4FromNitrogen,
  nitrateMade,
  nitrogenFromNH3,
  nitrogenFromNH4,
  nitrogenFromNO2,
  nitrogenFromNO3,
  no2FromNitrogen,
  no3FromNitrogen,
  oxygenUsed,
  phNbs,
  phTotal,
  unionisedAmmoniaNbs,
  unionisedAmmoniaTotal,
} from "../../shared/chemistry/index.ts";
import {
  celsius,
  dkhFromMilliequivalents,
  fraction,
  litres,
  litresFromUsGallons,
  milliequivalentsFromCaCO3,
  practicalSalinityValue,
  usGallons,
} from "../../shared/units/index.ts";

const N = milligramsPerLitreN;
const SP = practicalSalinityValue;
const UNREAL = [Number.NaN, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY];

describe("un-ionised ammonia on the total scale", () => {
  // Clegg & Whitfield 1995, eq. 18, as coded in public marine-chemistry libraries; S 35. No table of the paper was found.
  it.each([
    [15, 9.5803],
    [20, 9.4033],
    [24, 9.2646],
    [25, 9.2303],
    [26, 9.1962],
    [28, 9.1283],
    [30, 9.061],
  ])("SP 35, %d °C: pKa %d", (t, expected) => {
    expect(Math.abs(ammoniumPkaTotal(SP(35), celsius(t))! - expected)).toBeLessThanOrEqual(5.1e-5);
  });

  // The same equation in fresh water at 25 °C, by construction; and the examples of the R package wq for ammFrac.
  it("fresh water and SP 35 at 25 °C: pKa 9.244605, fractions 0.0539, 0.0556, 0.0358 as the public code", () => {
    expect(ammoniumPkaTotal(SP(0), celsius(25))!).toBeCloseTo(9.244605, 12);
    expect(unionisedAmmoniaTotal(phTotal(8), SP(0), celsius(25))!).toBeCloseTo(0.0539, 4);
    expect(unionisedAmmoniaTotal(phTotal(8), SP(35), celsius(25))!).toBeCloseTo(0.0556, 4);
    expect(unionisedAmmoniaTotal(phTotal(7.8), SP(35), celsius(25))!).toBeCloseTo(0.0358, 4);
  });

  // Percent at pH 8.2 and 8.4, the same source.
  it.each([
    [15, 4.0, 6.19],
    [20, 5.89, 9.03],
    [25, 8.53, 12.88],
    [26, 9.16, 13.79],
    [30, 12.11, 17.92],
  ])("SP 35, %d °C: %d % at pH 8.2, %d % at pH 8.4", (t, at82, at84) => {
    expect(100 * unionisedAmmoniaTotal(phTotal(8.2), SP(35), celsius(t))!).toBeCloseTo(at82, 1);
    expect(100 * unionisedAmmoniaTotal(phTotal(8.4), SP(35), celsius(t))!).toBeCloseTo(at84, 1);
  });

  // Every term of the equation, far from S 35 and 25 °C, against a plain copy of the printed line.
  it("any SP 0 to 40, −2 to 40 °C: pKa of the printed equation", () => {
    const printed = (S: number, t: number) => {
      const T = t + 273.15;
      return (
        9.244605 -
        2729.33 * (1 / 298.15 - 1 / T) +
        (0.04203362 - 11.24742 / T) * S ** 0.25 +
        (-13.6416 + 1.176949 * T ** 0.5 - 0.02860785 * T + 545.4834 / T) * S ** 0.5 +
        (-0.1462507 + 0.0090226468 * T ** 0.5 - 0.0001471361 * T + 10.5425 / T) * S ** 1.5 +
        (0.004669309 - 0.0001691742 * T ** 0.5 - 0.5677934 / T) * S ** 2 +
        (-2.354039e-5 + 0.009698623 / T) * S ** 2.5
      );
    };
    fc.assert(
      fc.property(fc.double({ min: 0, max: 40, noNaN: true }), fc.double({ min: -2, max: 40, noNaN: true }), (S, t) => {
        expect(ammoniumPkaTotal(SP(S), celsius(t))!).toBeCloseTo(printed(S, t), 11);
      }),
    );
  });

  it("SP outside 0 to 40, outside −2 to 40 °C, or pH outside 0 to 14: null", () => {
    for (const S of [0, 40]) expect(ammoniumPkaTotal(SP(S), celsius(25))).toBeGreaterThan(9);
    for (const t of [-2, 40]) expect(ammoniumPkaTotal(SP(35), celsius(t))).toBeGreaterThan(8);
    for (const S of [-0.001, 40.001, ...UNREAL]) expect(ammoniumPkaTotal(SP(S), celsius(25))).toBeNull();
    for (const t of [-2.001, 40.001, ...UNREAL]) {
      expect(ammoniumPkaTotal(SP(35), celsius(t))).toBeNull();
      expect(unionisedAmmoniaTotal(phTotal(8), SP(35), celsius(t))).toBeNull();
    }
    for (const pH of [0, 14]) expect(unionisedAmmoniaTotal(phTotal(pH), SP(35), celsius(25))).not.toBeNull();
    for (const pH of [-0.01, 14.01, ...UNREAL]) {
      expect(unionisedAmmoniaTotal(phTotal(pH), SP(35), celsius(25))).toBeNull();
    }
  });
});

describe("un-ionised ammonia for a meter calibrated in NBS buffers", () => {
  // Bell et al. 2007/2008, coefficients in three public codes; S 35.
  it.each([
    [15, 9.6765, 2.06, 5.02],
    [20, 9.5187, 2.94, 7.07],
    [24, 9.3925, 3.89, 9.23],
    [25, 9.3609, 4.17, 9.86],
    [26, 9.3294, 4.47, 10.53],
    [30, 9.2032, 5.89, 13.59],
  ])("SP 35, %d °C: pKa %d, %d % at pH 8.0, %d % at pH 8.4", (t, pKa, at80, at84) => {
    expect(Math.abs(ammoniumPkaNbs(SP(35), celsius(t))! - pKa)).toBeLessThanOrEqual(5.1e-5);
    expect(Math.abs(100 * unionisedAmmoniaNbs(phNbs(8), SP(35), celsius(t))! - at80)).toBeLessThanOrEqual(0.0051);
    expect(Math.abs(100 * unionisedAmmoniaNbs(phNbs(8.4), SP(35), celsius(t))! - at84)).toBeLessThanOrEqual(0.0051);
  });

  // Bower & Bidwell 1978, table at salinity 34 on the same scale, as reproduced in a test instrument's manual. The
  // equations differ by up to 0.06 in pKa in the cold; 15 % of the fraction is what the literature's spread allows.
  it.each([
    [7.5, 10, 0.459],
    [8.0, 10, 1.44],
    [8.0, 15, 2.07],
    [8.2, 20, 4.65],
    [8.2, 25, 6.61],
    [8.5, 25, 12.4],
  ])("pH %d, %d °C, SP 34: %d % of the table of 1978, within 15 %", (pH, t, percentTable) => {
    const percentOurs = 100 * unionisedAmmoniaNbs(phNbs(pH), SP(34), celsius(t))!;
    expect(Math.abs(percentOurs / percentTable - 1)).toBeLessThanOrEqual(0.15);
  });

  it("SP 33 to 37, 15 to 30 °C: pKa 0.085 to 0.15 above the total scale's", () => {
    fc.assert(
      fc.property(
        fc.double({ min: 33, max: 37, noNaN: true }),
        fc.double({ min: 15, max: 30, noNaN: true }),
        (S, t) => {
          const difference = ammoniumPkaNbs(SP(S), celsius(t))! - ammoniumPkaTotal(SP(S), celsius(t))!;
          expect(difference).toBeGreaterThan(0.085);
          expect(difference).toBeLessThan(0.15);
        },
      ),
    );
  });

  it("SP outside 0 to 42, outside −2 to 40 °C, or pH outside 0 to 14: null", () => {
    for (const S of [-0.001, 42.001, ...UNREAL]) expect(ammoniumPkaNbs(SP(S), celsius(25))).toBeNull();
    for (const t of [-2.001, 40.001, ...UNREAL]) {
      expect(ammoniumPkaNbs(SP(35), celsius(t))).toBeNull();
      expect(unionisedAmmoniaNbs(phNbs(8), SP(35), celsius(t))).toBeNull();
    }
    for (const pH of [-0.01, 14.01, ...UNREAL]) expect(unionisedAmmoniaNbs(phNbs(pH), SP(35), celsius(25))).toBeNull();
  });

  it("any pH 6 to 9, 0 to 35 °C: share between 0 and 1, more with pH and with warmth", () => {
    const wide = { min: 0, max: 35, noNaN: true };
    fc.assert(
      fc.property(fc.double({ min: 6, max: 9, noNaN: true }), fc.double(wide), (pH, t) => {
        const share = unionisedAmmoniaNbs(phNbs(pH), SP(35), celsius(t))!;
        expect(share).toBeGreaterThan(0);
        expect(share).toBeLessThan(1);
        expect(unionisedAmmoniaNbs(phNbs(pH + 0.01), SP(35), celsius(t))!).toBeGreaterThan(share);
        expect(unionisedAmmoniaNbs(phNbs(pH), SP(35), celsius(t + 0.01))!).toBeGreaterThan(share);
      }),
    );
  });
});

describe("nitrogen and the ions that carry it", () => {
  // Molar masses: N 14.007, NH₃ 17.031, NH₄⁺ 18.039, NO₂⁻ 46.005, NO₃⁻ 62.004 g/mol.
  it("1 mg of N: 1.21589 NH₃, 1.28786 NH₄⁺, 3.28443 NO₂⁻, 4.42664 NO₃⁻, and back", () => {
    expect(nh3FromNitrogen(N(1))).toBeCloseTo(1.21589, 5);
    expect(nh4FromNitrogen(N(1))).toBeCloseTo(1.28786, 5);
    expect(no2FromNitrogen(N(1))).toBeCloseTo(3.28443, 5);
    expect(no3FromNitrogen(N(1))).toBeCloseTo(4.42664, 5);
    expect(nitrogenFromNH3(milligramsPerLitreNH3(1.21589))).toBeCloseTo(1, 5);
    expect(nitrogenFromNH4(milligramsPerLitreNH4(1.28786))).toBeCloseTo(1, 5);
    expect(nitrogenFromNO2(milligramsPerLitreNO2(3.28443))).toBeCloseTo(1, 5);
    expect(nitrogenFromNO3(milligramsPerLitreNO3(4.42664))).toBeCloseTo(1, 5);
  });
});

describe("the dose of ammonium chloride", () => {
  const pure = fraction(1);

  // Worked example: 100 × 3.785411784 × 2.00 × 3.81888 = 2891.20 mg.
  it("100 US gallons to 2 mg/L as N: 2.8912 g", () => {
    expect(ammoniumChlorideDose(litresFromUsGallons(usGallons(100)), N(2), pure)!).toBeCloseTo(2.8912, 4);
  });

  // 130 L to "2 mg/L": three doses, as N, as NH₃, as NH₄⁺ (common practice, computed).
  it("130 L to 2 mg/L as N, NH₃, NH₄⁺: 0.993, 0.817, 0.771 g", () => {
    const dose = (target: ReturnType<typeof N>) => ammoniumChlorideDose(litres(130), target, pure)!;
    expect(dose(N(2))).toBeCloseTo(0.993, 3);
    expect(dose(nitrogenFromNH3(milligramsPerLitreNH3(2)))).toBeCloseTo(0.817, 3);
    expect(dose(nitrogenFromNH4(milligramsPerLitreNH4(2)))).toBeCloseTo(0.771, 3);
  });

  it("purity 0.5: twice the dose", () => {
    const half = ammoniumChlorideDose(litres(100), N(1), fraction(0.5))!;
    expect(half).toBeCloseTo(2 * ammoniumChlorideDose(litres(100), N(1), pure)!, 12);
  });

  it("negative or no number of litres or target, purity 0 or above 1: null", () => {
    expect(ammoniumChlorideDose(litres(0), N(0), pure)).toBe(0);
    for (const bad of [-1, ...UNREAL]) {
      expect(ammoniumChlorideDose(litres(bad), N(2), pure)).toBeNull();
      expect(ammoniumChlorideDose(litres(100), N(bad), pure)).toBeNull();
    }
    for (const bad of [0, -0.5, 1.001, ...UNREAL]) {
      expect(ammoniumChlorideDose(litres(100), N(2), fraction(bad))).toBeNull();
    }
  });
});

describe("what nitrification takes and makes", () => {
  // Ebeling, Timmons & Bisogni 2006, per gram of N: 7.05 g CaCO₃, 4.18 g O₂, 0.976 g NO₃-N (figures from memory).
  it("16 mg/L of N: 112.8 mg/L of alkalinity, 2.26 meq/L, 6.3 dKH; 15.616 of nitrate N; 4.18 of oxygen per N", () => {
    const used = alkalinityUsed(N(16))!;
    expect(used).toBeCloseTo(112.8, 9);
    expect(milliequivalentsFromCaCO3(used)).toBeCloseTo(2.26, 1);
    expect(dkhFromMilliequivalents(milliequivalentsFromCaCO3(used))).toBeCloseTo(6.3, 1);
    expect(nitrateMade(N(16))!).toBeCloseTo(15.616, 12);
    // All of the nitrogen would be 71 mg/L of nitrate; 2.4 % of it stays in the bacteria.
    expect(no3FromNitrogen(N(16))).toBeCloseTo(70.8, 1);
    expect(no3FromNitrogen(nitrateMade(N(16))!)).toBeCloseTo(69.1, 1);
    expect(oxygenUsed(N(1))).toBe(4.18);
  });

  it("0: 0; negative or no number: null", () => {
    for (const call of [alkalinityUsed, nitrateMade, oxygenUsed]) {
      expect(call(N(0))).toBe(0);
      for (const bad of [-1e-9, ...UNREAL]) expect(call(N(bad))).toBeNull();
    }
  });
});
