import { describe, expect, it } from "vitest";
import { createRandom } from "../../controller/rehearsal/plant/random.ts";

const draw = (seed: number, times: number): number[] => {
  const random = createRandom(seed);
  return Array.from({ length: times }, () => random.uniform());
};

describe("random numbers of the simulated tank", () => {
  it("seed 5 twice: the same 50; seed 6, or 5 + 2^32: others", () => {
    expect(draw(5, 50)).toEqual(draw(5, 50));
    expect(draw(5, 50)).not.toEqual(draw(6, 50));
    expect(draw(5 + 2 ** 32, 50)).not.toEqual(draw(5, 50));
  });

  it("100,000 uniform: mean 1/2, variance 1/12, every tenth within 4 %", () => {
    const values = draw(1, 100_000);
    const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
    const variance = values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / values.length;
    expect(mean).toBeCloseTo(0.5, 2);
    expect(variance).toBeCloseTo(1 / 12, 2);
    const tenths = Array.from({ length: 10 }, (_, tenth) => values.filter((value) => Math.floor(value * 10) === tenth));
    expect(tenths.every((tenth) => Math.abs(tenth.length - 10_000) < 400)).toBe(true);
  });

  it("100,000 normal: mean 0, deviation 1", () => {
    const random = createRandom(2);
    const values = Array.from({ length: 100_000 }, () => random.normal());
    const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
    const deviation = Math.sqrt(values.reduce((sum, value) => sum + value * value, 0) / values.length);
    expect(Math.abs(mean)).toBeLessThan(0.01);
    expect(deviation).toBeCloseTo(1, 2);
  });
});
