import * as u from "../../../../shared/units/index.ts";
import { calculator, optional, type Result, result } from "../calculator.ts";
import * as kinds from "../kinds.ts";
import { UNITS } from "../sources.ts";

export const convert = calculator({
  name: "convert",
  purpose: "one value in every unit that says it",
  asks: {
    temp: optional(kinds.temperature, "to convert"),
    difference: optional(kinds.differenceK, "to convert, without an offset"),
    volume: optional(kinds.volume, "to convert"),
    mass: optional(kinds.mass, "to convert"),
    length: optional(kinds.length, "to convert"),
    pressure: optional(kinds.pressure, "to convert"),
    flow: optional(kinds.flow, "to convert"),
    conductivity: optional(kinds.conductivity, "to convert"),
    alkalinity: optional(kinds.alkalinity, "to convert"),
  },
  reckon: (given) => {
    const results = Object.entries(SAID).flatMap(([name, say]) => {
      const value = given[name as keyof typeof given];
      return value === undefined ? [] : say(value as never);
    });
    if (results.length === 0)
      return { refused: "Convert what? Add a value with its unit, like --temp 77F or --volume 40usgal." };
    return { results, why: [UNITS] };
  },
});

const SAID: Record<string, (value: never) => Result[]> = {
  temp: (t: u.Celsius) => [
    result("temperature", t, "°C", 3),
    result("temperature", u.fahrenheitFromCelsius(t), "°F", 3),
    result("temperature", u.kelvinFromCelsius(t), "K", 3),
  ],
  difference: (difference: u.Kelvin) => [
    result("difference", difference, "K", 4),
    result("difference", u.fahrenheitDifferenceFromKelvin(difference), "°F", 4),
  ],
  volume: (l: u.Litres) => [
    result("volume", l, "L", 4),
    result("volume", u.usGallonsFromLitres(l), "US gal", 4),
    result("volume", u.ukGallonsFromLitres(l), "UK gal", 4),
  ],
  mass: (kg: u.Kilograms) => [
    result("mass", kg, "kg", 4),
    result("mass", u.gramsFromKilograms(kg), "g", 2),
    result("mass", u.poundsFromKilograms(kg), "lb", 4),
  ],
  length: (mm: u.Millimetres) => [
    result("length", mm, "mm", 2),
    result("length", u.inchesFromMillimetres(mm), "in", 4),
  ],
  pressure: (kPa: u.Kilopascals) => [
    result("pressure", kPa, "kPa", 3),
    result("pressure", u.barsFromKilopascals(kPa), "bar", 5),
    result("pressure", u.psiFromKilopascals(kPa), "psi", 4),
  ],
  flow: (flow: u.LitresPerHour) => [
    result("flow", flow, "L/h", 4),
    result("flow", u.litresPerDayFromLitresPerHour(flow), "L/d", 3),
    result("flow", u.usGallonsPerDayFromLitresPerHour(flow), "US gal/d", 4),
  ],
  conductivity: (mS: u.MillisiemensPerCm) => [
    result("conductivity", mS, "mS/cm", 4),
    result("conductivity", u.microsiemensFromMillisiemens(mS), "µS/cm", 1),
    result("conductivity", u.siemensPerMetreFromMillisiemens(mS), "S/m", 5),
  ],
  alkalinity: (meq: u.MilliequivalentsPerLitre) => [
    result("alkalinity", meq, "meq/L", 3),
    result("alkalinity", u.dkhFromMilliequivalents(meq), "dKH", 2),
    result("alkalinity", u.caCO3FromMilliequivalents(meq), "mg/L as CaCO3", 1),
  ],
};
