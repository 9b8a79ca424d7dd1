import { existsSync } from "node:fs";
import { join } from "node:path";
import { Command, Option } from "commander";
import type { Settings } from "../../../shared/settings/index.ts";
import { openAttendance } from "../../outputs/attendance.ts";
import { loadSettings } from "../../settings/load.ts";
import { NoVisit, visitController } from "../at-tank/visit.ts";
import { refusing } from "../refusing.ts";
import { typed, USUAL_DATA } from "../typed.ts";
import { installService } from "./install.ts";
import { thisMachine } from "./machine.ts";
import { readInstalled } from "./place.ts";
import { planService, type ServicePlan } from "./plan.ts";
import { ServiceRefused } from "./refused.ts";
import { removeService } from "./remove.ts";
import { makeUnit } from "./unit.ts";

interface Options {
  readonly install?: true;
  readonly remove?: true;
  readonly print?: true;
  readonly data: string;
  readonly user?: string;
}

/** `evenbrine service --install settings.json`: the controller starts with the computer, and again after every fall. */
export const serviceCommand = (): Command =>
  new Command("service")
    .description("have the controller start with this computer, and again after every fall; or undo that")
    .argument("[settings]", "settings file (JSON) that it runs on")
    .addOption(new Option("--install", "write a systemd unit, enable and start it").conflicts(["remove", "print"]))
    .addOption(new Option("--remove", "stop it and remove the unit; settings and memory stay").conflicts("print"))
    .option("--print", "show the unit, and change nothing")
    .option("--data <folder>", "where memory and history are kept", USUAL_DATA)
    .option("--user <name>", "as whom it runs; otherwise as you")
    .action((file: string | undefined, options: Options, command: Command) => {
      const { install, remove, print, data, user } = options;
      if (install === undefined && remove === undefined && print === undefined) {
        return command.error(`What? Try: ${typed("service --print settings.json")}, or --install, or --remove.`);
      }
      return refusing(() =>
        refusingService(async () => {
          const machine = thisMachine();
          if (remove === true) return say(removeService(machine));
          if (file === undefined) {
            return command.error(
              `Which settings? Try: ${typed(`service --${install ? "install" : "print"} settings.json`)}`,
            );
          }
          const settings = await loadSettings(file);
          const plan = planService({ settingsFile: file, data, user: user ?? null }, machine);
          if (print === true) return process.stdout.write(makeUnit(plan));
          if (readInstalled(machine) === null) await expectNobodyRuns(data);
          say(installService(plan, machine));
          say(watchOut(settings, plan));
        }),
      );
    });

/** A keeper's mistake, or what this computer does not let happen: plain lines, exit code 1. */
async function refusingService(act: () => Promise<unknown>): Promise<void> {
  try {
    await act();
  } catch (error) {
    if (!(error instanceof ServiceRefused)) throw error;
    console.error(error.message);
    process.exitCode = 1;
  }
}

/** Two cannot use one memory, and the service would fall again and again. */
async function expectNobodyRuns(data: string): Promise<void> {
  try {
    const visit = await visitController({ data, tank: null });
    const { name } = visit.greeting;
    visit.close();
    throw new ServiceRefused(
      `The controller of ${name} runs on ${data} now. Nothing was changed. End it (Ctrl-C in its terminal), and ask again.`,
    );
  } catch (error) {
    if (!(error instanceof NoVisit)) throw error;
  }
}

/** What a keeper has to know of a controller beside which nobody stands. */
function watchOut(settings: Settings, { program }: ServicePlan): readonly string[] {
  const attendance = openAttendance(settings, 0, true);
  return [
    ...(attendance.mayEnergise(0)
      ? []
      : [
          "! Nobody stands beside a service, so attendedMinutes does not count: every output stays off until the board " +
            "has the guard firmware, or the settings name an independentGuard.",
        ]),
    ...(Object.keys(settings.boards).length > 0
      ? []
      : ["! These settings name no board: the service rehearses on simulated water."]),
    ...(existsSync(join(program, "dashboard/dist/index.html"))
      ? []
      : ["! The page is not built yet: npm run build, then sudo systemctl restart evenbrine"]),
  ];
}

const say = (lines: readonly string[]): void => {
  for (const line of lines) console.log(line);
};
