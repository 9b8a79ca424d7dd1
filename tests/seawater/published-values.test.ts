// Check values from the papers and from the libraries that quote them; each source stands beside its table.
// t68 is a temperature on IPTS-68 as the papers print it: t90 = t68 / 1.00024.
import { describe, expect, it } from "vitest";
import {
  absoluteSalinity,
  conductivityAt25,
  conductivityFromAt25,
  conductivityFromSalinity,
  densityEos80,
  densityTeos10,
  heatCapacity,
  practicalSalinity,
  salinityFromSpecificGravity,
  specificGravity,
} from "../../shared/seawater/index.ts";
import {
  celsius,
  celsiusFromFahrenheit,
  decibars,
  fahrenheit,
  gramsPerKilogram,
  millisiemensPerCm,
  practicalSalinityValue,
  specificGravityValue,
} from "../../shared/units/index.ts";

const fromT68 = (t68: number) => celsius(t68 / 1.00024);
const C = millisiemensPerCm;
const SP = practicalSalinityValue;
const SA = gramsPerKilogram;

describe("practical salinity", () => {
  // UNESCO 44 (Fofonoff & Millard 1983) p. 9, and the check of its Fortran SAL78 at 40 °C and 10 000 dbar.
  it.each([
    [1, 15, 0, 35.0, 1e-6],
    [1.2, 20, 2000, 37.245628, 1e-6],
    [0.65, 5, 1500, 27.995347, 1e-6],
    [1.888091, 40, 10_000, 40.0, 1e-5],
  ])("R %d at t68 %d °C and %d dbar: %d", (R, t68, p, expected, tolerance) => {
    const salinity = practicalSalinity(C(42.914 * R), fromT68(t68), decibars(p))!;
    expect(Math.abs(salinity - expected)).toBeLessThanOrEqual(tolerance);
  });

  // UNESCO 44 p. 14, conductivity ratio from salinity. The first row is printed 0.498088 in one public copy: a misprint.
  it.each([
    [25, 0, 0, 0.498008],
    [25, 10, 0, 0.65499],
    [25, 0, 1000, 0.506244],
    [25, 10, 1000, 0.662975],
    [40, 10, 0, 1.000073],
    [40, 30, 0, 1.529967],
  ])("SP %d at t68 %d °C and %d dbar: R %d", (S, t68, p, R) => {
    const conductivity = conductivityFromSalinity(SP(S), fromT68(t68), decibars(p))!;
    expect(Math.abs(conductivity / 42.914 - R)).toBeLessThanOrEqual(5.1e-7);
  });

  // TEOS-10 web pages, examples of SP_from_C and C_from_SP, as in the GSW-R test suite.
  it.each([
    [34.5487, 28.7856, 10, 20.009869599086951, 56.412599581571186],
    [34.7275, 28.4329, 50, 20.26551186487427, 56.316185602699953],
    [34.8605, 22.8103, 125, 22.981513062527689, 50.670369333973944],
    [34.681, 10.26, 250, 31.204503263727982, 38.13451893610435],
    [34.568, 6.8863, 600, 34.032315787432829, 35.056577637635257],
    [34.56, 4.4036, 1000, 36.40030849438817, 32.98655060799011],
  ])("%d at %d °C and %d dbar: %d and %d, both ways", (value, t, p, salinity, conductivity) => {
    expect(Math.abs(practicalSalinity(C(value), celsius(t), decibars(p))! - salinity)).toBeLessThanOrEqual(1e-12);
    const back = conductivityFromSalinity(SP(value), celsius(t), decibars(p))!;
    // GSW stops its own inverse at a relative 2e-14 or so.
    expect(Math.abs(back - conductivity)).toBeLessThanOrEqual(1e-11);
  });

  // GSW 3.6.16, SP_from_C at 25 °C: Hill et al. 1986 joined to PSS-78 at SP 2. No published check of Hill was found.
  it.each([
    [0.2, 0.094129],
    [0.5, 0.240378],
    [1.0, 0.492451],
    [2.0, 1.0166],
    [3.0, 1.558628],
    [3.7, 1.946055],
    [3.8, 2.001869],
  ])("%d mS/cm at 25 °C: %d", (conductivity, expected) => {
    expect(Math.abs(practicalSalinity(C(conductivity), celsius(25))! - expected)).toBeLessThanOrEqual(5.1e-7);
  });

  // GSW 3.6.16, C_from_SP: the corners and the middle of the usual table of standard sea water.
  it.each([
    [30, 15, 37.3762],
    [40, 15, 48.3387],
    [33, 24, 49.3732],
    [35, 25, 53.071],
    [35, 26, 54.1182],
    [36, 28, 57.6504],
    [30, 32, 52.753],
    [40, 32, 68.0752],
  ])("SP %d at %d °C: %d mS/cm", (S, t, expected) => {
    expect(Math.abs(conductivityFromSalinity(SP(S), celsius(t))! - expected)).toBeLessThanOrEqual(5.1e-5);
  });

  // Common practice: 53.0 mS/cm at 25 °C is the calibration standard of "35". The digits are GSW 3.6.16.
  it("53.0 mS/cm at 25 °C: 34.947; 50: 32.733", () => {
    expect(practicalSalinity(C(53), celsius(25))!).toBeCloseTo(34.947, 3);
    expect(practicalSalinity(C(50), celsius(25))!).toBeCloseTo(32.733, 3);
  });

  it("42.9175 at 15 °C and 60.5043 at 32 °C: 53.071 mS/cm at 25 °C, and back", () => {
    expect(conductivityAt25(C(42.9175), celsius(15))!).toBeCloseTo(53.071, 3);
    expect(conductivityAt25(C(60.5043), celsius(32))!).toBeCloseTo(53.071, 3);
    expect(conductivityFromAt25(C(53.071), celsius(15))!).toBeCloseTo(42.9175, 3);
    expect(conductivityAt25(C(53.071), celsius(25))!).toBeCloseTo(53.071, 12);
  });
});

