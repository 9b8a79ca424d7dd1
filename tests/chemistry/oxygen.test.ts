import { describe, expect, it } from "vitest";
import { oxygenSaturationMgPerL, oxygenSaturationUmolPerKg } from "../../shared/chemistry/index.ts";
import { densityEos80 } from "../../shared/seawater/index.ts";
import { celsius, practicalSalinityValue as SP } from "../../shared/units/index.ts";

const fromT68 = (t68: number) => celsius(t68 / 1.00024);
const UNREAL = [Number.NaN, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY];

describe("Benson & Krause 1984, mg/L", () => {
  // Published table of fresh water at one atmosphere (from memory), recomputed by the R package wql; S 35 by the same.
  it.each([
    [0, 0, 14.6208],
    [0, 10, 11.2879],
    [0, 20, 9.0924],
    [0, 25, 8.2635],
    [0, 30, 7.5588],
  ])("S %d at t68 %d °C: %d mg/L", (S, t68, expected) => {
    expect(Math.abs(oxygenSaturationMgPerL(SP(S), fromT68(t68))! - expected)).toBeLessThanOrEqual(5.1e-5);
  });

  it.each([
    [10, 9.024],
    [20, 7.396],
    [24, 6.889],
    [25, 6.772],
    [26, 6.659],
    [28, 6.442],
    [30, 6.237],
    [32, 6.042],
  ])("S 35 at t68 %d °C: %d mg/L", (t68, expected) => {
    expect(Math.abs(oxygenSaturationMgPerL(SP(35), fromT68(t68))! - expected)).toBeLessThanOrEqual(5.1e-4);
  });

  it("outside 0 to 40 °C or SP 0 to 42: null", () => {
    for (const t of [0, 40]) expect(oxygenSaturationMgPerL(SP(35), celsius(t))).toBeGreaterThan(5);
    for (const S of [0, 42]) expect(oxygenSaturationMgPerL(SP(S), celsius(25))).toBeGreaterThan(6);
    for (const t of [-0.001, 40.001, ...UNREAL]) expect(oxygenSaturationMgPerL(SP(35), celsius(t))).toBeNull();
    for (const S of [-0.001, 42.001, ...UNREAL]) expect(oxygenSaturationMgPerL(SP(S), celsius(25))).toBeNull();
  });
});

describe("Garcia & Gordon 1992, column of Benson & Krause, µmol/kg", () => {
  // Two public codes, one quoting the paper: 274.610 at T 10, S 35.
  it("S 35 at t68 10 °C: 274.6098, the paper's check value", () => {
    expect(Math.abs(oxygenSaturationUmolPerKg(SP(35), fromT68(10))! - 274.6098)).toBeLessThanOrEqual(5.1e-5);
  });

  // TEOS-10 web page, gsw_O2sol_SP_pt, temperatures on ITS-90.
  it.each([
    [34.7118, 28.8099, 194.682543169294],
    [34.8915, 28.4392, 195.6135062814438],
    [35.0256, 22.7862, 214.6559360234014],
    [34.8472, 10.2262, 273.5652832698713],
    [34.7366, 6.8272, 295.1580761415903],
    [34.7324, 4.3236, 312.9598716631408],
  ])("S %d at %d °C is %d", (S, t, expected) => {
    expect(Math.abs(oxygenSaturationUmolPerKg(SP(S), celsius(t))! - expected)).toBeLessThanOrEqual(1e-9);
  });

  it("S 35, 10 to 32 °C: Benson & Krause's own mg/L within 0.005", () => {
    for (const t of [10, 20, 26, 32]) {
      const perLitre = (oxygenSaturationUmolPerKg(SP(35), celsius(t))! * densityEos80(SP(35), celsius(t))!) / 1e6;
      expect(perLitre * 31.998).toBeCloseTo(oxygenSaturationMgPerL(SP(35), celsius(t))!, 2);
    }
  });

  it("outside −2 to 40 °C or SP 0 to 42: null", () => {
    for (const t of [-2, 40]) expect(oxygenSaturationUmolPerKg(SP(35), celsius(t))).toBeGreaterThan(150);
    for (const t of [-2.001, 40.001, ...UNREAL]) expect(oxygenSaturationUmolPerKg(SP(35), celsius(t))).toBeNull();
    for (const S of [-0.001, 42.001, ...UNREAL]) expect(oxygenSaturationUmolPerKg(SP(S), celsius(25))).toBeNull();
  });
});
