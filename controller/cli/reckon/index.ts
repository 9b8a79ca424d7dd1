import { Command } from "commander";
import { typed } from "../typed.ts";
import type { Ask, Calculator } from "./calculator.ts";
import { CALCULATORS } from "./calculators/index.ts";
import { reckon } from "./reckon.ts";
import { asJson, asLines } from "./telling.ts";

/** `evenbrine reckon …`: every equation of the water, for a person at a terminal or for a machine with --json. */
export function reckonCommand(): Command {
  const command = new Command("reckon")
    .description("reckon with sea water: salinity, density, dosing, mixing, evaporation and more")
    .addHelpText(
      "after",
      `\nEvery value carries its unit: ${typed("reckon salinity --conductivity 53.0mS/cm --temp 77F")}`,
    );
  for (const calculator of CALCULATORS) command.addCommand(commandOf(calculator));
  return command;
}

function commandOf(calculator: Calculator): Command {
  const command = new Command(calculator.name).description(calculator.purpose);
  for (const [name, ask] of Object.entries(calculator.asks)) {
    command.option(`--${dashed(name)} <${ask.source.what.replaceAll(" ", "-")}>`, meaningOf(ask));
  }
  return command
    .option("--why", "say which equation this is, from where, and where it is valid")
    .option("--json", "answer as JSON")
    .action((typed: Record<string, string | boolean>) => {
      const outcome = reckon(calculator, typed as Record<string, string>);
      if ("refused" in outcome) {
        if (typed.json === true) console.log(JSON.stringify({ reckoned: calculator.name, refused: outcome.refused }));
        else console.error(outcome.refused);
        process.exitCode = 1;
        return;
      }
      if (typed.json === true) console.log(JSON.stringify(asJson(calculator, outcome), null, 2));
      else for (const line of asLines(outcome.answer, typed.why === true)) console.log(line);
    });
}

/** "sampleTemp" is typed as --sample-temp; the number of pH stays where it is. */
export const dashed = (name: string): string => name.replace(/[A-Z]/g, (letter) => `-${letter.toLowerCase()}`);

function meaningOf({ source, meaning, need }: Ask<unknown>): string {
  const forms = "words" in source ? source.words.join(" | ") : `like ${source.example}`;
  if (need === "asked") return `${meaning} (${forms})`;
  if (need === "optional") return `${meaning} (${forms}; may be left out)`;
  return `${meaning} (${forms}; ${need.preset} unless given)`;
}
