import { Command } from "commander";
import { boxBudget, settingsJsonSchema } from "../../shared/settings/index.ts";
import { loadSettings } from "../settings/load.ts";
import { refusing } from "./refusing.ts";
import { typed } from "./typed.ts";

/** `evenbrine check settings.json`: says whether a settings file can be used, and what it means for the box. */
export const checkCommand = (): Command =>
  new Command("check")
    .description("check a settings file and say what to mend; exit code 1 when it cannot be used")
    .argument("[settings]", "settings file (JSON)")
    .option("--schema", "print the JSON Schema of settings files instead")
    .action((file: string | undefined, options: { schema?: boolean }, command: Command) => {
      if (options.schema) return console.log(JSON.stringify(settingsJsonSchema(), null, 2));
      if (file === undefined) return command.error(`Which file? Try: ${typed("check settings.json")}`);
      return refusing(() => checkFile(file));
    });

async function checkFile(file: string): Promise<void> {
  const settings = await loadSettings(file);
  const budget = boxBudget(settings);
  const litres = (value: number) => `${value.toFixed(1)} L`;
  console.log(`${file} can be used.`);
  console.log(
    `The box takes at most ${litres(budget.largestReservoirL)} of fresh water at once (${budget.because}); ` +
      `the reservoir holds ${litres(settings.topOff.reservoirL)}, which is ${budget.autonomyDays.toFixed(1)} days.`,
  );
  if (settings.topOff.largeReservoirAccepted !== null && settings.topOff.reservoirL > budget.largestReservoirL) {
    console.log(`A larger reservoir was accepted: ${settings.topOff.largeReservoirAccepted}`);
  }
}
