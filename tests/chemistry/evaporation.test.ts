import fc from "fast-check";
import { describe, expect, it } from "vitest";
import {
  airVapourPressure,
  evaporationBand,
  evaporationPenman,
  evaporationPool,
  evaporationShah,
  metresPerSecond,
  type OpenWater,
  saturationPressure,
  seaWaterVapourPressure,
} from "../../shared/chemistry/index.ts";
import { celsius, fraction, practicalSalinityValue as SP, squareMetres } from "../../shared/units/index.ts";

const UNREAL = [Number.NaN, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY];

/** The worked tank: 0.35 m² at 26 °C, room 22 °C and 50 %, air at 0.1 m/s. */
const worked: OpenWater = {
  surface: squareMetres(0.35),
  waterC: celsius(26),
  SP: SP(35),
  airC: celsius(22),
  humidity: fraction(0.5),
  airSpeed: metresPerSecond(0.1),
};

describe("vapour pressure", () => {
  // Saturation pressure of water, IAPWS steam tables: 2.3393 kPa at 20 °C, 3.1699 at 25 °C, 0.6112 at 0 °C, 7.385 at 40.
  it.each([
    [0, 0.6112],
    [20, 2.3393],
    [25, 3.1699],
    [40, 7.385],
  ])("%d °C: %d kPa of the steam tables, within 0.4 %", (t, expected) => {
    expect(Math.abs(saturationPressure(celsius(t))! / expected - 1)).toBeLessThanOrEqual(0.004);
  });

  it("sea water of SP 35 at 26 °C: 0.981 of pure water's; air of 50 %: half of it", () => {
    expect(seaWaterVapourPressure(celsius(26), SP(35))! / saturationPressure(celsius(26))!).toBeCloseTo(0.981, 3);
    expect(seaWaterVapourPressure(celsius(26), SP(0))).toBe(saturationPressure(celsius(26)));
    expect(airVapourPressure(celsius(26), fraction(0.5))).toBe(0.5 * saturationPressure(celsius(26))!);
  });

  it("−2.1 or 40.1 °C, SP −1 or 42.1, humidity −0.1 or 1.1, or no number: null", () => {
    for (const t of [-2, 40]) expect(saturationPressure(celsius(t))).toBeGreaterThan(0.5);
    for (const t of [-2.1, 40.1, ...UNREAL]) {
      expect(saturationPressure(celsius(t))).toBeNull();
      expect(seaWaterVapourPressure(celsius(t), SP(35))).toBeNull();
      expect(airVapourPressure(celsius(t), fraction(0.5))).toBeNull();
    }
    for (const S of [-1, 42.1, ...UNREAL]) expect(seaWaterVapourPressure(celsius(26), SP(S))).toBeNull();
    for (const ends of [0, 1]) expect(airVapourPressure(celsius(26), fraction(ends))).not.toBeNull();
    for (const bad of [-0.1, 1.1, ...UNREAL]) expect(airVapourPressure(celsius(26), fraction(bad))).toBeNull();
  });
});

