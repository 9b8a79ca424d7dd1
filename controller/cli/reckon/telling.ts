import type { Answer, Calculator, Result } from "./calculator.ts";
import type { Reckoned } from "./reckon.ts";

/** The answer as lines for a person: results in a column, then notes and cautions, then where the numbers come from. */
export function asLines(answer: Answer, withWhy: boolean): string[] {
  const width = Math.max(...answer.results.map(({ label }) => label.length));
  const lines = answer.results.map((result) => `${result.label.padEnd(width)}  ${worded(result)}`);
  for (const note of answer.notes ?? []) lines.push(note);
  for (const caution of answer.cautions ?? []) lines.push(`Caution: ${caution}`);
  if (withWhy)
    for (const { equation, source, valid } of answer.why) lines.push(`${equation}: ${source}. Valid ${valid}.`);
  return lines;
}

/** The same for a machine, unrounded; `why` is always there. */
export function asJson(calculator: Calculator, { given, answer }: Reckoned): object {
  return {
    reckoned: calculator.name,
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

function worded({ value, unit, decimals, expanded }: Result): string {
  const number = value.toFixed(decimals);
  const doubt = expanded === undefined ? "" : ` ± ${expanded.toFixed(decimals)}`;
  return `${number}${doubt}${unit === "" ? "" : ` ${unit}`}${expanded === undefined ? "" : " (k = 2)"}`;
}
