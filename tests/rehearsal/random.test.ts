import { describe, expect, it } from "vitest";
import { createRandom } from "../../controller/rehearsal/plant/random.ts";

const draw = (seed: number, times: number): number[] => {
  const random = createRandom(seed);
  return Array.from({ length: times }, () => random.uniform());
};

describe("the plant's own chance", () => {
  it("repeats itself from the same seed and no other", () => {
    expect(draw(5, 50)).toEqual(draw(5, 50));
    expect(draw(5, 50)).not.toEqual(draw(6, 50));
    expect(draw(5 + 2 ** 32, 50)).not.toEqual(draw(5, 50));
  });

  it("is even: mean 1/2, variance 1/12, and every tenth as often as the others", () => {
    const values = draw(1, 100_000);
    const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
    const variance = values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / values.length;
    expect(mean).toBeCloseTo(0.5, 2);
    expect(variance).toBeCloseTo(1 / 12, 2);
    const tenths = Array.from({ length: 10 }, (_, tenth) => values.filter((value) => Math.floor(value * 10) === tenth));
    expect(tenths.every((tenth) => Math.abs(tenth.length - 10_000) < 400)).toBe(true);
  });

  it("gives noise of mean 0 and deviation 1", () => {
    const random = createRandom(2);
    const values = Array.from({ length: 100_000 }, () => random.normal());
    const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
    const deviation = Math.sqrt(values.reduce((sum, value) => sum + value * value, 0) / values.length);
    expect(Math.abs(mean)).toBeLessThan(0.01);
    expect(deviation).toBeCloseTo(1, 2);
  });
});
