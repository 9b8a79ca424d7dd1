import { describe, expect, it } from "vitest";
import { standardConductivity, type TabledStandard } from "../../shared/seawater/index.ts";
import { celsius } from "../../shared/units/index.ts";

const at = (standard: TabledStandard, t90C: number) => standardConductivity(standard, celsius(t90C));

describe("conductivity of calibration standards", () => {
  // CRC Handbook of Chemistry and Physics p. 5-73 (Wu, Koch and Pratt 1991; Pratt and others 2001), µS/cm, ITS-90.
  it.each([
    [0, 772.92, 7116.85],
    [5, 890.96, 8183.7],
    [10, 1013.95, 9291.72],
    [15, 1141.45, 10437.1],
    [18, 1219.93, 11140.6],
    [20, 1273.03, 11615.9],
    [25, 1408.23, 12824.6],
    [30, 1546.63, 14059.2],
    [35, 1687.79, 15316],
    [40, 1831.27, 16591],
  ])("%d °C: %d and %d µS/cm of the table", (t90C, molal001, molal01) => {
    expect(at("kcl-0.01-molal", t90C)).toBeCloseTo(molal001 / 1000, 9);
    expect(at("kcl-0.1-molal", t90C)).toBeCloseTo(molal01 / 1000, 9);
  });

  it("18 °C left out: its neighbours give it within 1e-4; 22.5 °C: between its rows", () => {
    // 18 °C is a row of its own: 15, 20 and 25 °C alone give it to a hundredth of a percent.
    const parabola = [
      [15, 10437.1],
      [20, 11615.9],
      [25, 12824.6],
    ] as const;
    const [a, b, c] = parabola;
    const fit =
      (a[1] * (18 - b[0]) * (18 - c[0])) / ((a[0] - b[0]) * (a[0] - c[0])) +
      (b[1] * (18 - a[0]) * (18 - c[0])) / ((b[0] - a[0]) * (b[0] - c[0])) +
      (c[1] * (18 - a[0]) * (18 - b[0])) / ((c[0] - a[0]) * (c[0] - b[0]));
    expect(Math.abs(fit / 11140.6 - 1)).toBeLessThan(1e-4);
    expect(at("kcl-0.1-molal", 22.5)).toBeGreaterThan(12.2);
    expect(at("kcl-0.1-molal", 22.5)).toBeLessThan(12.2203);
  });

  // The 0.1 demal solution of the older scale is another one; scaled by concentration it agrees to 0.05 %.
  // 0.1 D: 7.41913 g/kg, 12.852 mS/cm at 25 °C; 0.1 mol/kg: 7.39996 g/kg (demal masses from memory).
  it("0.1 mol/kg scaled to 0.1 demal: 12.852 mS/cm within 5e-4", () => {
    const scaled = ((at("kcl-0.1-molal", 25) as number) * 7.41913) / 7.39996;
    expect(Math.abs(scaled / 12.852 - 1)).toBeLessThan(5e-4);
  });

  // A laboratory conductivity meter's manual, 0.1 mol/L: no primary source, two decimals.
  it.each([
    [15, 10.48],
    [20, 11.67],
    [25, 12.88],
    [30, 14.12],
    [35, 15.39],
  ])("12.88 mS/cm bottle at %d °C: %d mS/cm", (t90C, msPerCm) => {
    expect(at("kcl-0.1-molar", t90C)).toBeCloseTo(msPerCm, 1);
  });

  it("sea water of 35: 42.914 mS/cm at 15 °C IPTS-68 by definition (PSS-78, UNESCO 44), 53.07 at 25 °C", () => {
    expect(at("sea-water-35", 15 / 1.00024)).toBeCloseTo(42.914, 6);
    // 53.065 mS/cm is commonly printed for 25 °C on the older temperature scale; ITS-90 moves it by 0.006.
    expect(at("sea-water-35", 25)).toBeCloseTo(53.07, 2);
  });

  it("outside 0 to 40 °C or no number: null", () => {
    for (const t90C of [-0.1, 40.1, Number.NaN, Infinity]) {
      expect(at("kcl-0.1-molal", t90C)).toBeNull();
      expect(at("sea-water-35", t90C)).toBeNull();
    }
  });
});
