import { readFileSync, writeFileSync } from "node:fs";
import { Command, Option } from "commander";
import { checkSettings, rehearsalSettings, type Settings } from "../../shared/settings/index.ts";
import {
  checkScenario,
  createTrace,
  plotOf,
  rehearse,
  SCAN_PACES,
  type ScanPace,
  type Scenario,
  scenarioJsonSchema,
  settingsOf,
  summaryOf,
  withBareParts,
} from "../rehearsal/index.ts";
import { parseWholeNumber } from "./flags.ts";
import { EXAMPLE_SCENARIO } from "./rehearse-example.ts";
import { typed } from "./typed.ts";

interface Options {
  readonly seed: number;
  readonly report?: string;
  readonly settings?: string;
  readonly plot?: string;
  readonly besideBareParts?: boolean;
  readonly scans: ScanPace;
  readonly schema?: boolean;
  readonly example?: boolean;
}

/** `evenbrine rehearse scenario.json`: a scenario on the simulated tank, faster than the clock. */
export function rehearseCommand(): Command {
  return new Command("rehearse")
    .description("Run a scenario on the simulated tank, with the same decisions as on real water.")
    .argument("[scenario]", "scenario file, JSON (see --schema)")
    .option(
      "--seed <number>",
      "picks the noise; the same seed gives the same report",
      parseWholeNumber(0, 999_999_999),
      1,
    )
    .option("--report <file>", "write the report as JSON to this file, or to standard output with -")
    .option("--settings <file>", "settings file of a real tank, in place of the default tank")
    .option("--plot <file>", "draw temperature, salinity, level, litres and all that happened, as an SVG picture")
    .option("--beside-bare-parts", "run the same tank with a bare float, relay and thermostat too, and give both")
    .addOption(
      new Option("--scans <pace>", "even, or adaptive: one a second while nothing moves, to get through a year")
        .choices(SCAN_PACES)
        .default("even"),
    )
    .option("--schema", "print the JSON Schema of a scenario and end")
    .option("--example", "print a scenario to begin with and end")
    .action((path: string | undefined, options: Options) => {
      process.exitCode = run(path, options);
    });
}

function run(path: string | undefined, options: Options): number {
  if (options.schema === true) {
    process.stdout.write(`${JSON.stringify(scenarioJsonSchema(), null, 2)}\n`);
    return 0;
  }
  if (options.example === true) {
    process.stdout.write(`${JSON.stringify(EXAMPLE_SCENARIO, null, 2)}\n`);
    return 0;
  }
  if (path === undefined) {
    const example = `${typed("rehearse --example")} prints one to begin with`;
    return refuse([`Which scenario? ${example}, --schema says what it may hold.`]);
  }
  const settings = readSettings(options.settings);
  if (settings === null) return 1;
  const scenario = readScenario(path, settings);
  if (scenario === null) return 1;
  return tell(scenario, settings, options);
}

function tell(scenario: Scenario, settings: Settings, options: Options): number {
  const { seed, scans } = options;
  const trace = createTrace(scenario.hours);
  const bareTrace = options.besideBareParts === true ? createTrace(scenario.hours) : null;
  const watching = (into: typeof trace) => (options.plot === undefined ? {} : { watch: into.see });
  const alone = rehearse(scenario, { seed, settings, scans, ...watching(trace) });
  const report =
    bareTrace === null ? alone : withBareParts(alone, scenario, { seed, settings, ...watching(bareTrace) });
  if (options.plot !== undefined) {
    const picture = plotOf({ report, scenario, settings: settingsOf(scenario, settings), trace, bare: bareTrace });
    const failed = writeTo(options.plot, picture);
    if (failed !== 0) return failed;
  }
  if (options.report !== undefined) return writeTo(options.report, `${JSON.stringify(report, null, 2)}\n`);
  if (options.plot !== "-") process.stdout.write(`${summaryOf(report)}\n`);
  return 0;
}

function writeTo(path: string, text: string): number {
  if (path === "-") {
    process.stdout.write(text);
    return 0;
  }
  try {
    writeFileSync(path, text);
    return 0;
  } catch (error) {
    return refuse([`${path} cannot be written: ${(error as Error).message}`]);
  }
}

function readSettings(path: string | undefined): Settings | null {
  if (path === undefined) return rehearsalSettings();
  const raw = readJson(path);
  if (raw === undefined) return null;
  const { settings, faults } = checkSettings(raw);
  if (settings === null) refuse(faults.map((fault) => faultLine(path, fault)));
  return settings;
}

function readScenario(path: string, settings: Settings): Scenario | null {
  const raw = readJson(path);
  if (raw === undefined) return null;
  const { scenario, errors } = checkScenario(raw, settings);
  if (scenario === null) refuse(errors.map((error) => faultLine(path, error)));
  return scenario;
}

function readJson(path: string): unknown {
  try {
    return JSON.parse(readFileSync(path, "utf8")) as unknown;
  } catch (error) {
    const isMissing = (error as NodeJS.ErrnoException).code === "ENOENT";
    refuse([isMissing ? `There is no file ${path}.` : `${path} is no JSON: ${(error as Error).message}`]);
    return undefined;
  }
}

interface Wrong {
  readonly path: string;
  readonly value: unknown;
  readonly expected: string;
}

function faultLine(file: string, { path, value, expected }: Wrong): string {
  const found = value === undefined ? "nothing" : JSON.stringify(value);
  return `${file}: ${path === "" ? "the whole file" : path}: found ${found}, expected ${expected}`;
}

function refuse(lines: readonly string[]): number {
  for (const line of lines) process.stderr.write(`${line}\n`);
  return 1;
}
