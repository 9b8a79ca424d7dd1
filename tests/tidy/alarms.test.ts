import { existsSync, readdirSync, readFileSync, writeFileSync } from "node:fs";
import { join, resolve } from "node:path";
import { describe, expect, it } from "vitest";
import { CONDITIONS } from "../../controller/alarms/list.ts";
import { alarmsPage } from "../../controller/alarms/page.ts";

const room = resolve(import.meta.dirname, "../../controller/alarms");

describe("the list of alarms", () => {
  it("files in conditions: one per alarm, none without", () => {
    const files = readdirSync(join(room, "conditions")).map((name) => name.replace(/\.ts$/, ""));
    expect(CONDITIONS.map(({ id }) => id).sort()).toEqual(files.sort());
  });

  it("ids: each once; priorities: high before medium before low", () => {
    expect(new Set(CONDITIONS.map(({ id }) => id)).size).toBe(CONDITIONS.length);
    const ranks = CONDITIONS.map(({ priority }) => ["high", "medium", "low"].indexOf(priority));
    expect(ranks).toEqual([...ranks].sort());
  });

  it("ids: lower-case letters and hyphens", () => {
    for (const { id } of CONDITIONS) expect(id).toMatch(/^[a-z]+(-[a-z]+)*$/);
  });

  it("ALARMS.md equals the page made of them (UPDATE_PAGES=1 npm test -- tests/tidy/alarms.test.ts writes it anew)", () => {
    const page = join(room, "ALARMS.md");
    if (process.env.UPDATE_PAGES === "1") writeFileSync(page, alarmsPage());
    expect(existsSync(page) ? readFileSync(page, "utf8") : "no ALARMS.md").toBe(alarmsPage());
  });
});
