import type { GravityReference } from "../../../shared/units/index.ts";
import type { Calculation } from "./calculate.ts";
import type { Answer, Calculator, Result } from "./calculator.ts";

/** The answer as lines for a person: results in a column, then notes and cautions, then where the numbers come from. */
export function formatLines(answer: Answer, withWhy: boolean): string[] {
  const width = Math.max(...answer.results.map(({ label }) => label.length));
  const lines = answer.results.map((result) => `${result.label.padEnd(width)}  ${formatValue(result)}`);
  for (const note of answer.notes ?? []) lines.push(note);
  for (const caution of answer.cautions ?? []) lines.push(`Caution: ${caution}`);
  if (withWhy)
    for (const { equation, source, valid } of answer.why) lines.push(`${equation}: ${source}. Valid ${valid}.`);
  return lines;
}

/** The same for a machine, unrounded; `why` is always there. */
export function formatJson(calculator: Calculator, { given, answer }: Calculation): object {
  return {
    calculator: calculator.name,
    given,
    results: answer.results.map(({ label, value, unit, expanded }) => ({
      name: label,
      value,
      unit,
      ...(expanded === undefined ? {} : { expanded, k: 2 }),
    })),
    why: answer.why,
    notes: answer.notes ?? [],
    cautions: answer.cautions ?? [],
  };
}

function formatValue({ value, unit, decimals, expanded }: Result): string {
  const number = value.toFixed(decimals);
  const doubt = expanded === undefined ? "" : ` ± ${expanded.toFixed(decimals)}`;
  return `${number}${doubt}${unit === "" ? "" : ` ${unit}`}${expanded === undefined ? "" : " (k = 2)"}`;
}

/** As it stands beside the scale of an instrument: sample over water. */
export const formatScale = ({ sampleC, waterC }: GravityReference): string =>
  `${Number(sampleC.toFixed(2))}/${Number(waterC.toFixed(2))} °C`;
