import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { hill1986, hill1986Slope, joiningFactor } from "../../shared/seawater/hill1986.ts";
import { pss78, pss78Slope } from "../../shared/seawater/pss78.ts";

const x = fc.double({ min: 0.001, max: 1.1, noNaN: true });
const brackish = fc.double({ min: 0.003, max: 0.27, noNaN: true });
const t = fc.double({ min: -2, max: 40, noNaN: true });

describe("Hill's equation joined to PSS-78 at 2", () => {
  // GSW 3.6.16, Hill_ratio_at_SP2; temperatures on ITS-90.
  it.each([
    [0, 0.9998343644],
    [15, 1.0000047358],
    [25, 1.0000764831],
    [40, 1.000151589],
  ])("%d °C: factor %d of the library", (t90, expected) => {
    expect(Math.abs(joiningFactor(1.00024 * t90) - expected)).toBeLessThanOrEqual(5.1e-11);
  });

  it("any temperature, x at which PSS-78 is 2: Hill's is 2 within 1e-13", () => {
    fc.assert(
      fc.property(t, (temperature) => {
        let [low, high] = [0.2, 0.3];
        for (let halving = 0; halving < 60; halving++) {
          const middle = (low + high) / 2;
          if (pss78(middle, temperature) < 2) low = middle;
          else high = middle;
        }
        expect(Math.abs(hill1986(low, temperature) - 2)).toBeLessThanOrEqual(1e-13);
      }),
    );
  });
});

describe("slopes of PSS-78 and of Hill's equation", () => {
  const step = 1e-6;
  it("any x and temperature: central difference of the curve within 1e-6", () => {
    fc.assert(
      fc.property(x, t, (at, temperature) => {
        const difference = (pss78(at + step, temperature) - pss78(at - step, temperature)) / (2 * step);
        expect(Math.abs(pss78Slope(at, temperature) / difference - 1)).toBeLessThanOrEqual(1e-6);
      }),
    );
    fc.assert(
      fc.property(brackish, t, (at, temperature) => {
        const difference = (hill1986(at + step, temperature) - hill1986(at - step, temperature)) / (2 * step);
        expect(Math.abs(hill1986Slope(at, temperature) - difference)).toBeLessThanOrEqual(1e-7);
      }),
    );
  });
});
