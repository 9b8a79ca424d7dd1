import { writeFile } from "node:fs/promises";
import { resolve } from "node:path";
import { Command, Option } from "commander";
import { rehearsalSettings } from "../../../shared/settings/index.ts";
import { loadSettings } from "../../settings/load.ts";
import { NoVisit, visitController } from "../at-tank/visit.ts";
import { refusing } from "../refusing.ts";
import { readingRows } from "../status/status.ts";
import { translateUnits } from "../status/translate-units.ts";
import { USUAL_DATA } from "../typed.ts";
import { type SheetAsked, sheetOf } from "./sheet.ts";
import { drawSheet, PAPERS, type Paper } from "./svg.ts";
import { textOf } from "./text.ts";

interface Options {
  readonly svg?: string;
  readonly call?: readonly string[];
  readonly paper: Paper;
  readonly data: string;
  readonly tank?: string;
}

/** `evenbrine sitter-sheet settings.json --svg sheet.svg`: one page for whoever looks after the box for a while. */
export const sitterSheetCommand = (): Command =>
  new Command("sitter-sheet")
    .description("one page to print for whoever looks after the box while you are away")
    .argument("[settings]", "settings file (JSON); without one the box of a rehearsal")
    .option("--call <who...>", "whom to call, such as “Kim 555 0123”; at most five; without it lines to write on")
    .option("--svg <file>", "draw it on one page; - writes it to standard output")
    .addOption(new Option("--paper <size>", "what it is printed on").choices(Object.keys(PAPERS)).default("a4"))
    .option("--data <folder>", "the folder of the running controller, for how the box is", USUAL_DATA)
    .option("--tank <id>", "which tank, where several controllers run on that folder")
    .action((file: string | undefined, options: Options, command: Command) =>
      refusing(async () => {
        const settings = file === undefined ? rehearsalSettings() : await loadSettings(file);
        const call = options.call ?? [];
        if (call.length > 5 || call.some((who) => who.length > 50)) {
          return command.error("At most five names to call are expected, each of at most 50 characters.");
        }
        const sheet = sheetOf({ settings, seen: await lookAtBox(options), call });
        const { svg } = drawSheet(sheet, options.paper);
        if (options.svg === "-") return console.log(svg);
        console.log(textOf(sheet));
        if (options.svg === undefined) return;
        if (file !== undefined && resolve(options.svg) === resolve(file)) {
          return command.error("The drawing would take the place of the settings file.");
        }
        try {
          await writeFile(options.svg, svg);
        } catch (error) {
          return command.error(`${options.svg} cannot be written: ${(error as Error).message}`);
        }
        console.log(
          `\nDrawn on ${options.svg}: print it on one page of ${PAPERS[options.paper].words}, without scaling.`,
        );
      }),
    );

/** Null = no controller runs there: then the lines stay blank. */
async function lookAtBox({ data, tank }: Options): Promise<SheetAsked["seen"]> {
  try {
    const visit = await visitController({ data, tank: tank ?? null });
    try {
      const { units } = visit.greeting;
      return {
        sentence: translateUnits(visit.text("box/sentence"), units),
        rows: readingRows(visit, units).map((row) => row.map((cell) => translateUnits(cell, units))),
        date: visit.text("box/clock").slice(0, 10),
      };
    } finally {
      visit.close();
    }
  } catch (error) {
    if (error instanceof NoVisit) return null;
    throw error;
  }
}
