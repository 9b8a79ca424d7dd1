import fc from "fast-check";
import { describe, expect, it } from "vitest";
import {
  betaResistance,
  betaTemperature,
  calibratedCellConstant,
  celsius,
  conductivityFromConductance,
  crc8,
  ds18b20Temperature,
  halfWidth,
  kelvin,
  millisiemens,
  millisiemensPerCm,
  ohms,
  PT100,
  PT1000,
  perCentimetre,
  platinumResistance,
  platinumTemperature,
  standardDeviation,
  standardUncertainty,
  steinhartHartResistance,
  steinhartHartTemperature,
} from "../../shared/units/index.ts";

const UNREAL = [Number.NaN, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY];

describe("platinum thermometers", () => {
  // IEC 60751 tables as published (two decimals of a Pt100), and the formula recomputed by others (four).
  it.each([
    [-50, 80.31, 80.3063],
    [-10, 96.09, 96.0859],
    [0, 100, 100],
    [1, 100.39, 100.3908],
    [10, 103.9, 103.9025],
    [20, 107.79, 107.7935],
    [25, 109.73, 109.7347],
    [30, 111.67, 111.6729],
    [40, 115.54, 115.5408],
    [50, 119.4, 119.3971],
    [100, 138.51, 138.5055],
    [200, 175.86, 175.856],
  ])("%d °C: %d Ω published, %d Ω recomputed, and back", (t, published, recomputed) => {
    const resistance = platinumResistance(celsius(t), PT100)!;
    expect(Math.abs(resistance - published)).toBeLessThanOrEqual(0.0051);
    expect(Math.abs(resistance - recomputed)).toBeLessThanOrEqual(5.1e-5);
    expect(platinumResistance(celsius(t), PT1000)!).toBeCloseTo(10 * resistance, 9);
    expect(platinumTemperature(resistance, PT100)!).toBeCloseTo(t, 9);
  });

  it("−200 to 850 °C there and back: within 1e-9 K", () => {
    fc.assert(
      fc.property(fc.double({ min: -200, max: 850, noNaN: true }), (t) => {
        const back = platinumTemperature(platinumResistance(celsius(t), PT1000)!, PT1000)!;
        expect(Math.abs(back - t)).toBeLessThanOrEqual(1e-9);
      }),
    );
  });

  it("25 °C: slope of 0.3879 Ω/K", () => {
    const slope = platinumResistance(celsius(25.5), PT100)! - platinumResistance(celsius(24.5), PT100)!;
    expect(slope).toBeCloseTo(0.3879, 4);
  });

  it("beyond −200 or 850 °C, R0 of 0 or no number: null", () => {
    for (const t of [-200, 850]) expect(platinumResistance(celsius(t), PT100)).toBeGreaterThan(18);
    for (const t of [-200.001, 850.001, ...UNREAL]) expect(platinumResistance(celsius(t), PT100)).toBeNull();
    for (const R0 of [0, -100, ...UNREAL]) {
      expect(platinumResistance(celsius(25), ohms(R0))).toBeNull();
      expect(platinumTemperature(ohms(109), ohms(R0))).toBeNull();
    }
    expect(platinumTemperature(platinumResistance(celsius(-200), PT100)!, PT100)).toBeCloseTo(-200, 9);
    expect(platinumTemperature(platinumResistance(celsius(850), PT100)!, PT100)).toBeCloseTo(850, 9);
    for (const R of [0, 18.5, 390.49, -1, ...UNREAL]) expect(platinumTemperature(ohms(R), PT100)).toBeNull();
  });
});

