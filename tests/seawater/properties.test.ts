import fc from "fast-check";
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
  salinityFromAbsolute,
  salinityFromSpecificGravity,
  specificGravity,
} from "../../shared/seawater/index.ts";
import {
  celsius,
  decibars,
  gramsPerKilogram,
  millisiemensPerCm,
  practicalSalinityValue,
} from "../../shared/units/index.ts";

const between = (min: number, max: number) => fc.double({ min, max, noNaN: true });
const temperature = between(-2, 40).map(celsius);
const pressure = between(0, 10_000).map(decibars);
/** Just inside 42, so that the last bit of a round trip does not fall off the edge. */
const salinity = between(0, 41.999_999).map(practicalSalinityValue);

describe("round trips", () => {
  it("any salinity, temperature, pressure to conductivity and back: within 1e-11", () => {
    fc.assert(
      fc.property(salinity, temperature, pressure, (SP, t, p) => {
        const back = practicalSalinity(conductivityFromSalinity(SP, t, p)!, t, p);
        // Below SP 1e-9 the root sits where Hill's curve leaves zero, and may come back a hair under it: refused.
        if (SP > 1e-9) expect(Math.abs(back! - SP)).toBeLessThanOrEqual(1e-11);
      }),
      { numRuns: 3000 },
    );
  });

  it("any conductivity to 25 °C and back: within 1e-10", () => {
    fc.assert(
      fc.property(between(1, 40).map(millisiemensPerCm), between(10, 40).map(celsius), (C, t) => {
        const back = conductivityFromAt25(conductivityAt25(C, t)!, t)!;
        expect(Math.abs(back - C)).toBeLessThanOrEqual(1e-10);
      }),
    );
  });

  it("any salinity to specific gravity on any scale and back: within 1e-9", () => {
    fc.assert(
      fc.property(salinity, temperature, temperature, (SP, sampleC, waterC) => {
        const sg = specificGravity(SP, { sampleC, waterC })!;
        const back = salinityFromSpecificGravity(sg, { sampleC, waterC });
        // At the fresh end the last bit of the gravity may lie below pure water's.
        if (SP > 1e-9) expect(Math.abs(back! - SP)).toBeLessThanOrEqual(1e-9);
      }),
    );
  });

  it("any practical salinity to absolute and back: within 1e-13", () => {
    fc.assert(
      fc.property(salinity, (SP) => {
        expect(Math.abs(salinityFromAbsolute(absoluteSalinity(SP)!)! - SP)).toBeLessThanOrEqual(1e-13);
      }),
    );
  });
});

describe("what must rise or fall", () => {
  const pair = (min: number, max: number, least: number) =>
    fc.tuple(between(min, max), between(min, max)).filter(([a, b]) => b - a > least);

  it("more conductivity, from 3 µS/cm up: more salinity", () => {
    fc.assert(
      fc.property(pair(0.003, 35, 1e-6), temperature, pressure, ([less, more], t, p) => {
        const low = practicalSalinity(millisiemensPerCm(less), t, p);
        const high = practicalSalinity(millisiemensPerCm(more), t, p);
        if (low !== null && high !== null) expect(high).toBeGreaterThan(low);
      }),
    );
  });

  it("same conductivity, warmer: less salinity", () => {
    fc.assert(
      fc.property(between(2, 35), pair(-2, 40, 1e-3), (C, [cold, warm]) => {
        const low = practicalSalinity(millisiemensPerCm(C), celsius(warm));
        const high = practicalSalinity(millisiemensPerCm(C), celsius(cold));
        if (low !== null && high !== null) expect(high).toBeGreaterThan(low);
      }),
    );
  });

  it("more salinity: more density, by both equations", () => {
    fc.assert(
      fc.property(pair(0, 42, 1e-6), temperature, ([less, more], t) => {
        const eos80 = (S: number) => densityEos80(practicalSalinityValue(S), t)!;
        const teos10 = (S: number) => densityTeos10(gramsPerKilogram(S), t)!;
        expect(eos80(more)).toBeGreaterThan(eos80(less));
        expect(teos10(more)).toBeGreaterThan(teos10(less));
      }),
    );
  });

  it("warmer above 5 °C: less density; more salt: less heat capacity", () => {
    fc.assert(
      fc.property(pair(5, 40, 1e-3), between(0, 42), ([cold, warm], S) => {
        const teos10 = (t: number) => densityTeos10(gramsPerKilogram(S), celsius(t))!;
        expect(teos10(warm)).toBeLessThan(teos10(cold));
      }),
    );
    fc.assert(
      fc.property(pair(0, 42, 1e-3), temperature, ([less, more], t) => {
        expect(heatCapacity(gramsPerKilogram(more), t)!).toBeLessThan(heatCapacity(gramsPerKilogram(less), t)!);
      }),
    );
  });
});

describe("any numbers to any function", () => {
  it("3,000 draws: finite or null, never NaN", () => {
    const any = fc.oneof(fc.double(), between(-5, 50), fc.constantFrom(0, 35, 42, -2, 40, Number.MAX_VALUE, 5e-324));
    const answers = (a: number, b: number, c: number): (number | null)[] => [
      practicalSalinity(millisiemensPerCm(a), celsius(b), decibars(c)),
      conductivityFromSalinity(practicalSalinityValue(a), celsius(b), decibars(c)),
      conductivityAt25(millisiemensPerCm(a), celsius(b)),
      conductivityFromAt25(millisiemensPerCm(a), celsius(b)),
      absoluteSalinity(practicalSalinityValue(a)),
      salinityFromAbsolute(gramsPerKilogram(a)),
      densityEos80(practicalSalinityValue(a), celsius(b)),
      densityTeos10(gramsPerKilogram(a), celsius(b)),
      heatCapacity(gramsPerKilogram(a), celsius(b)),
      specificGravity(practicalSalinityValue(a), { sampleC: celsius(b), waterC: celsius(c) }),
      salinityFromSpecificGravity((1 + a / 1000) as never, { sampleC: celsius(b), waterC: celsius(c) }),
    ];
    fc.assert(
      fc.property(any, any, any, (a, b, c) => {
        for (const answer of answers(a, b, c)) expect(answer === null || Number.isFinite(answer)).toBe(true);
      }),
      { numRuns: 3000 },
    );
  });
});