describe("density", () => {
  // UNESCO 44 p. 19, one atmosphere: Millero & Poisson 1981.
  it.each([
    [0, 5, 999.96675],
    [0, 25, 997.04796],
    [35, 5, 1027.67547],
    [35, 25, 1023.34306],
    // sigma(40, 0, 0) = 32.147101, in the liboceanography test suite.
    [40, 0, 1032.147101],
  ])("EOS-80, SP %d at t68 %d °C: %d kg/m³", (S, t68, expected) => {
    expect(Math.abs(densityEos80(SP(S), fromT68(t68))! - expected)).toBeLessThanOrEqual(5.1e-6);
  });

  // GSW 3.6.16, rho_t_exact and cp_t_exact at 0 °C and the surface, SA 35.16504 g/kg.
  it("35.16504 g/kg at 0 °C: 1028.1071846 kg/m³, 3986.4525 J/(kg K) of the library", () => {
    expect(Math.abs(densityTeos10(SA(35.16504), celsius(0))! - 1028.1071846)).toBeLessThanOrEqual(5.1e-8);
    expect(Math.abs(heatCapacity(SA(35.16504), celsius(0))! - 3986.4525)).toBeLessThanOrEqual(5.1e-5);
  });

  // IAPWS-08 release, table 8 (from memory), on IAPWS-95 water: 9.72661217e-4 m³/kg and 3986.48579 J/(kg K).
  // Our water is IAPWS-09's fit, which differs by 1.5e-5 kg/m³ and 0.033 J/(kg K).
  it("35.16504 g/kg at 0 °C: IAPWS-08 within 2e-5 kg/m³ and 0.04 J/(kg K)", () => {
    expect(Math.abs(densityTeos10(SA(35.16504), celsius(0))! - 1 / 9.72661217e-4)).toBeLessThanOrEqual(2e-5);
    expect(Math.abs(heatCapacity(SA(35.16504), celsius(0))! - 3986.48579)).toBeLessThanOrEqual(0.04);
  });

  // IAPWS-95 by python3-iapws, and Tanaka et al. 2001 (CIPM) for air-free water, 0…40 °C.
  it.each([
    [0, 999.8431, 999.8428],
    [4, 999.9749, 999.9749],
    [15, 999.1026, 999.1026],
    [25, 997.0476, 997.047],
    [30, 995.6495, 995.6488],
    [40, 992.2164, 992.2152],
  ])("pure water at %d °C: %d of IAPWS-95, %d of Tanaka", (t, iapws95, tanaka) => {
    expect(Math.abs(densityTeos10(SA(0), celsius(t))! - iapws95)).toBeLessThanOrEqual(1e-4);
    expect(Math.abs(densityTeos10(SA(0), celsius(t))! - tanaka)).toBeLessThanOrEqual(1.3e-3);
    expect(Math.abs(densityEos80(SP(0), celsius(t))! - tanaka)).toBeLessThanOrEqual(2e-3);
  });

  // TEOS-10 web pages, rho_t_exact(SA, t, p) brought to the surface is not printed; SR_from_SP is.
  it.each([
    [34.5487, 34.711611927085727],
    [34.7275, 34.891255045714303],
    [34.8605, 35.024882197714305],
    [34.681, 34.844535778285724],
    [34.568, 34.731002934857159],
    [34.56, 34.722965211428587],
  ])("SP %d: %d g/kg in standard sea water", (S, expected) => {
    expect(Math.abs(absoluteSalinity(SP(S))! - expected)).toBeLessThanOrEqual(1e-13);
  });
});

