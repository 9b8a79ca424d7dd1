import {
  celsius,
  fahrenheitDifferenceFromKelvin,
  fahrenheitFromCelsius,
  type KeeperUnits,
  kelvin,
} from "../../../shared/units/index.ts";

/**
 * What the controller says in °C and K, in the units of a keeper who chose °F: `25.06 °C`, `1–1.5 K`, `a kelvin`. Its
 * sentences have no other way to write a temperature; litres of a jug and lengths of a ruler stay in mL and mm there.
 */
export function translateUnits(text: string, { temperature }: KeeperUnits): string {
  if (temperature === "°C") return text;
  return text
    .replace(
      /([-−]?\d+(?:\.\d+)?)(?:(–| to )([-−]?\d+(?:\.\d+)?))? (°C|K)(?![\w/])/g,
      (_, first, between, second, unit) => {
        const convert = unit === "K" ? toDifference : toFahrenheit;
        return `${convert(first)}${second === undefined ? "" : `${between}${convert(second)}`} °F`;
      },
    )
    .replace(/\ba kelvin\b/g, "1.8 °F");
}

/** As many decimals as the figure had. */
const convertWith = (convert: (value: number) => number) => (text: string) =>
  convert(Number(text.replace("−", "-"))).toFixed(Math.min(2, text.split(".")[1]?.length ?? 0));

const toFahrenheit = convertWith((value) => fahrenheitFromCelsius(celsius(value)));
/** A difference of a whole kelvin is worth a decimal in °F. */
const toDifference = (text: string) =>
  convertWith((value) => fahrenheitDifferenceFromKelvin(kelvin(value)))(text.includes(".") ? text : `${text}.0`);
