import { Command } from "commander";
import { settingsJsonSchema } from "../../shared/settings/index.ts";
import { loadSettings } from "../settings/load.ts";
import { describeBox } from "./box-words.ts";
import { refusing } from "./refusing.ts";
import { typed } from "./typed.ts";
import { adviceOn } from "./wiring/advice.ts";

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
  console.log(`${file} can be used.`);
  for (const line of describeBox(settings)) console.log(`- ${line}`);
  const advice = adviceOn(settings);
  if (advice.length > 0) console.log("Look at this:");
  for (const line of advice) console.log(`! ${line}`);
}
