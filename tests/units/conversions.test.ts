// Conversion factors: exact by definition unless a line says otherwise (inch 25.4 mm, pound 0.45359237 kg, US gallon
// 231 in³, UK gallon 4.54609 L). The rest is arithmetic.
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import * as u from "../../shared/units/index.ts";

describe("temperature", () => {
  it("77, 60 and 32 °F, −40, 25 °C, 273.15 K: both ways", () => {
    expect(u.celsiusFromFahrenheit(u.fahrenheit(77))).toBe(25);
    expect(u.celsiusFromFahrenheit(u.fahrenheit(60))).toBeCloseTo(15.5556, 4);
    expect(u.celsiusFromFahrenheit(u.fahrenheit(32))).toBe(0);
    expect(u.fahrenheitFromCelsius(u.celsius(25))).toBe(77);
    expect(u.fahrenheitFromCelsius(u.celsius(-40))).toBe(-40);
    expect(u.kelvinFromCelsius(u.celsius(25))).toBe(298.15);
    expect(u.celsiusFromKelvin(u.kelvin(273.15))).toBe(0);
  });

  it("difference of 1 °F: 0.5556 K; of 5 K: 9 °F", () => {
    expect(u.kelvinDifferenceFromFahrenheit(u.fahrenheit(1))).toBeCloseTo(0.5556, 4);
    expect(u.fahrenheitDifferenceFromKelvin(u.kelvin(5))).toBe(9);
  });
});

describe("volume, mass, length, pressure and flow", () => {
  it("1 US gallon: 3.785411784 L; 1 UK gallon: 4.54609 L; and back", () => {
    expect(u.litresFromUsGallons(u.usGallons(1))).toBe(3.785411784);
    expect(u.litresFromUkGallons(u.ukGallons(1))).toBe(4.54609);
    expect(u.usGallonsFromLitres(u.litres(3.785411784))).toBe(1);
    expect(u.ukGallonsFromLitres(u.litres(4.54609))).toBe(1);
    // 231 cubic inches of 25.4 mm.
    expect(u.LITRES_PER_US_GALLON).toBeCloseTo(231 * 0.254 ** 3, 12);
  });

  it("1 lb: 0.45359237 kg; g, mg and kg both ways; 1 lb per US gallon: 119.826427 g/L", () => {
    expect(u.kilogramsFromPounds(u.pounds(1))).toBe(0.45359237);
    expect(u.poundsFromKilograms(u.kilograms(0.45359237))).toBe(1);
    expect(u.kilogramsFromGrams(u.grams(250))).toBe(0.25);
    expect(u.gramsFromKilograms(u.kilograms(0.25))).toBe(250);
    expect(u.gramsFromMilligrams(u.milligrams(2891.2))).toBeCloseTo(2.8912, 12);
    expect(u.milligramsFromGrams(u.grams(2))).toBe(2000);
    // Pounds per US gallon: 119.826427 g/L.
    expect(u.gramsFromKilograms(u.kilogramsFromPounds(u.pounds(1))) / u.LITRES_PER_US_GALLON).toBeCloseTo(
      119.826427,
      6,
    );
  });

  it("2 in: 50.8 mm; 750 × 500 mm: 0.375 m²", () => {
    expect(u.millimetresFromInches(u.inches(2))).toBe(50.8);
    expect(u.inchesFromMillimetres(u.millimetres(25.4))).toBe(1);
    expect(u.rectangle(u.millimetres(750), u.millimetres(500))).toBe(0.375);
  });

  it("1 bar: 100 kPa; 60 psi: 413.685 kPa; an atmosphere: 14.6959 psi", () => {
    expect(u.kilopascalsFromBars(u.bars(1))).toBe(100);
    expect(u.barsFromKilopascals(u.kilopascals(250))).toBe(2.5);
    // A pound-force (0.45359237 kg × 9.80665 m/s²) on a square inch.
    expect(u.KILOPASCALS_PER_PSI).toBeCloseTo((0.45359237 * 9.80665) / 0.0254 ** 2 / 1000, 12);
    expect(u.kilopascalsFromPsi(u.poundsPerSquareInch(60))).toBeCloseTo(413.685, 3);
    expect(u.psiFromKilopascals(u.kilopascals(101.325))).toBeCloseTo(14.6959, 4);
    expect(u.STANDARD_ATMOSPHERE).toBe(101.325);
    expect(u.decibars(10)).toBe(10);
  });

  it("75 US gal/d: 11.83 L/h; 48 L/d: 2 L/h; and back", () => {
    // 75 US gallons a day are 11.8 L/h.
    expect(u.litresPerHourFromUsGallonsPerDay(u.usGallonsPerDay(75))).toBeCloseTo(11.83, 2);
    expect(u.usGallonsPerDayFromLitresPerHour(u.litresPerHour(11.8294118))).toBeCloseTo(75, 5);
    expect(u.litresPerHourFromLitresPerDay(u.litresPerDay(48))).toBe(2);
    expect(u.litresPerDayFromLitresPerHour(u.litresPerHour(2))).toBe(48);
  });

  it("1.5 s: 1,500 ms; 2 d: 48 h; and back", () => {
    expect(u.millisecondsFromSeconds(u.seconds(1.5))).toBe(1500);
    expect(u.secondsFromMilliseconds(u.milliseconds(250))).toBe(0.25);
    expect(u.hoursFromDays(u.days(2))).toBe(48);
    expect(u.daysFromHours(u.hours(36))).toBe(1.5);
  });
});