describe("thermistors", () => {
  // A widely printed 10 kΩ bead: 32650 Ω at 0 °C, 10000 Ω at 25 °C, 5325 Ω at 40 °C, β 3977 (from memory). The
  // coefficients are the exact solution of the three equations of Steinhart & Hart, solved by hand with Cramer's rule.
  const bead = solve([
    [32_650, 0],
    [10_000, 25],
    [5325, 40],
  ]);

  it("three points of the curve: temperature and resistance of each", () => {
    for (const [R, t] of [
      [32_650, 0],
      [10_000, 25],
      [5325, 40],
    ] as const) {
      expect(steinhartHartTemperature(ohms(R), bead)!).toBeCloseTo(t, 9);
      expect(steinhartHartResistance(celsius(t), bead)! / R).toBeCloseTo(1, 9);
    }
  });

  it("−20 to 80 °C there and back: within 1e-8 K, less resistance when warmer, by both laws", () => {
    fc.assert(
      fc.property(fc.double({ min: -20, max: 80, noNaN: true }), (t) => {
        const R = steinhartHartResistance(celsius(t), bead)!;
        expect(steinhartHartTemperature(R, bead)!).toBeCloseTo(t, 8);
        expect(steinhartHartResistance(celsius(t + 0.1), bead)!).toBeLessThan(R);
        const law = { R0: ohms(10_000), beta: kelvin(3977) };
        expect(betaTemperature(betaResistance(celsius(t), law)!, law)!).toBeCloseTo(t, 8);
        expect(betaResistance(celsius(t + 0.1), law)!).toBeLessThan(betaResistance(celsius(t), law)!);
      }),
    );
  });

  it("10 kΩ with beta 3977: 25 °C; 0 °C: 33,903 Ω; reference of 0 °C: 0 °C", () => {
    const law = { R0: ohms(10_000), beta: kelvin(3977) };
    expect(betaTemperature(ohms(10_000), law)).toBeCloseTo(25, 12);
    expect(betaResistance(celsius(25), law)).toBeCloseTo(10_000, 9);
    // By hand: R = 10000 exp(3977 (1/273.15 − 1/298.15)) = 33 903 Ω; the real bead has 32 650: 0.8 K of law.
    expect(betaResistance(celsius(0), law)!).toBeCloseTo(10_000 * Math.exp(3977 * (1 / 273.15 - 1 / 298.15)), 6);
    const cold = { ...law, referenceC: celsius(0) };
    expect(betaTemperature(ohms(10_000), cold)).toBeCloseTo(0, 12);
    expect(betaResistance(celsius(0), cold)).toBeCloseTo(10_000, 9);
  });

  it("open wire, short, beyond −60 or 300 °C, or a law that is none: null", () => {
    const law = { R0: ohms(10_000), beta: kelvin(3977) };
    for (const R of [0, -1, ...UNREAL, 1e12, 1e-6]) {
      expect(steinhartHartTemperature(ohms(R), bead)).toBeNull();
      expect(betaTemperature(ohms(R), law)).toBeNull();
    }
    for (const t of [-60.01, 300.01, ...UNREAL]) {
      expect(steinhartHartResistance(celsius(t), bead)).toBeNull();
      expect(betaResistance(celsius(t), law)).toBeNull();
    }
    for (const t of [-60, 300]) {
      expect(steinhartHartResistance(celsius(t), bead)).toBeGreaterThan(0);
      expect(betaResistance(celsius(t), law)).toBeGreaterThan(0);
    }
    for (const broken of [
      { ...bead, C: 0 },
      { ...bead, C: -1e-7 },
      { ...bead, B: 0 },
      { ...bead, B: -1e-4 },
      { ...bead, B: Number.NaN },
    ]) {
      expect(steinhartHartResistance(celsius(25), broken)).toBeNull();
    }
    for (const broken of [
      { ...law, R0: ohms(0) },
      { ...law, R0: ohms(-1) },
      { ...law, beta: kelvin(0) },
      { ...law, beta: kelvin(-3977) },
      { ...law, beta: kelvin(Number.NaN) },
    ]) {
      expect(betaTemperature(ohms(9000), broken)).toBeNull();
      expect(betaResistance(celsius(26), broken)).toBeNull();
    }
    expect(betaTemperature(ohms(-9000), { ...law, R0: ohms(-10_000) })).toBeNull();
  });
});

/** Steinhart–Hart coefficients through three points (Ω, °C), by Cramer's rule. */
function solve(points: [number, number][]): { A: number; B: number; C: number } {
  const rows = points.map(([R]) => [1, Math.log(R), Math.log(R) ** 3]);
  const right = points.map(([, t]) => 1 / (t + 273.15));
  const determinant = (m: number[][]) =>
    m[0]![0]! * (m[1]![1]! * m[2]![2]! - m[1]![2]! * m[2]![1]!) -
    m[0]![1]! * (m[1]![0]! * m[2]![2]! - m[1]![2]! * m[2]![0]!) +
    m[0]![2]! * (m[1]![0]! * m[2]![1]! - m[1]![1]! * m[2]![0]!);
  const [A, B, C] = [0, 1, 2].map(
    (column) =>
      determinant(rows.map((row, index) => row.map((value, at) => (at === column ? right[index]! : value)))) /
      determinant(rows),
  );
  return { A: A!, B: B!, C: C! };
}

const hex = (text: string) => text.split(" ").map((byte) => Number.parseInt(byte, 16));
const withCrc = (text: string) => [...hex(text), crc8(hex(text))];

describe("the 1-Wire check", () => {
  it.each([
    // Maxim application note 27, example 2.
    ["02 1C B8 01 00 00 00", 0xa2],
    ["02 1C B8 01 00 00 00 A2", 0x00],
    // A CRC calculator page.
    ["12 12 A2 14 5F 12 AA 12", 0x6d],
    // The CRC catalogue, CRC-8/MAXIM-DOW (from memory).
    ["31 32 33 34 35 36 37 38 39", 0xa1],
    // The thermometer's scratchpad after power-on (from memory).
    ["50 05 4B 46 7F FF 0C 10", 0x1c],
    ["28 FF 64 1E 0C 00 00", 0xd0],
  ])("check sum of %s: %d", (bytes, expected) => {
    expect(crc8(hex(bytes))).toBe(expected);
  });
});

