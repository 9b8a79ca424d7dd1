import { readdirSync, readFileSync } from "node:fs";
import { join, resolve } from "node:path";
import { checkScenario, type Scenario } from "../../controller/rehearsal/index.ts";
import { rehearsalSettings } from "../../shared/settings/index.ts";

const place = resolve(import.meta.dirname, "../../controller/rehearsal/healthy/scenarios");

/** Names of the scenarios of boxes that should be left alone. */
export const HEALTHY_FILES: readonly string[] = readdirSync(place).map((file) => file.replace(/\.json$/, ""));

export function healthyScenario(name: string): Scenario {
  const raw: unknown = JSON.parse(readFileSync(join(place, `${name}.json`), "utf8"));
  const { scenario, errors } = checkScenario(raw, rehearsalSettings());
  if (scenario === null) throw new Error(`${name}: ${JSON.stringify(errors)}`);
  return scenario;
}