describe("conductivity and salinity", () => {
  it("1413 µS/cm: 1.413 mS/cm; 4.2914 S/m: 42.914 mS/cm; and back", () => {
    expect(u.millisiemensFromMicrosiemens(u.microsiemensPerCm(1413))).toBe(1.413);
    expect(u.microsiemensFromMillisiemens(u.millisiemensPerCm(12.88))).toBeCloseTo(12_880, 9);
    // C(35, 15, 0): 42.914 mS/cm = 4.2914 S/m.
    expect(u.millisiemensFromSiemensPerMetre(u.siemensPerMetre(4.2914))).toBe(42.914);
    expect(u.siemensPerMetreFromMillisiemens(u.millisiemensPerCm(42.914))).toBeCloseTo(4.2914, 12);
  });

  it("35 g/kg at 25 °C: 35.82 g/L; 35.817 g/L: 35 g/kg", () => {
    // 35 g/kg at 25 °C: 35.82 g per litre of solution.
    const density = u.kilogramsPerCubicMetre(1023.343);
    expect(u.gramsPerLitreFromGramsPerKilogram(u.gramsPerKilogram(35), density)).toBeCloseTo(35.82, 2);
    expect(u.gramsPerKilogramFromGramsPerLitre(u.gramsPerLitre(35.817), density)).toBeCloseTo(35, 3);
    expect(u.specificGravityValue(1.0264)).toBe(1.0264);
  });

  it("25 %: 0.25, and back", () => {
    expect(u.fractionFromPercent(u.percent(25))).toBe(0.25);
    expect(u.percentFromFraction(u.fraction(0.25))).toBe(25);
  });
});

describe("alkalinity", () => {
  it("113 mg/L as CaCO₃: 2.26 meq/L, 6.33 dKH; 1 meq/L: 2.8 dKH, 50 mg/L", () => {
    // 113 mg/L as CaCO₃ = 2.26 meq/L = 6.3 dKH (common practice).
    const meq = u.milliequivalentsFromCaCO3(u.milligramsPerLitreCaCO3(113));
    expect(meq).toBeCloseTo(2.26, 2);
    expect(u.dkhFromMilliequivalents(meq)).toBeCloseTo(6.33, 2);
    // 1 meq/L = 2.8 dKH = 50 mg/L (common practice, to its two digits).
    expect(u.dkhFromMilliequivalents(u.milliequivalentsPerLitre(1))).toBeCloseTo(2.8, 1);
    expect(u.caCO3FromMilliequivalents(u.milliequivalentsPerLitre(1))).toBeCloseTo(50.043, 3);
    expect(u.milliequivalentsFromDkh(u.dkh(2.80387))).toBe(1);
  });
});

describe("every pair of conversions", () => {
  const pairs: [(value: never) => number, (value: never) => number][] = [
    [u.celsiusFromFahrenheit, u.fahrenheitFromCelsius],
    [u.kelvinFromCelsius, u.celsiusFromKelvin],
    [u.kelvinDifferenceFromFahrenheit, u.fahrenheitDifferenceFromKelvin],
    [u.litresFromUsGallons, u.usGallonsFromLitres],
    [u.litresFromUkGallons, u.ukGallonsFromLitres],
    [u.kilogramsFromPounds, u.poundsFromKilograms],
    [u.millimetresFromInches, u.inchesFromMillimetres],
    [u.kilopascalsFromPsi, u.psiFromKilopascals],
    [u.litresPerHourFromUsGallonsPerDay, u.usGallonsPerDayFromLitresPerHour],
    [u.milliequivalentsFromDkh, u.dkhFromMilliequivalents],
    [u.milliequivalentsFromCaCO3, u.caCO3FromMilliequivalents],
  ];
  it("−1,000 to 1,000 there and back: the same within 1e-9", () => {
    const value = fc.double({ min: -1000, max: 1000, noNaN: true });
    for (const [there, back] of pairs) {
      fc.assert(
        fc.property(value, (x) => {
          expect(back(there(x as never) as never)).toBeCloseTo(x, 9);
        }),
      );
    }
  });
});

describe("number without its unit", () => {
  it("bare number, another unit or arithmetic as a quantity: does not compile", () => {
    // Proved by `npm run check`: a line below that did compile would make its directive an error.
    // @ts-expect-error a number has no unit
    u.fahrenheitFromCelsius(25);
    // @ts-expect-error °F is not °C
    u.kelvinFromCelsius(u.fahrenheit(77));
    // @ts-expect-error one gallon is not the other
    u.litresFromUsGallons(u.ukGallons(1));
    // @ts-expect-error arithmetic takes the unit away
    u.fahrenheitFromCelsius(u.celsius(25) + 1);
    // @ts-expect-error half-width of what?
    const doubt: u.Doubt<u.Kelvin> = u.halfWidth(0.5);
    expect(typeof u.celsius(25)).toBe("number");
    expect(doubt.value).toBe(0.5);
  });
});
