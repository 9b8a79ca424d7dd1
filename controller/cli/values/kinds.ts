import type { MilligramsPerLitreTds } from "../../../shared/chemistry/index.ts";
import * as u from "../../../shared/units/index.ts";
import type { Kind } from "./kind.ts";

/** Every kind of value that a calculator asks for. Keys are units as `simplifyUnit` leaves them. */

export const temperature: Kind<u.Celsius> = {
  what: "temperature",
  example: "25C or 77F",
  units: {
    c: u.celsius,
    degc: u.celsius,
    celsius: u.celsius,
    f: (value) => u.celsiusFromFahrenheit(u.fahrenheit(value)),
    degf: (value) => u.celsiusFromFahrenheit(u.fahrenheit(value)),
    fahrenheit: (value) => u.celsiusFromFahrenheit(u.fahrenheit(value)),
    k: (value) => u.celsiusFromKelvin(u.kelvin(value)),
  },
};

const conductivityUnclear = {
  ms: "over which length? Write mS/cm.",
  us: "over which length? Write µS/cm.",
  ppm: "ppm of what? A meter in ppm shows a conductivity times a factor: turn it back with `bench tds` first.",
  ppt: "a meter in ppt has already made a salinity of it, by a rule that is its own; read it in mS/cm.",
};

export const conductivity: Kind<u.MillisiemensPerCm> = {
  what: "conductivity",
  example: "53.0mS/cm or 500uS/cm",
  units: {
    "ms/cm": u.millisiemensPerCm,
    "us/cm": (value) => u.millisiemensFromMicrosiemens(u.microsiemensPerCm(value)),
    "s/m": (value) => u.millisiemensFromSiemensPerMetre(u.siemensPerMetre(value)),
  },
  unclear: conductivityUnclear,
};

export const smallConductivity: Kind<u.MicrosiemensPerCm> = {
  what: "conductivity",
  example: "500uS/cm",
  units: {
    "us/cm": u.microsiemensPerCm,
    "ms/cm": (value) => u.microsiemensFromMillisiemens(u.millisiemensPerCm(value)),
  },
  unclear: { ms: conductivityUnclear.ms, us: conductivityUnclear.us, ppm: conductivityUnclear.ppm },
};

/** Practical salinity per g/kg of standard sea water. Used without its range here: strong mixes go beyond 42. */
const SP_PER_GRAM_PER_KILOGRAM = 35 / 35.16504;
const partsPerThousand =
  "parts per thousand of mass, or the practical scale? A refractometer that was set in a sea-water standard of 35 ppt " +
  "(not in pure water, and not one with a scale for brine) reads the practical scale as well as it reads anything: write " +
  "35SP. Grams in a kilogram are g/kg: 35SP is 35.165g/kg.";

export const salinity: Kind<u.PracticalSalinity> = {
  what: "salinity",
  example: "35SP or 35.2g/kg",
  units: {
    sp: u.practicalSalinityValue,
    psu: u.practicalSalinityValue,
    "g/kg": (value) => u.practicalSalinityValue(value * SP_PER_GRAM_PER_KILOGRAM),
  },
  unclear: {
    ppt: partsPerThousand,
    "‰": partsPerThousand,
    "%o": partsPerThousand,
    ppm: "ppm of what? Write a salinity as SP or g/kg.",
    "g/l": "grams per litre depend on density and temperature; write g/kg or SP.",
    sg: "a specific gravity means nothing without the temperature printed on its instrument: use `bench salinity-from-sg`.",
    "": "on which scale? Write 35SP (practical salinity) or 35g/kg (absolute salinity).",
  },
};

export const gravity: Kind<u.SpecificGravity> = {
  what: "specific gravity",
  example: "1.0264",
  units: { "": u.specificGravityValue, sg: u.specificGravityValue },
};

/** The temperature that stands on a hydrometer or refractometer, or both of them: that of the sample, that of the water. */
export const gravityScale: Kind<u.GravityReference> = {
  what: "mark of the instrument",
  example: "25C or 60F/60F",
  question:
    "For which temperature was its scale made? It is printed small beside the scale, one temperature or two, such as " +
    "25 °C, 77 °F, 60/60 °F or 20/4 °C: 1.025 is a salinity of 33 by the first and of 35 by the last.",
  units: {},
  read(text) {
    const [, sample, sampleUnit, water, waterUnit] =
      /^\s*([\d.]+)\s*°?([cf]?)(?:\s*\/\s*([\d.]+)\s*°?([cf]))?\s*$/i.exec(text) ?? [];
    const unit = (waterUnit ?? sampleUnit ?? "").toLowerCase();
    if (sample === undefined || unit === "") return null;
    const own = (sampleUnit || unit).toLowerCase();
    const sampleC = temperature.units[own]!(Number(sample));
    return { sampleC, waterC: water === undefined ? sampleC : temperature.units[unit]!(Number(water)) };
  },
};

