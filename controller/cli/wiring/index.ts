import { createHash } from "node:crypto";
import { writeFile } from "node:fs/promises";
import { join, parse, resolve } from "node:path";
import { Command } from "commander";
import { loadForWiring } from "../../settings/load.ts";
import { refusing } from "../refusing.ts";
import { sheetOf } from "./sheet.ts";
import { drawSheet } from "./svg.ts";
import { textOf } from "./text.ts";

/** `evenbrine wiring settings.json`: where every wire of this very set-up goes, on one page for the cabinet. */
export const wiringCommand = (): Command =>
  new Command("wiring")
    .description("a wiring sheet of a settings file: every terminal, contact and safe state, and the budget of the box")
    .argument("<settings>", "settings file (JSON)")
    .option("--svg <file>", "draw the sheet on pages of A4, one file for each; - writes all to standard output")
    .action((file: string, { svg }: { svg?: string }, command: Command) =>
      refusing(async () => {
        const { settings, toMeasure } = await loadForWiring(file);
        const sheet = sheetOf(settings, toMeasure);
        const mark = markOf(settings);
        if (svg === undefined) return console.log(textOf(sheet, mark));
        const pages = drawSheet(sheet, { mark, date: new Date().toISOString().slice(0, 10) });
        if (svg === "-") return console.log(pages.join("\n"));
        const files = pages.map((_, index) => pageFile(svg, index, pages.length));
        if ([svg, ...files].some((name) => resolve(name) === resolve(file)))
          return command.error("The drawing would take the place of the settings file.");
        try {
          for (const [index, name] of files.entries()) await writeFile(name, pages[index] as string);
        } catch (error) {
          return command.error(`${svg} cannot be written: ${(error as Error).message}`);
        }
        console.log(textOf(sheet, mark));
        console.log(
          `\nDrawn on ${files.join(", ")}: print each on one page of A4, without scaling, and hang them in the cabinet.`,
        );
      }),
    );

/** `sheet.svg` for a single page; else `sheet-1.svg`, `sheet-2.svg` and so on. */
function pageFile(name: string, index: number, count: number): string {
  if (count === 1) return name;
  const { dir, name: stem, ext } = parse(name);
  return join(dir, `${stem}-${index + 1}${ext}`);
}

/** Eight letters by which a printed sheet and its settings know each other. */
const markOf = (settings: object): string =>
  createHash("sha256").update(JSON.stringify(settings)).digest("hex").slice(0, 8);