describe("evaporation", () => {
  // Common practice, computed by hand for the worked tank: pool 2.37 × 0.6 = 1.42, Shah 1.44, Penman 1.89 L/d.
  it("worked tank: pool 1.42, Shah 1.44, Penman 1.89 L/d, lowest and highest among them", () => {
    const band = evaporationBand(worked)!;
    expect(evaporationPool(worked, 1)!).toBeCloseTo(2.37, 1);
    expect(band.pool).toBeCloseTo(1.42, 1);
    expect(band.pool).toBeCloseTo(0.6 * evaporationPool(worked, 1)!, 12);
    expect(band.shah).toBeCloseTo(1.44, 1);
    expect(band.penman).toBeCloseTo(1.89, 1);
    expect(band.lowest).toBe(Math.min(band.pool, band.shah, band.penman));
    expect(band.highest).toBe(band.penman);
    expect([band.pool, band.shah, band.penman]).toEqual([
      evaporationPool(worked),
      evaporationShah(worked),
      evaporationPenman(worked),
    ]);
  });

  // Shah's own table: 0.1360 kg/(m² h) for water and air at 28 °C, 50 %; the formula with these constants gives 0.1353.
  it("Shah, 28 °C water and air, 50 %: 0.1353 kg/(m² h), within 1 % of his table", () => {
    const pool = { ...worked, SP: SP(0), waterC: celsius(28), airC: celsius(28), surface: squareMetres(1) };
    expect(evaporationShah(pool)! / 24).toBeCloseTo(0.1353, 4);
    expect(Math.abs(evaporationShah(pool)! / 24 / 0.136 - 1)).toBeLessThanOrEqual(0.01);
  });

  it("Shah, dry air of 40 °C over 15 °C water: only his second form counts", () => {
    // Air at 40 °C and 5 % over water of 15 °C is lighter than the air at the water: only the second form is left.
    const heavy = { ...worked, SP: SP(0), waterC: celsius(15), airC: celsius(40), humidity: fraction(0.05) };
    const difference = saturationPressure(celsius(15))! - 0.05 * saturationPressure(celsius(40))!;
    expect(evaporationShah(heavy)!).toBeCloseTo(0.00005 * difference * 1000 * 0.35 * 24, 9);
  });

  // Common practice, computed: a fan from 0.1 to 0.5 m/s adds 32 % by the pool formula.
  it("air at 0.5 instead of 0.1 m/s: pool formula × 1.32, Penman × 1.203", () => {
    const fan = { ...worked, airSpeed: metresPerSecond(0.5) };
    expect(evaporationPool(fan)! / evaporationPool(worked)!).toBeCloseTo(1.32, 2);
    expect(evaporationPenman(fan)! / evaporationPenman(worked)!).toBeCloseTo(1.268 / 1.0536, 9);
  });

  it("15 °C under air of 35 °C and 90 %: 0 by all three", () => {
    const steam = { ...worked, waterC: celsius(15), airC: celsius(35), humidity: fraction(0.9) };
    expect(evaporationBand(steam)).toEqual({ lowest: 0, highest: 0, pool: 0, shah: 0, penman: 0 });
  });

  it("any tank: less with more humidity, twice with twice the surface", () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0, max: 0.9, noNaN: true }),
        fc.double({ min: 15, max: 32, noNaN: true }),
        (h, t) => {
          const dry = { ...worked, humidity: fraction(h), waterC: celsius(t), airC: celsius(20) };
          const moist = { ...dry, humidity: fraction(h + 0.05) };
          for (const law of [evaporationPool, evaporationShah, evaporationPenman]) {
            expect(law(moist)!).toBeLessThanOrEqual(law(dry)!);
            expect(law({ ...dry, surface: squareMetres(0.7) })!).toBeCloseTo(2 * law(dry)!, 9);
          }
        },
      ),
    );
  });

  it("temperature, SP, humidity, surface, air speed or activity out of range: null; no surface: 0", () => {
    const wrong: Partial<OpenWater>[] = [
      { waterC: celsius(41) },
      { airC: celsius(-3) },
      { SP: SP(50) },
      { humidity: fraction(1.01) },
      ...[-1, ...UNREAL].flatMap((bad) => [{ surface: squareMetres(bad) }, { airSpeed: metresPerSecond(bad) }]),
    ];
    for (const change of wrong) {
      for (const law of [evaporationPool, evaporationShah, evaporationPenman, evaporationBand]) {
        expect(law({ ...worked, ...change })).toBeNull();
      }
    }
    for (const bad of [-0.1, 1.1, Number.NaN]) expect(evaporationPool(worked, bad)).toBeNull();
    expect(evaporationPool(worked, 0)).toBe(0);
    expect(evaporationPool({ ...worked, surface: squareMetres(0) })).toBe(0);
  });
});