describe("heat capacity", () => {
  // UNESCO 44 p. 37 (EOS-80, t68) with TEOS-10 beside it by GSW 3.6.16; the two differ by up to 4 J/(kg K) in the cold.
  it.each([
    [25, 0, 4048.4, 4048.02],
    [35, 0, 3986.5, 3986.45],
    [25, 20, 4044.8, 4046.97],
    [35, 20, 3993.9, 3996.13],
    [25, 30, 4049.1, 4050.04],
    [35, 30, 4000.7, 4001.54],
    [35, 40, 4003.5, 4006.08],
  ])("SP %d at %d °C: %d of UNESCO within 4, %d of TEOS-10 within 0.0051", (S, t68, unesco, teos10) => {
    const cp = heatCapacity(absoluteSalinity(SP(S))!, fromT68(t68))!;
    expect(Math.abs(cp - teos10)).toBeLessThanOrEqual(0.0051);
    expect(Math.abs(cp - unesco)).toBeLessThanOrEqual(4);
  });
});

describe("specific gravity", () => {
  const f60 = celsiusFromFahrenheit(fahrenheit(60));
  const f77 = celsiusFromFahrenheit(fahrenheit(77));
  const scales = {
    "25/25": { sampleC: celsius(25), waterC: celsius(25) },
    "77F/77F": { sampleC: f77, waterC: f77 },
    "20/20": { sampleC: celsius(20), waterC: celsius(20) },
    "60F/60F": { sampleC: f60, waterC: f60 },
    "20/4": { sampleC: celsius(20), waterC: celsius(4) },
  };

  // Computed from EOS-80 with independent code; no published table of hydrometer scales was found.
  it.each([
    ["25/25", 30, 1.022588],
    ["25/25", 35, 1.026373],
    ["77F/77F", 35, 1.026373],
    ["20/20", 35, 1.026604],
    ["60F/60F", 35, 1.026859],
    ["20/4", 35, 1.024787],
    ["20/4", 40, 1.028607],
  ] as const)("scale %s, SP %d: %d", (scale, S, expected) => {
    expect(Math.abs(specificGravity(SP(S), scales[scale])! - expected)).toBeLessThanOrEqual(5.1e-7);
  });

  it.each([
    ["25/25", 1.025, 33.188],
    ["20/20", 1.025, 32.9],
    ["60F/60F", 1.025, 32.587],
    ["20/4", 1.025, 35.279],
    ["25/25", 1.0264, 35.036],
    ["20/4", 1.0264, 37.113],
  ] as const)("scale %s, reading %d: SP %d", (scale, reading, expected) => {
    const S = salinityFromSpecificGravity(specificGravityValue(reading), scales[scale])!;
    expect(Math.abs(S - expected)).toBeLessThanOrEqual(5.1e-4);
  });

  it("SP 35 at 25 °C on a 60/60 °F hydrometer: 1.02435", () => {
    const read = specificGravity(SP(35), { sampleC: celsius(25), waterC: f60 })!;
    expect(read).toBeCloseTo(1.02435, 5);
  });
});
