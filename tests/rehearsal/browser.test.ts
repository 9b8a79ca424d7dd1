import { resolve } from "node:path";
import type { Browser } from "playwright-core";
import { build, type Rolldown } from "vite";
import { afterAll, beforeAll, expect, it } from "vitest";
import { checkScenario, rehearse } from "../../controller/rehearsal/index.ts";
import { rehearsalSettings } from "../../shared/settings/index.ts";
import { openBrowser } from "../system/rig/browser.ts";
import { describeWith } from "../system/rig/tools.ts";

/** The pure rooms as one script, with no module left outside: what would touch the machine could not be bundled. */
async function bundled(): Promise<string> {
  const built = await build({
    configFile: false,
    logLevel: "silent",
    build: {
      write: false,
      minify: false,
      target: "esnext",
      lib: { entry: resolve(import.meta.dirname, "browser-entry.ts"), formats: ["iife"], name: "rehearsal" },
    },
  });
  const [output] = (Array.isArray(built) ? built : [built]) as Rolldown.RolldownOutput[];
  const [chunk, ...others] = output?.output ?? [];
  if (chunk?.type !== "chunk" || others.length > 0) throw new Error("expected one script");
  return chunk.code;
}

/** A float, a board, a probe, hands and a restart: most of the plant and of the scan has a part in it. */
const SCENARIO = {
  name: "In a browser",
  hours: 2.5,
  room: { temperatureC: 19 },
  faults: [
    { kind: "float-stuck", part: "working-float", value: "dry", atH: 0.4, untilH: 1 },
    { kind: "probe-out-of-water", part: "thermometer-1", atH: 0.5 },
    { kind: "board-silent", atH: 1.1, untilH: 1.15 },
    { kind: "controller-killed", atH: 1.4, value: 45 },
  ],
  hands: [
    { do: "water-change", atH: 1.2, litres: 6, salinity: 34 },
    { do: "hand-test", atH: 2 },
  ],
};
const SEED = 9;

describeWith(["chromium"], "a rehearsal in a browser", () => {
  let browser: Browser;
  beforeAll(async () => {
    browser = await openBrowser();
  });
  afterAll(() => browser.close());

  it("scenario with float, board, probe, hands and restart: report of Chromium equals that of Node to the byte", async () => {
    const settings = rehearsalSettings();
    const { scenario } = checkScenario(SCENARIO, settings);
    if (scenario === null) throw new Error("refused");
    const here = JSON.stringify(rehearse(scenario, { seed: SEED, settings }));
    const page = await browser.newPage();
    await page.addScriptTag({ content: await bundled() });
    const there = await page.evaluate(`(() => {
      const settings = rehearsal.rehearsalSettings();
      const { scenario } = rehearsal.checkScenario(${JSON.stringify(SCENARIO)}, settings);
      return JSON.stringify(rehearsal.rehearse(scenario, { seed: ${SEED}, settings }));
    })()`);
    expect(JSON.parse(here).trips.length).toBeGreaterThan(2);
    expect(there).toBe(here);
  });
});
