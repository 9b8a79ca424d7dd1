import { readdirSync, readFileSync } from "node:fs";
import { join, resolve } from "node:path";
import { checkScenario, type Scenario } from "../../controller/rehearsal/index.ts";
import { SETTINGS } from "./still-tank.ts";

const place = resolve(import.meta.dirname, "../../controller/rehearsal/scenarios");

/** Names of the scenarios that come with the house. */
export const SCENARIO_FILES: readonly string[] = readdirSync(place).map((file) => file.replace(/\.json$/, ""));

export function scenarioOf(name: string): Scenario {
  const { scenario, errors } = checkScenario(JSON.parse(readFileSync(join(place, `${name}.json`), "utf8")), SETTINGS);
  if (scenario === null) throw new Error(`${name}: ${JSON.stringify(errors)}`);
  return scenario;
}
