import { describe, expect, it } from "vitest";
import type { SalinityDoubts } from "../../shared/seawater/index.ts";
import { salinityUncertainty } from "../../shared/seawater/index.ts";
import {
  celsius,
  days,
  decibars,
  halfWidth,
  kelvin,
  millisiemensPerCm,
  percent,
  practicalSalinityValue,
  standardDeviation,
} from "../../shared/units/index.ts";

/** A keeper's probe a month after calibration. Common practice; the arithmetic was done by hand. */
const ordinary: SalinityDoubts = {
  conductivityMsPerCm: millisiemensPerCm(53.071),
  t90C: celsius(25),
  cellConstant: halfWidth(percent(1)),
  temperature: halfWidth(kelvin(0.5)),
  noise: standardDeviation(millisiemensPerCm(0.0674)),
  driftPer30Days: halfWidth(percent(1)),
  sinceCalibration: days(30),
  composition: standardDeviation(practicalSalinityValue(0.15)),
};
const nothing = halfWidth(percent(0));
const exact: SalinityDoubts = {
  ...ordinary,
  cellConstant: nothing,
  temperature: halfWidth(kelvin(0)),
  noise: standardDeviation(millisiemensPerCm(0)),
  driftPer30Days: nothing,
  composition: standardDeviation(practicalSalinityValue(0)),
};

describe("the uncertainty of a salinity", () => {
  it("ordinary probe: ±0.95 at k = 2, root of the sum of its parts", () => {
    const { expanded, k, parts } = salinityUncertainty(ordinary)!;
    expect(k).toBe(2);
    expect(expanded).toBeCloseTo(0.95, 1);
    expect(parts.cellConstant).toBeCloseTo(0.39 / Math.sqrt(3), 2);
    expect(parts.temperature).toBeCloseTo(0.38 / Math.sqrt(3), 2);
    expect(parts.temperatureAtCalibration).toBe(parts.temperature);
    expect(parts.noise).toBeCloseTo(0.05, 3);
    expect(parts.drift).toBeCloseTo(parts.cellConstant, 12);
    expect(parts.composition).toBe(0.15);
    expect(expanded).toBeCloseTo(2 * Math.sqrt(Object.values(parts).reduce((sum, part) => sum + part * part, 0)), 12);
  });

  it("thermometers of 0.1 K, half the standard and drift: ±0.47", () => {
    const better = salinityUncertainty({
      ...ordinary,
      cellConstant: halfWidth(percent(0.5)),
      temperature: halfWidth(kelvin(0.1)),
      driftPer30Days: halfWidth(percent(0.5)),
    })!;
    expect(better.expanded).toBeCloseTo(0.47, 1);
  });

  // Central differences of GSW 3.6.16 at SP 35 and 25 °C: 0.742019 per mS/cm and 0.775062 per kelvin.
  it("1 mS/cm of noise: 0.742; 1 K: 0.775, as the scale's slopes", () => {
    const noise = salinityUncertainty({ ...exact, noise: standardDeviation(millisiemensPerCm(1)) })!;
    expect(noise.parts.noise).toBeCloseTo(0.742, 3);
    expect(noise.expanded).toBeCloseTo(2 * 0.742, 3);
    const warm = salinityUncertainty({ ...exact, temperature: standardDeviation(kelvin(1)) })!;
    expect(warm.parts.temperature).toBeCloseTo(0.775, 3);
    expect(warm.parts.temperatureAtCalibration).toBeCloseTo(0.775, 3);
  });

  it("same size as half-width and as deviation: √3 apart", () => {
    const asHalfWidth = salinityUncertainty({ ...exact, cellConstant: halfWidth(percent(1)) })!;
    const asDeviation = salinityUncertainty({ ...exact, cellConstant: standardDeviation(percent(1)) })!;
    expect(asDeviation.parts.cellConstant / asHalfWidth.parts.cellConstant).toBeCloseTo(Math.sqrt(3), 12);
  });

  it("0 days since calibration: no drift; 60: twice that of 30", () => {
    const after = (age: number) => salinityUncertainty({ ...ordinary, sinceCalibration: days(age) })!.parts.drift;
    expect(after(0)).toBe(0);
    expect(after(60)).toBeCloseTo(2 * after(30), 12);
  });

  it("thermometer of 0.1 K at calibration: a fifth of the other's part", () => {
    const { parts } = salinityUncertainty({ ...ordinary, temperatureAtCalibration: halfWidth(kelvin(0.1)) })!;
    expect(parts.temperatureAtCalibration).toBeCloseTo(parts.temperature / 5, 12);
  });

  it("1,000 dbar: another part; −2 and 40 °C: slopes 1.1713 and 0.2185", () => {
    const deep = salinityUncertainty({ ...ordinary, pDbar: decibars(1000) })!;
    expect(deep.parts.noise).not.toBe(salinityUncertainty(ordinary)!.parts.noise);
    // The same differences at 27 mS/cm, at the two ends of the range.
    for (const [t, perKelvin] of [
      [-2, 1.1713],
      [-1.995, 1.1711],
      [40, 0.2185],
    ] as const) {
      const cold = { ...ordinary, conductivityMsPerCm: millisiemensPerCm(27), t90C: celsius(t) };
      const { parts } = salinityUncertainty({ ...cold, temperature: standardDeviation(kelvin(1)) })!;
      expect(parts.temperature).toBeCloseTo(perKelvin, 2);
    }
  });

  it("no salinity, negative doubt or no number: null", () => {
    const wrong: Partial<SalinityDoubts>[] = [
      { conductivityMsPerCm: millisiemensPerCm(Number.NaN) },
      { conductivityMsPerCm: millisiemensPerCm(0) },
      { conductivityMsPerCm: millisiemensPerCm(90) },
      { t90C: celsius(41) },
      { t90C: celsius(Number.NaN) },
      { pDbar: decibars(-1) },
      { cellConstant: halfWidth(percent(-1)) },
      { temperature: halfWidth(kelvin(Number.NaN)) },
      { temperatureAtCalibration: halfWidth(kelvin(-0.1)) },
      { noise: halfWidth(millisiemensPerCm(Number.POSITIVE_INFINITY)) },
      { driftPer30Days: halfWidth(percent(-1)) },
      { sinceCalibration: days(-1) },
      { composition: halfWidth(practicalSalinityValue(Number.NaN)) },
    ];
    for (const change of wrong) expect(salinityUncertainty({ ...ordinary, ...change })).toBeNull();
  });
});
