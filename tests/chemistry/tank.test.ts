import { describe, expect, it } from "vitest";
import {
  displacement,
  footprintPressure,
  glassMass,
  grossVolume,
  type TankMeasures,
  totalMass,
} from "../../shared/chemistry/index.ts";
import {
  kilograms,
  kilogramsPerCubicMetre,
  litres,
  millimetres,
  rectangle,
  squareMetres,
} from "../../shared/units/index.ts";

const UNREAL = [Number.NaN, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY];

/** Common practice, computed by hand: 750 × 500 × 450 mm of 12 mm glass. */
const tank: TankMeasures = {
  length: millimetres(750),
  width: millimetres(500),
  height: millimetres(450),
  glass: millimetres(12),
};

describe("the tank", () => {
  it("750 × 500 × 450 mm of 12 mm glass: 43.5 kg of glass, 151 L", () => {
    expect(glassMass(tank)!).toBeCloseTo(2500 * (0.75 * 0.5 * 0.45 - 0.726 * 0.476 * 0.438), 9);
    expect(Math.abs(glassMass(tank)! - 43.5)).toBeLessThanOrEqual(0.2);
    expect(grossVolume(tank)!).toBeCloseTo(726 * 476 * 438e-6, 9);
    expect(Math.abs(grossVolume(tank)! - 150.7)).toBeLessThanOrEqual(1);
  });

  it("side of 0, no number, or no inside left: null", () => {
    for (const side of ["length", "width", "height", "glass"] as const) {
      for (const bad of [0, -1, ...UNREAL]) {
        expect(glassMass({ ...tank, [side]: millimetres(bad) })).toBeNull();
        expect(grossVolume({ ...tank, [side]: millimetres(bad) })).toBeNull();
      }
    }
    expect(glassMass({ ...tank, width: millimetres(24) })).toBeNull();
    expect(glassMass({ ...tank, length: millimetres(24) })).toBeNull();
    expect(glassMass({ ...tank, height: millimetres(12) })).toBeNull();
    expect(glassMass({ ...tank, width: millimetres(24.1), height: millimetres(12.1) })).toBeGreaterThan(0);
  });

  it("20 kg of soaked rock: 7.1 L; 12 kg of sand: 4.3 L; none: 0; negative: null", () => {
    expect(displacement(kilograms(20))!).toBeCloseTo(7.1, 1);
    expect(displacement(kilograms(12))!).toBeCloseTo(4.3, 1);
    expect(displacement(kilograms(0))).toBe(0);
    for (const bad of [-1, ...UNREAL]) expect(displacement(kilograms(bad))).toBeNull();
  });

  // Common practice, computed: 285 kg on 0.375 m² is 7.5 kPa, 157 psf.
  it("139 L with glass, rock, stand: their sum; 285 kg on 0.375 m²: 7.45 kPa, 156 psf; a negative part: null", () => {
    const load = {
      waterL: litres(139),
      waterDensity: kilogramsPerCubicMetre(1023),
      glass: kilograms(49.5),
      rockAndSand: kilograms(32),
      stand: kilograms(45),
      equipment: kilograms(15),
    };
    expect(totalMass(load)!).toBeCloseTo(142.197 + 49.5 + 32 + 45 + 15, 9);
    const footprint = rectangle(tank.length, tank.width);
    expect(footprintPressure(kilograms(285), footprint)!).toBeCloseTo(7.45, 2);
    expect((footprintPressure(kilograms(285), footprint)! * 1000) / 47.880259).toBeCloseTo(156, 0);
    for (const part of Object.keys(load)) {
      for (const bad of [-1, ...UNREAL]) expect(totalMass({ ...load, [part]: bad })).toBeNull();
    }
  });

  it("no footprint or a negative mass: null; no mass: 0", () => {
    expect(footprintPressure(kilograms(0), squareMetres(1))).toBe(0);
    for (const bad of [0, -1, ...UNREAL]) expect(footprintPressure(kilograms(285), squareMetres(bad))).toBeNull();
    for (const bad of [-1, ...UNREAL]) expect(footprintPressure(kilograms(bad), squareMetres(1))).toBeNull();
  });
});
