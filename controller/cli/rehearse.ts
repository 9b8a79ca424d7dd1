import { readFileSync, writeFileSync } from "node:fs";
import { Command, InvalidArgumentError } from "commander";
import { checkSettings, rehearsalSettings, type Settings } from "../../shared/settings/index.ts";
import { checkScenario, rehearse, type Scenario, scenarioJsonSchema, summaryOf } from "../rehearsal/index.ts";

interface Options {
  readonly seed: number;
  readonly report?: string;
  readonly settings?: string;
  readonly schema?: boolean;
}

/** `evenbrine rehearse scenario.json`: a scenario on the simulated tank, faster than the clock. */
export function rehearseCommand(): Command {
  return new Command("rehearse")
    .description("Run a scenario on the simulated tank, with the same decisions as on real water.")
    .argument("[scenario]", "scenario file, JSON (see --schema)")
    .option("--seed <number>", "picks the noise; the same seed gives the same report", wholeNumber, 1)
    .option("--report <file>", "write the report as JSON to this file, or to standard output with -")
    .option("--settings <file>", "settings file of a real tank, in place of the default tank")
    .option("--schema", "print the JSON Schema of a scenario and end")
    .action((path: string | undefined, options: Options) => {
      process.exitCode = run(path, options);
    });
}

function run(path: string | undefined, options: Options): number {
  if (options.schema === true) {
    process.stdout.write(`${JSON.stringify(scenarioJsonSchema(), null, 2)}\n`);
    return 0;
  }
  if (path === undefined) return refuse(["Name a scenario file, or ask for --schema."]);
  const settings = readSettings(options.settings);
  if (settings === null) return 1;
  const scenario = readScenario(path, settings);
  if (scenario === null) return 1;
  const report = rehearse(scenario, { seed: options.seed, settings });
  if (options.report === undefined) process.stdout.write(`${summaryOf(report)}\n`);
  else return writeReport(options.report, `${JSON.stringify(report, null, 2)}\n`);
  return 0;
}

function writeReport(path: string, text: string): number {
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
    refuse([`${path} cannot be read as JSON: ${(error as Error).message}`]);
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

function wholeNumber(text: string): number {
  const value = Number(text);
  if (!Number.isSafeInteger(value) || value < 0) throw new InvalidArgumentError("A whole number from 0 is expected.");
  return value;
}
