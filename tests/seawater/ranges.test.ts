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
  rawConductivity,
  salinityFromAbsolute,
  salinityFromSpecificGravity,
  salinityStanding,
  specificGravity,
} from "../../shared/seawater/index.ts";
import {
  celsius,
  decibars,
  gramsPerKilogram,
  millisiemensPerCm,
  percentPerKelvin,
  practicalSalinityValue,
  specificGravityValue,
} from "../../shared/units/index.ts";

const C = millisiemensPerCm;
const SP = practicalSalinityValue;
const SA = gramsPerKilogram;
const t25 = celsius(25);
const linear = (percent: number, referenceC: number) => ({
  percentPerK: percentPerKelvin(percent),
  referenceC: celsius(referenceC),
});

/** Every function of the room as a function of one temperature, all else in the middle of its range. */
const ofTemperature: Record<string, (tC: number) => number | null> = {
  practicalSalinity: (t) => practicalSalinity(C(20), celsius(t)),
  conductivityFromSalinity: (t) => conductivityFromSalinity(SP(35), celsius(t)),
  conductivityAt25: (t) => conductivityAt25(C(20), celsius(t)),
  conductivityFromAt25: (t) => conductivityFromAt25(C(53), celsius(t)),
  densityTeos10: (t) => densityTeos10(SA(35), celsius(t)),
  densityEos80: (t) => densityEos80(SP(35), celsius(t)),
  heatCapacity: (t) => heatCapacity(SA(35), celsius(t)),
  "specificGravity, sample": (t) => specificGravity(SP(35), { sampleC: celsius(t), waterC: t25 }),
  "specificGravity, water": (t) => specificGravity(SP(35), { sampleC: t25, waterC: celsius(t) }),
  "salinityFromSpecificGravity, sample": (t) =>
    salinityFromSpecificGravity(specificGravityValue(1.0235), { sampleC: celsius(t), waterC: celsius(t) }),
  "salinityFromSpecificGravity, water": (t) =>
    salinityFromSpecificGravity(specificGravityValue(1.018), { sampleC: t25, waterC: celsius(t) }),
  "rawConductivity, sample": (t) => rawConductivity(C(53), celsius(t), linear(2, 25)),
  "rawConductivity, reference": (t) => rawConductivity(C(53), t25, linear(2, t)),
};

const ofSalinity: Record<string, (value: number) => number | null> = {
  conductivityFromSalinity: (value) => conductivityFromSalinity(SP(value), t25),
  absoluteSalinity: (value) => absoluteSalinity(SP(value)),
  salinityFromAbsolute: (value) => salinityFromAbsolute(SA((value * 35.16504) / 35)),
  densityTeos10: (value) => densityTeos10(SA((value * 35.16504) / 35), t25),
  densityEos80: (value) => densityEos80(SP(value), t25),
  heatCapacity: (value) => heatCapacity(SA((value * 35.16504) / 35), t25),
  specificGravity: (value) => specificGravity(SP(value), { sampleC: t25, waterC: t25 }),
};

const UNREAL = [Number.NaN, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY];

describe.each(Object.entries(ofTemperature))("%s", (_, call) => {
  it("−2 to 40 °C: finite; 1e-6 K beyond or no number: null", () => {
    for (const t of [-2, 0, 15, 25, 35, 40]) expect(Number.isFinite(call(t))).toBe(true);
    for (const t of [-2.000001, 40.000001, -273.15, ...UNREAL]) expect(call(t)).toBeNull();
  });
});

describe.each(Object.entries(ofSalinity))("%s", (_, call) => {
  it("SP 0 to 42: finite; beyond or no number: null", () => {
    for (const value of [0, 1e-6, 1.999, 2, 35, 42]) expect(Number.isFinite(call(value))).toBe(true);
    for (const value of [-1e-9, 42.000001, -35, ...UNREAL]) expect(call(value)).toBeNull();
  });
});

