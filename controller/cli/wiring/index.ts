import { createHash } from "node:crypto";
import { writeFile } from "node:fs/promises";
import { resolve } from "node:path";
import { Command } from "commander";
import { loadSettings } from "../../settings/load.ts";
import { refusing } from "../refusing.ts";
import { sheetOf } from "./sheet.ts";
import { svgOf } from "./svg.ts";
import { textOf } from "./text.ts";

/** `evenbrine wiring settings.json`: where every wire of this very set-up goes, on one page for the cabinet. */
export const wiringCommand = (): Command =>
  new Command("wiring")
    .description("a wiring sheet of a settings file: every terminal, contact and safe state, and the budget of the box")
    .argument("<settings>", "settings file (JSON)")
    .option("--svg <file>", "draw the sheet on one A4 page, to be printed; - writes it to standard output")
    .action((file: string, { svg }: { svg?: string }, command: Command) =>
      refusing(async () => {
        const settings = await loadSettings(file);
        const sheet = sheetOf(settings);
        const mark = markOf(settings);
        if (svg === undefined) return console.log(textOf(sheet, mark));
        const picture = svgOf(sheet, { mark, date: new Date().toISOString().slice(0, 10) });
        if (svg === "-") return console.log(picture);
        if (resolve(svg) === resolve(file))
          return command.error("The drawing would take the place of the settings file.");
        try {
          await writeFile(svg, picture);
        } catch (error) {
          return command.error(`${svg} cannot be written: ${(error as Error).message}`);
        }
        console.log(textOf(sheet, mark));
        console.log(`\nDrawn on ${svg}: print it on one A4 page and hang it in the cabinet.`);
      }),
    );

/** Eight letters by which a printed sheet and its settings know each other. */
const markOf = (settings: object): string =>
  createHash("sha256").update(JSON.stringify(settings)).digest("hex").slice(0, 8);