export const seaPressure: Kind<u.Decibars> = {
  what: "sea pressure",
  example: "0dbar",
  units: { dbar: u.decibars, bar: (value) => u.decibars(value * 10) },
  unclear: { m: "a depth or a pressure? One metre of sea water is about 1 dbar; write dbar." },
};

const gallons = "US gallons (3.785 L) or UK gallons (4.546 L)? Write usgal or ukgal.";

export const volume: Kind<u.Litres> = {
  what: "volume",
  example: "140L or 37usgal",
  units: {
    l: u.litres,
    litre: u.litres,
    litres: u.litres,
    ml: (value) => u.litres(value / 1000),
    m3: (value) => u.litres(value * 1000),
    usgal: (value) => u.litresFromUsGallons(u.usGallons(value)),
    ukgal: (value) => u.litresFromUkGallons(u.ukGallons(value)),
  },
  unclear: { gal: gallons, gallon: gallons, gallons },
};

export const mass: Kind<u.Kilograms> = {
  what: "mass",
  example: "20kg or 44lb",
  units: {
    kg: u.kilograms,
    g: (value) => u.kilogramsFromGrams(u.grams(value)),
    mg: (value) => u.kilograms(value / 1e6),
    lb: (value) => u.kilogramsFromPounds(u.pounds(value)),
    oz: (value) => u.kilogramsFromPounds(u.pounds(value / 16)),
  },
};

export const length: Kind<u.Millimetres> = {
  what: "length",
  example: "750mm or 29.5in",
  units: {
    mm: u.millimetres,
    cm: (value) => u.millimetres(value * 10),
    m: (value) => u.millimetres(value * 1000),
    in: (value) => u.millimetresFromInches(u.inches(value)),
    ft: (value) => u.millimetresFromInches(u.inches(value * 12)),
  },
};

export const area: Kind<u.SquareMetres> = {
  what: "area",
  example: "0.35m2",
  units: {
    m2: u.squareMetres,
    cm2: (value) => u.squareMetres(value / 1e4),
    in2: (value) => u.squareMetres(value * 0.0254 ** 2),
    ft2: (value) => u.squareMetres(value * 0.3048 ** 2),
  },
};

export const pressure: Kind<u.Kilopascals> = {
  what: "pressure",
  example: "4bar or 60psi",
  units: {
    kpa: u.kilopascals,
    bar: (value) => u.kilopascalsFromBars(u.bars(value)),
    psi: (value) => u.kilopascalsFromPsi(u.poundsPerSquareInch(value)),
  },
};

export const share: Kind<u.Fraction> = {
  what: "share",
  example: "25%",
  units: { "%": (value) => u.fractionFromPercent(u.percent(value)) },
};

export const percentPerK: Kind<u.PercentPerKelvin> = {
  what: "temperature coefficient",
  example: "2%/K",
  units: {
    "%/k": u.percentPerKelvin,
    "%/c": u.percentPerKelvin,
    "%/f": (value) => u.percentPerKelvin(value * 1.8),
  },
  unclear: { "%": "for each what? Write %/K." },
};

/** An amount dissolved; what it is counted as is asked for separately. */
export const milligramsPerLitre: Kind<u.Quantity<"mg/L">> = {
  what: "concentration",
  example: "2mg/L",
  units: {
    "mg/l": (value) => value as u.Quantity<"mg/L">,
    ppm: (value) => value as u.Quantity<"mg/L">,
    "g/l": (value) => (value * 1000) as u.Quantity<"mg/L">,
  },
};

export const gramsPerLitre: Kind<u.GramsPerLitre> = {
  what: "content",
  example: "38g/L",
  units: {
    "g/l": u.gramsPerLitre,
    "mg/l": (value) => u.gramsPerLitre(value / 1000),
    "g/usgal": (value) => u.gramsPerLitre(value / u.LITRES_PER_US_GALLON),
    "lb/usgal": (value) => u.gramsPerLitre((value * 1000 * u.KILOGRAMS_PER_POUND) / u.LITRES_PER_US_GALLON),
  },
  unclear: { "g/gal": gallons, "lb/gal": gallons },
};

export const tds: Kind<MilligramsPerLitreTds> = {
  what: "dissolved content",
  example: "250mg/L",
  units: { "mg/l": (value) => value as MilligramsPerLitreTds, ppm: (value) => value as MilligramsPerLitreTds },
};