describe("practical salinity", () => {
  it("conductivity below 0, 65 at 25 °C or no number: null", () => {
    for (const value of [-1e-9, 1e9, 65, ...UNREAL]) expect(practicalSalinity(C(value), t25)).toBeNull();
    expect(conductivityAt25(C(Number.NaN), t25)).toBeNull();
    expect(conductivityFromAt25(C(-1), t25)).toBeNull();
  });

  it("conductivities that give exactly 2 and 42: those", () => {
    // Conductivities, found by search, at which the polynomial gives exactly these two doubles.
    expect(practicalSalinity(C(2.1860298507040126), celsius(2.5))).toBe(2);
    expect(practicalSalinity(C(2.218570436513084), celsius(3))).toBe(2);
    expect(practicalSalinity(C(38.86965756010053), celsius(4.5))).toBe(42);
    expect(practicalSalinity(C(40.464574112384206), celsius(6))).toBe(42);
  });

  it("0 mS/cm: 0; 0.001: null; 0.003: above 0", () => {
    for (const t of [0, 10, 25, 33, 40]) expect(practicalSalinity(C(0), celsius(t))).toBe(0);
    expect(practicalSalinity(C(0.001), t25)).toBeNull();
    expect(practicalSalinity(C(0.003), t25)).toBeGreaterThan(0);
    expect(conductivityFromSalinity(SP(0), t25)).toBe(0);
  });

  it("0 to 10,000 dbar: finite; beyond or no number: null", () => {
    for (const p of [0, 0.001, 10_000]) {
      expect(practicalSalinity(C(50), t25, decibars(p))).toBeGreaterThan(30);
      expect(conductivityFromSalinity(SP(35), t25, decibars(p))).toBeGreaterThan(50);
    }
    for (const p of [-0.001, 10_000.1, ...UNREAL]) {
      expect(practicalSalinity(C(50), t25, decibars(p))).toBeNull();
      expect(conductivityFromSalinity(SP(35), t25, decibars(p))).toBeNull();
    }
  });

  it("no pressure given: as at 0 dbar", () => {
    expect(practicalSalinity(C(50), t25)).toBe(practicalSalinity(C(50), t25, decibars(0)));
    expect(conductivityFromSalinity(SP(35), t25)).toBe(conductivityFromSalinity(SP(35), t25, decibars(0)));
  });

  it("−2 to 35 °C: fitted; to 40: extrapolated; beyond: outside", () => {
    expect([-2, 25, 35].map((t) => salinityStanding(celsius(t)))).toEqual(["fitted", "fitted", "fitted"]);
    expect([35.0001, 40].map((t) => salinityStanding(celsius(t)))).toEqual(["extrapolated", "extrapolated"]);
    expect([-2.1, 40.1, Number.NaN].map((t) => salinityStanding(celsius(t)))).toEqual([
      "outside",
      "outside",
      "outside",
    ]);
  });
});

describe("salinity from specific gravity", () => {
  const scale = { sampleC: t25, waterC: t25 };
  const from = (sg: number) => salinityFromSpecificGravity(specificGravityValue(sg), scale);

  it("gravities of SP 0 and 42: those; 1e-9 beyond: null", () => {
    const saltiest = specificGravity(SP(42), scale)!;
    expect(from(1)).toBe(0);
    expect(from(saltiest)).toBeCloseTo(42, 9);
    expect(from(saltiest)).toBeLessThanOrEqual(42);
    for (const sg of [1 - 1e-9, saltiest + 1e-9, 0, -1, ...UNREAL]) expect(from(sg)).toBeNull();
  });
});

describe("raw conductivity", () => {
  it("50 mS/cm at 30 °C with 2 %/K from 25: 55; at the reference or 0 %/K: 50", () => {
    expect(rawConductivity(C(50), celsius(30), linear(2, 25))).toBeCloseTo(55, 12);
    expect(rawConductivity(C(50), celsius(15), linear(1.91, 20))).toBeCloseTo(45.225, 12);
    expect(rawConductivity(C(50), celsius(25), linear(2, 25))).toBe(50);
    expect(rawConductivity(C(50), celsius(30), linear(0, 25))).toBe(50);
    expect(rawConductivity(C(0), celsius(30), linear(2, 25))).toBe(0);
  });

  // Computed from PSS-78 with GSW: what happens to SP 35 when the coefficient is 2.2 %/K and nobody undoes it.
  it("SP 35 at 15 °C compensated with 2.2 %/K: 1.45 too high as shown, 35 once undone", () => {
    const shown = C(conductivityFromSalinity(SP(35), celsius(15))! / (1 + 0.022 * (15 - 25)));
    expect(practicalSalinity(shown, t25)! - 35).toBeCloseTo(1.45, 2);
    const raw = rawConductivity(shown, celsius(15), linear(2.2, 25))!;
    expect(practicalSalinity(raw, celsius(15))!).toBeCloseTo(35, 9);
  });

  it("conductivity below 0, coefficient outside 0 to 10, or nothing left: null", () => {
    for (const value of [-1, ...UNREAL]) expect(rawConductivity(C(value), t25, linear(2, 25))).toBeNull();
    for (const percent of [-0.1, 10.1, ...UNREAL]) expect(rawConductivity(C(50), t25, linear(percent, 25))).toBeNull();
    expect(rawConductivity(C(50), t25, linear(10, 25))).toBe(50);
    expect(rawConductivity(C(50), celsius(0), linear(4, 25))).toBeNull();
    expect(rawConductivity(C(50), celsius(0), linear(3.9, 25))).toBeCloseTo(1.25, 9);
  });
});
