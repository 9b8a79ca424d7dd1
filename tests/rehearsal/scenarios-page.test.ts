import { existsSync, readFileSync, writeFileSync } from "node:fs";
import { join, resolve } from "node:path";
import { describe, expect, it } from "vitest";
import { scenariosPage } from "../../controller/rehearsal/scenarios-page.ts";
import { scenarioOf } from "./told-scenario.ts";

describe("SCENARIOS.md", () => {
  it("equals the page made of the scenarios (UPDATE_PAGES=1 npm test -- tests/rehearsal/scenarios-page.test.ts writes it)", () => {
    const path = join(resolve(import.meta.dirname, "../../controller/rehearsal"), "SCENARIOS.md");
    const page = scenariosPage(scenarioOf);
    if (process.env.UPDATE_PAGES === "1") writeFileSync(path, page);
    expect(existsSync(path) ? readFileSync(path, "utf8") : "no SCENARIOS.md").toBe(page);
  });
});