export const flow: Kind<u.LitresPerHour> = {
  what: "flow",
  example: "11.8L/h or 75gpd",
  units: {
    "l/h": u.litresPerHour,
    "l/d": (value) => u.litresPerHourFromLitresPerDay(u.litresPerDay(value)),
    "l/day": (value) => u.litresPerHourFromLitresPerDay(u.litresPerDay(value)),
    laday: (value) => u.litresPerHourFromLitresPerDay(u.litresPerDay(value)),
    "ml/d": (value) => u.litresPerHourFromLitresPerDay(u.litresPerDay(value / 1000)),
    "usgal/d": (value) => u.litresPerHourFromUsGallonsPerDay(u.usGallonsPerDay(value)),
    "ukgal/d": (value) => u.litresPerHourFromLitresPerDay(u.litresPerDay(u.litresFromUkGallons(u.ukGallons(value)))),
    // What membranes are sold by, and always of the US gallon (common practice).
    gpd: (value) => u.litresPerHourFromUsGallonsPerDay(u.usGallonsPerDay(value)),
  },
  unclear: { "gal/d": gallons },
};

export const speed: Kind<u.Quantity<"m/s">> = {
  what: "speed",
  example: "0.1m/s",
  units: { "m/s": (value) => value as u.Quantity<"m/s"> },
};

export const age: Kind<u.Days> = {
  what: "time",
  example: "30d",
  units: { d: u.days, days: u.days, h: (value) => u.daysFromHours(u.hours(value)) },
  unclear: { m: "minutes or months? Write d or h." },
};

export const resistance: Kind<u.Ohms> = {
  what: "resistance",
  example: "109.73ohm or 10kohm",
  units: { ohm: u.ohms, kohm: (value) => u.ohms(value * 1000) },
};

export const conductance: Kind<u.Millisiemens> = {
  what: "conductance",
  example: "53mS",
  units: { ms: u.millisiemens, us: (value) => u.millisiemens(value / 1000) },
};

export const cellConstant: Kind<u.PerCentimetre> = {
  what: "cell constant",
  example: "1.0/cm",
  units: { "/cm": u.perCentimetre, "1/cm": u.perCentimetre, "cm-1": u.perCentimetre, cm1: u.perCentimetre },
};

export const kelvins: Kind<u.Kelvin> = { what: "beta", example: "3977K", units: { k: u.kelvin } };

export const oxygen: Kind<u.Quantity<"mg/L O2">> = {
  what: "oxygen content",
  example: "6.4mg/L",
  units: { "mg/l": (value) => value as u.Quantity<"mg/L O2"> },
};

export const alkalinity: Kind<u.MilliequivalentsPerLitre> = {
  what: "alkalinity",
  example: "8dKH, 2.9meq/L or 145mg/LCaCO3",
  units: {
    dkh: (value) => u.milliequivalentsFromDkh(u.dkh(value)),
    "meq/l": u.milliequivalentsPerLitre,
    "mg/lcaco3": (value) => u.milliequivalentsFromCaCO3(u.milligramsPerLitreCaCO3(value)),
    ppmcaco3: (value) => u.milliequivalentsFromCaCO3(u.milligramsPerLitreCaCO3(value)),
  },
  unclear: {
    ppm: "ppm of what? Write mg/LCaCO3 if the kit counts alkalinity as calcium carbonate.",
    "mg/l": "of what? Write mg/LCaCO3 if the kit counts alkalinity as calcium carbonate.",
  },
};

/** A number that truly has no unit: a pH, a factor, a count. */
export const plain: Kind<number> = { what: "number", example: "8.2", units: { "": (value) => value } };

export const differenceK: Kind<u.Kelvin> = {
  what: "temperature difference",
  example: "0.5K",
  units: {
    k: u.kelvin,
    c: u.kelvin,
    f: (value) => u.kelvinDifferenceFromFahrenheit(u.fahrenheit(value)),
  },
};

/** Bytes in hexadecimal, with blanks, colons or nothing between them. */
export const bytes: Kind<readonly number[]> = {
  what: "row of bytes",
  example: '"91 01 4B 46 7F FF 0C 10 25"',
  units: {},
  read: (text) => {
    const digits = text.replace(/[\s:]/g, "");
    return /^([0-9a-f]{2})+$/i.test(digits) ? digits.match(/../g)!.map((pair) => Number.parseInt(pair, 16)) : null;
  },
};

export const percentage: Kind<u.Percent> = { what: "percentage", example: "1%", units: { "%": u.percent } };
