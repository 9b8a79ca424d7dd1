import { Command } from "commander";
import { typed } from "../typed.ts";
import { calculate, toFlag } from "./calculate.ts";
import type { Ask, Calculator } from "./calculator.ts";
import { CALCULATORS } from "./calculators/index.ts";
import { formatJson, formatLines } from "./format.ts";

/** `evenbrine bench …`: every equation of the water, for a person at a terminal or for a machine with --json. */
export function benchCommand(): Command {
  const command = new Command("bench")
    .description("sums of the bench: salinity, density, salt to mix, dosing, evaporation and more")
    .addHelpText(
      "after",
      `\nEvery value carries its unit: ${typed("bench salinity --conductivity 53.0mS/cm --temp 77F")}`,
    );
  for (const calculator of CALCULATORS) command.addCommand(createCommand(calculator));
  return command;
}

function createCommand(calculator: Calculator): Command {
  const command = new Command(calculator.name).description(calculator.purpose);
  for (const [name, ask] of Object.entries(calculator.asks)) {
    command.option(`--${toFlag(name)} <${ask.source.what.replaceAll(" ", "-")}>`, describeAsk(ask));
  }
  return command
    .option("--why", "say which equation this is, from where, and where it is valid")
    .option("--json", "answer as JSON")
    .action((typed: Record<string, string | boolean>) => {
      const outcome = calculate(calculator, typed as Record<string, string>);
      if ("refused" in outcome) {
        if (typed.json === true) console.log(JSON.stringify({ calculator: calculator.name, refused: outcome.refused }));
        else console.error(outcome.refused);
        process.exitCode = 1;
        return;
      }
      if (typed.json === true) console.log(JSON.stringify(formatJson(calculator, outcome), null, 2));
      else for (const line of formatLines(outcome.answer, typed.why === true)) console.log(line);
    });
}

function describeAsk({ source, meaning, need }: Ask<unknown>): string {
  const forms = "words" in source ? source.words.join(" | ") : `like ${source.example}`;
  if (need === "asked") return `${meaning} (${forms})`;
  if (need === "optional") return `${meaning} (${forms}; may be left out)`;
  return `${meaning} (${forms}; ${need.preset} unless given)`;
}
