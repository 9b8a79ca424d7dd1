import * as w from "../../../../shared/seawater/index.ts";
import * as u from "../../../../shared/units/index.ts";
import * as kinds from "../../values/kinds.ts";
import { allow, defineCalculator, makeResult, type Refusal, type Result, refuseOutside } from "../calculator.ts";
import { formatScale } from "../format.ts";
import { EOS80, PSS78, SEA_RANGE, STANDARD_SALT, UNITS } from "../sources.ts";

export const convert = defineCalculator({
  name: "convert",
  purpose: "one value in every unit that says it; sea water as salinity, ppt, specific gravity and mS/cm",
  asks: {
    temp: allow(kinds.temperature, "to convert"),
    difference: allow(kinds.differenceK, "to convert, without an offset"),
    volume: allow(kinds.volume, "to convert"),
    mass: allow(kinds.mass, "to convert"),
    length: allow(kinds.length, "to convert"),
    pressure: allow(kinds.pressure, "to convert"),
    flow: allow(kinds.flow, "to convert"),
    conductivity: allow(kinds.conductivity, "to convert"),
    alkalinity: allow(kinds.alkalinity, "to convert"),
    salinity: allow(kinds.salinity, "to convert"),
    sg: allow(kinds.gravity, "to convert, with --marked"),
    marked: allow(kinds.gravityScale, "temperature printed beside the scale of the instrument; 25C unless given"),
    at: allow(kinds.temperature, "of the water whose conductivity is given, to convert that to salinity"),
  },
  calculate: (given) => {
    const results = Object.entries(SAID).flatMap(([name, say]) => {
      const value = given[name as keyof typeof given];
      return value === undefined ? [] : say(value as never);
    });
    const SP = salinityOf(given);
    if (typeof SP === "object" && SP !== null) return SP;
    const water = SP === undefined ? [] : SP === null ? null : seaWaterResults(SP, given.marked);
    if (water === null) return refuseOutside("sea water", SEA_RANGE);
    if (results.length + water.length === 0)
      return {
        refused: "Convert what? Add a value with its unit, like --temp 77F, --volume 40usgal or --salinity 35SP.",
      };
    return {
      results: [...results, ...water],
      why: water.length === 0 ? [UNITS] : [UNITS, PSS78, STANDARD_SALT, EOS80],
    };
  },
});

interface SeaWater {
  readonly salinity: u.PracticalSalinity | undefined;
  readonly sg: u.SpecificGravity | undefined;
  readonly marked: u.GravityReference | undefined;
  readonly conductivity: u.MillisiemensPerCm | undefined;
  readonly at: u.Celsius | undefined;
}

/** Undefined = none was given; null = out of range. */
function salinityOf(given: SeaWater): u.PracticalSalinity | undefined | null | Refusal {
  const { salinity, sg, marked, conductivity, at } = given;
  const ways = [salinity, sg, at === undefined ? undefined : conductivity].filter((way) => way !== undefined);
  if (ways.length > 1)
    return { refused: "One water at a time: give its salinity, its specific gravity or its conductivity." };
  if (salinity !== undefined) return salinity;
  if (sg !== undefined) {
    return marked === undefined
      ? { refused: `${kinds.gravityScale.question} Add --marked, like --marked 25C.` }
      : w.salinityFromSpecificGravity(sg, marked);
  }
  if (at === undefined) return undefined;
  if (conductivity === undefined) return { refused: "The conductivity of which water? Add --conductivity 53mS/cm." };
  return w.practicalSalinity(conductivity, at, u.decibars(0));
}

const AT_25C: u.GravityReference = { sampleC: u.celsius(25), waterC: u.celsius(25) };

function seaWaterResults(SP: u.PracticalSalinity, marked = AT_25C): Result[] | null {
  const mass = w.absoluteSalinity(SP);
  const sg = w.specificGravity(SP, marked);
  const at25 = w.conductivityFromSalinity(SP, u.celsius(25));
  if (mass === null || sg === null || at25 === null) return null;
  return [
    makeResult("practical salinity", SP, "SP", 2),
    makeResult("parts per thousand by mass", mass, "g/kg (ppt)", 2),
    makeResult(`specific gravity ${formatScale(marked)}`, sg, "", 4),
    makeResult("conductivity at 25 °C", at25, "mS/cm", 2),
  ];
}

const SAID: Record<string, (value: never) => Result[]> = {
  temp: (t: u.Celsius) => [
    makeResult("temperature", t, "°C", 3),
    makeResult("temperature", u.fahrenheitFromCelsius(t), "°F", 3),
    makeResult("temperature", u.kelvinFromCelsius(t), "K", 3),
  ],
  difference: (difference: u.Kelvin) => [
    makeResult("difference", difference, "K", 4),
    makeResult("difference", u.fahrenheitDifferenceFromKelvin(difference), "°F", 4),
  ],
  volume: (l: u.Litres) => [
    makeResult("volume", l, "L", 4),
    makeResult("volume", u.usGallonsFromLitres(l), "US gal", 4),
    makeResult("volume", u.ukGallonsFromLitres(l), "UK gal", 4),
  ],
  mass: (kg: u.Kilograms) => [
    makeResult("mass", kg, "kg", 4),
    makeResult("mass", u.gramsFromKilograms(kg), "g", 2),
    makeResult("mass", u.poundsFromKilograms(kg), "lb", 4),
  ],
  length: (mm: u.Millimetres) => [
    makeResult("length", mm, "mm", 2),
    makeResult("length", u.inchesFromMillimetres(mm), "in", 4),
  ],
  pressure: (kPa: u.Kilopascals) => [
    makeResult("pressure", kPa, "kPa", 3),
    makeResult("pressure", u.barsFromKilopascals(kPa), "bar", 5),
    makeResult("pressure", u.psiFromKilopascals(kPa), "psi", 4),
  ],
  flow: (flow: u.LitresPerHour) => [
    makeResult("flow", flow, "L/h", 4),
    makeResult("flow", u.litresPerDayFromLitresPerHour(flow), "L/d", 3),
    makeResult("flow", u.usGallonsPerDayFromLitresPerHour(flow), "US gal/d", 4),
  ],
  conductivity: (mS: u.MillisiemensPerCm) => [
    makeResult("conductivity", mS, "mS/cm", 4),
    makeResult("conductivity", u.microsiemensFromMillisiemens(mS), "µS/cm", 1),
    makeResult("conductivity", u.siemensPerMetreFromMillisiemens(mS), "S/m", 5),
  ],
  alkalinity: (meq: u.MilliequivalentsPerLitre) => [
    makeResult("alkalinity", meq, "meq/L", 3),
    makeResult("alkalinity", u.dkhFromMilliequivalents(meq), "dKH", 2),
    makeResult("alkalinity", u.caCO3FromMilliequivalents(meq), "mg/L as CaCO3", 1),
  ],
};