describe("the DS18B20 scratchpad", () => {
  // The data sheet's table of temperatures (from memory).
  it.each([
    ["D0 07", 125],
    ["91 01", 25.0625],
    ["A2 00", 10.125],
    ["08 00", 0.5],
    ["00 00", 0],
    ["F8 FF", -0.5],
    ["5E FF", -10.125],
    ["6F FE", -25.0625],
    ["90 FC", -55],
  ])("raw %s: %d °C", (raw, expected) => {
    const bytes = withCrc(`${raw} 4B 46 7F FF 0C 10`);
    expect(ds18b20Temperature(bytes)).toEqual({ kind: "good", value: expected, resolutionBits: 12 });
  });

  it.each([
    ["1F", 9, 25.5],
    ["3F", 10, 25.75],
    ["5F", 11, 25.875],
    ["7F", 12, 25.9375],
  ])("configuration %s: %d bits, %d °C, bits below ignored", (configuration, resolutionBits, expected) => {
    expect(ds18b20Temperature(withCrc(`9F 01 4B 46 ${configuration} FF 01 10`))).toEqual({
      kind: "good",
      value: expected,
      resolutionBits,
    });
  });

  it.each([
    ["a short frame", [1, 2, 3], "wrong-length"],
    ["a long frame", [...withCrc("91 01 4B 46 7F FF 0C 10"), 0], "wrong-length"],
    ["a shorted bus, whose check passes", new Array(9).fill(0), "all-zero"],
    ["an empty bus", new Array(9).fill(0xff), "no-device"],
    ["one flipped bit", withCrc("91 01 4B 46 7F FF 0C 10").map((b, i) => (i === 0 ? b ^ 1 : b)), "crc"],
    ["another device's configuration", withCrc("91 01 4B 46 00 FF 0C 10"), "not-a-thermometer"],
    ["the value of power-on", hex("50 05 4B 46 7F FF 0C 10 1C"), "power-on-value"],
    ["a supply that collapsed", withCrc("FF 07 4B 46 7F FF 0C 10"), "starved"],
    ["a heat that it cannot measure", withCrc("D1 07 4B 46 7F FF 0C 10"), "out-of-range"],
    ["a cold that it cannot measure", withCrc("8F FC 4B 46 7F FF 0C 10"), "out-of-range"],
  ])("%s: %j: bad, %s", (_, bytes, reason) => {
    expect(ds18b20Temperature(bytes)).toEqual({ kind: "bad", reason });
  });

  it("0.0 °C in a frame that is alive: good, 0", () => {
    expect(ds18b20Temperature(withCrc("00 00 00 00 7F 00 00 00"))).toMatchObject({ kind: "good", value: 0 });
  });
});

describe("the cell constant", () => {
  it("53 mS with 1/cm: 53 mS/cm; read 50 in 53: constant 1.06", () => {
    expect(conductivityFromConductance(millisiemens(53), perCentimetre(1))).toBe(53);
    expect(conductivityFromConductance(millisiemens(26.5), perCentimetre(2))).toBe(53);
    expect(conductivityFromConductance(millisiemens(0), perCentimetre(2))).toBe(0);
    // A probe that reads 50 in a standard of 53 needs a constant 6 % larger.
    const K = calibratedCellConstant(perCentimetre(1), millisiemensPerCm(53), millisiemensPerCm(50))!;
    expect(K).toBeCloseTo(1.06, 12);
    const conductance = millisiemens(50 / 1);
    expect(conductivityFromConductance(conductance, K)).toBeCloseTo(53, 12);
  });

  it("negative conductance, constant of 0 or no number: null", () => {
    for (const bad of [-1, ...UNREAL]) {
      expect(conductivityFromConductance(millisiemens(bad), perCentimetre(1))).toBeNull();
    }
    for (const bad of [0, -1, ...UNREAL]) {
      expect(conductivityFromConductance(millisiemens(1), perCentimetre(bad))).toBeNull();
      expect(calibratedCellConstant(perCentimetre(bad), millisiemensPerCm(53), millisiemensPerCm(50))).toBeNull();
      expect(calibratedCellConstant(perCentimetre(1), millisiemensPerCm(bad), millisiemensPerCm(50))).toBeNull();
      expect(calibratedCellConstant(perCentimetre(1), millisiemensPerCm(53), millisiemensPerCm(bad))).toBeNull();
    }
  });
});

describe("standard uncertainty of a doubt", () => {
  it("half-width of 0.5: 0.5/√3 (JCGM 100:2008, 4.3.7); standard deviation: 0.5", () => {
    expect(standardUncertainty(halfWidth(kelvin(0.5)))).toBeCloseTo(0.288675, 6);
    expect(standardUncertainty(standardDeviation(kelvin(0.5)))).toBe(0.5);
    expect([halfWidth(kelvin(1)).as, standardDeviation(kelvin(1)).as]).toEqual(["half-width", "k=1"]);
  });
});
