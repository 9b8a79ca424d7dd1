import { Command } from "commander";
import { atTank } from "../at-tank/commands.ts";
import { fetchUnits } from "./fetch-units.ts";
import { statusLines } from "./status.ts";

/** `evenbrine status`: how the running controller's box is doing, in one sentence and one table. */
export const statusCommand = (): Command =>
  atTank(
    new Command("status").description(
      "how the box is doing: one sentence, and a table of readings and what each part does",
    ),
    async (visit) => {
      const units = await fetchUnits(visit.greeting.address);
      console.log(statusLines(visit, units).join("\n"));
    },
  );
