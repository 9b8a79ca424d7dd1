import type { BrowserContextOptions } from "playwright-core";
import { expect, it } from "vitest";
import { PROOF_PARTS } from "../../shared/contract/proving.ts";
import { describeWith } from "../system/rig/tools.ts";
import { axeViolations, gzipSizes, tabTo } from "./browser.ts";
import { type MadeController, madeCalibration, madeProving } from "./made-controller.ts";
import { pageInBrowser } from "./page-in-browser.ts";

describeWith(["chromium"], "proofs and calibrations in a real browser", () => {
  const { open, siteFolder, textOf } = pageInBrowser();

  async function opened(told: Readonly<Record<string, string>>, options: BrowserContextOptions = {}) {
    const all = await open({}, options);
    await all.controller.tell(told);
    await all.page.getByRole("button", { name: "Show every part" }).click();
    await all.page.locator(".proofs").waitFor();
    return all;
  }

  const card = (part: string) => `.proof[data-part="${part}"]`;
  const asked = (controller: MadeController) =>
    controller.requests.map(({ kind, body: { id: _id, ...rest } }) => ({ kind, ...rest }));
  const HALF_HOUR = { atTankLeftMs: 1_800_000 };

  it("not asked for: not fetched, first view at most 130 kB gzip; asked for: fetched", async () => {
    const { page, fetched } = await open();
    await page.getByText("Every part is proven, and none is due.").waitFor();
    await expect.poll(() => fetched.some((path) => path.includes("chart"))).toBe(true);
    const sizes = await gzipSizes(siteFolder());
    const firstView = sizes.filter(({ name }) => name.endsWith(".html") || fetched.includes(`/${name}`));
    const total = firstView.reduce((sum, { bytes }) => sum + bytes, 0);
    console.log(`first view: ${(total / 1000).toFixed(1)} kB gzip of 130`);
    expect(firstView.some(({ name }) => name.includes("mqtt"))).toBe(true);
    expect(firstView.some(({ name }) => name.includes("proving"))).toBe(false);
    expect(total).toBeLessThanOrEqual(130_000);
    await page.getByRole("button", { name: "Show every part" }).click();
    await page.locator(".proofs").waitFor();
    expect(fetched.some((path) => path.includes("proving"))).toBe(true);
  });

  it("each part: standing, age, person, reading; not fitted: no card; fallen: why", async () => {
    const { page, faults } = await opened(
      madeProving(
        {
          "low-float": { standing: "not-fitted" },
          "high-float": { standing: "never", ageMs: null, by: null },
          "heat-guard": { standing: "fallen", ageMs: null },
          siphon: { standing: "overdue" },
        },
        { next: "high-float", fallen: [{ part: "heat-guard", why: "Its settings have changed." }] },
      ),
    );
    await page.getByText("To be proven next: high float.").waitFor();
    expect(await textOf(page, card("top-off-pump"))).toBe("top-off pump proven 12 days ago by Kim, 25.3 mL/s");
    expect(await textOf(page, card("high-float"))).toBe("high float never proven");
    expect(await textOf(page, card("siphon"))).toMatch(/overdue; proven 12 days ago/);
    expect(await page.locator(card("low-float")).count()).toBe(0);
    expect(await textOf(page, ".fallen")).toBe("heat guard: Its settings have changed.");
    await page.locator(`${card("heat-guard")} summary`).click();
    expect(await textOf(page, card("heat-guard"))).toMatch(
      /The heater stays off until this is proven\..*Mains and salt/,
    );
    expect(faults).toEqual([]);
  });

  it("nobody at the tank: no button or field, says where it is done", async () => {
    const { page } = await opened(madeProving({ "top-off-pump": { ready: true } }));
    await page.getByText("Proving is done at the tank.").waitFor();
    await page.locator(`${card("top-off-pump")} summary`).click();
    expect(await textOf(page, card("top-off-pump"))).toContain("To be done at the tank.");
    expect(await page.locator(".proving-sheet button, .proving-sheet input").count()).toBe(0);
    expect(await textOf(page, ".calibration")).toContain("Calibrating is done at the tank.");
  });

  it("4 of 5 s, 29 of 30 s: not sent; 5 s: sent", async () => {
    const { page, controller } = await opened(madeProving({ siphon: { standing: "never" } }, HALF_HOUR));
    await page.locator(`${card("water-guard")} summary`).click();
    await page.getByLabel("Seconds, 5 to 10").fill("4");
    await page.getByRole("button", { name: "Give 5 to 10 seconds" }).click();
    await page.locator(`${card("siphon")} summary`).click();
    await page.getByLabel("Seconds, 30").fill("29");
    await page.getByRole("button", { name: "Give 30 seconds" }).click();
    expect(controller.requests).toEqual([]);
    await page.getByLabel("Seconds, 5 to 10").fill("5");
    await page.getByRole("button", { name: /^Begin: .*, 5 s$/ }).click();
    await expect.poll(() => asked(controller)).toEqual([{ kind: "prove", part: "water-guard", seconds: 5 }]);
  });

  it("pump by keyboard: 99 s not sent, 12 sent, shown live, stopped; jug of 30x not sent, 303,5 sent", async () => {
    const { page, controller } = await opened(
      madeProving({ "top-off-pump": { standing: "never", next: "Into a jug." } }, HALF_HOUR),
    );
    await page.getByText(/Somebody stands at the tank/).waitFor();
    await page.getByLabel("Your name or initials").fill("Kim");
    await page.locator(`${card("top-off-pump")} summary`).focus();
    await page.keyboard.press("Enter");
    await tabTo(page, 'element.id === "seconds-top-off-pump"');
    await page.keyboard.press("ControlOrMeta+a");
    await page.keyboard.type("99");
    await page.getByRole("button", { name: "Give 1 to 30 seconds" }).click();
    await page.keyboard.press("Shift+Tab");
    await page.keyboard.press("ControlOrMeta+a");
    await page.keyboard.type("12");
    await page.keyboard.press("Enter");
    await expect.poll(() => asked(controller)).toEqual([{ kind: "prove", part: "top-off-pump", seconds: 12 }]);
    await controller.tell({
      ...madeProving(
        {},
        { ...HALF_HOUR, run: { part: "top-off-pump", phase: "running", leftMs: 12_000 }, lastRun: null },
      ),
      "top-off-pump/on": "true",
    });
    const run = '.run-under-way[data-part="top-off-pump"]';
    await page
      .locator(run)
      .getByText(/^1?\d s left$/)
      .waitFor();
    expect(await textOf(page, run)).toMatch(/Running: top-off pump .* pump relay on high float dry floor dry/);
    expect(await page.getByRole("button", { name: /^Begin/ }).count()).toBe(0);
    await page.getByRole("button", { name: "Stop it now" }).click();
    await controller.tell(
      madeProving(
        { "top-off-pump": { ready: true, next: "Read the jug." } },
        { ...HALF_HOUR, lastRun: { part: "top-off-pump", ending: "done", why: "Read the jug." } },
      ),
    );
    const jug = page.getByLabel("Millilitres in the jug");
    await jug.fill("30x");
    await page.getByRole("button", { name: "Give millilitres" }).click();
    await jug.fill("303,5");
    await jug.press("Enter");
    await expect
      .poll(() => asked(controller).slice(1))
      .toEqual([{ kind: "end-run" }, { kind: "proven", part: "top-off-pump", by: "Kim", ml: 303.5 }]);
  });

  it("run told once with 90 s left: counts down", async () => {
    const { page } = await opened(
      madeProving({}, { run: { part: "pump-off-level", phase: "watching", leftMs: 90_000 }, ...HALF_HOUR }),
    );
    const left = page.locator(".run-under-way .countdown");
    await left.getByText(/^1 min (30|29) s left$/).waitFor();
    await left.getByText(/^1 min 2[5-8] s left$/).waitFor();
    expect(await textOf(page, ".run-under-way")).toMatch(/Watching: level with the return pump off/);
  });

  it("siphon backward, heater dark, float, level of 62 mm: each sent as proven with what was seen", async () => {
    const { page, controller } = await opened(
      madeProving(
        Object.fromEntries(
          ["siphon", "heat-guard", "high-float", "pump-off-level"].map((part) => [part, { ready: true }]),
        ),
        HALF_HOUR,
      ),
    );
    for (const part of ["siphon", "heat-guard", "high-float", "pump-off-level"])
      await page.locator(`${card(part)} summary`).click();
    await page.getByLabel("Millilitres that ran after the stop").fill("0");
    await page.getByLabel("water ran back towards the reservoir").check();
    await page.getByRole("button", { name: "Enter millilitres" }).click();
    await page.getByRole("button", { name: "The heater stayed dark: proven" }).click();
    await page.getByRole("button", { name: "Call it proven: high float" }).click();
    const level = page.getByLabel("Water above the working mark, mm (if measured)");
    await level.fill("high");
    await page.getByRole("button", { name: "Give millimetres" }).click();
    await level.fill("62");
    await level.press("Enter");
    await expect
      .poll(() => asked(controller))
      .toEqual([
        { kind: "proven", part: "siphon", ml: 0, backward: true },
        { kind: "proven", part: "heat-guard" },
        { kind: "proven", part: "high-float" },
        { kind: "proven", part: "pump-off-level", mm: 62 },
      ]);
  });

  const TAKEN = {
    standard: "sea-water-35",
    lot: "P1",
    temperatureC: 25,
    expectedMsPerCm: 53.065,
    readMsPerCm: 52.5,
  } as const;
  const session = (change = {}) => ({
    session: "conductivity" as const,
    by: null,
    leftMs: 1_000_000,
    reads: 52.871,
    temperatureC: 24.93,
    watchedMs: 24_000,
    neededMs: 60_000,
    steady: false,
    dry: true,
    taken: [],
    next: "Wait until it stands still.",
    ...change,
  });

  it("cell calibrated: steps sent in order, reading live, label without value not sent; taken back by number", async () => {
    const { page, controller } = await opened({ ...madeProving({}, HALF_HOUR), ...madeCalibration() });
    await page.getByRole("button", { name: "Calibrate: conductivity cell" }).click();
    await controller.tell(madeCalibration({ session: session({ dry: false, reads: 0.012 }) }));
    await page.getByRole("button", { name: "The cell is clean, dry and in air" }).click();
    await controller.tell(madeCalibration({ session: session() }));
    await page.locator('[data-session="conductivity"]').getByText("52.871 mS/cm").waitFor();
    expect(await textOf(page, '[data-session="conductivity"]')).toMatch(
      /52\.871 mS\/cm at 24\.93 °C, watched for 24 of 60 s\s*Wait until/,
    );
    await page.getByLabel("Standard that the cell hangs in").selectOption("label");
    await page.getByLabel("Lot on the bottle").fill("P1");
    await page.getByRole("button", { name: "Take this standard" }).click();
    await page.getByText("Not sent: a number is missing or cannot be read.").waitFor();
    await page.getByLabel("Value on the label, mS/cm").fill("50");
    await page.getByRole("button", { name: "Take this standard" }).click();
    await controller.tell(madeCalibration({ session: session({ taken: [TAKEN], steady: true }) }));
    await page.getByText("Read 52.500, should be 53.065 mS/cm.").waitFor();
    await page.getByRole("button", { name: "Let it count from now on" }).click();
    const entry = {
      number: 4,
      what: "conductivity" as const,
      before: 1,
      after: 1.0108,
      unit: "",
      ageMs: 60_000,
      by: "Kim",
      lot: "P1",
      temperatureC: 25,
      standards: [TAKEN],
      standing: "in-force" as const,
    };
    await controller.tell(madeCalibration({ entries: [entry] }));
    await page.getByText("Every calibration that is kept (1)").click();
    await page
      .getByText(/4: factor of the conductivity cell 1 → 1\.011, 60 s ago by Kim, lot P1, in force\./)
      .waitFor();
    await page.getByRole("button", { name: "Take back number 4" }).click();
    await expect
      .poll(() => asked(controller))
      .toEqual([
        { kind: "calibrate", step: "begin", session: "conductivity" },
        { kind: "calibrate", step: "dry" },
        {
          kind: "calibrate",
          step: "standard",
          standard: "label",
          lot: "P1",
          labelMsPerCm: 50,
          labelC: 25,
          labelPercentPerK: 2,
        },
        { kind: "calibrate", step: "accept" },
        { kind: "undo-calibration", number: 4 },
      ]);
  });

  it("status that cannot be read: unknown, page whole; readable again: shown", async () => {
    const { page, controller, faults } = await opened(madeProving({}, HALF_HOUR));
    const parts = { "high-float": { standing: "excellent", ageMs: "old", by: 7, next: "<img src=x>", ready: "yes" } };
    await controller.tell({ "proving/status": JSON.stringify({ parts, run: { part: "__proto__" }, fallen: "none" }) });
    await page.locator(`${card("high-float")}[data-standing="unknown"]`).waitFor();
    expect(await page.locator(".proof").count()).toBe(PROOF_PARTS.length);
    for (const text of ["", "[]", "null", "{", '{"parts":[]}', "x".repeat(39_000)]) {
      await controller.tell({ "proving/status": text, "calibration/status": text, "proving/next": "constructor" });
    }
    await page.getByText("Nothing that can be read was said about proofs.").waitFor();
    await page.getByText("Which part is to be proven next is not known.").waitFor();
    await controller.tell({ ...madeProving(), ...madeCalibration() });
    await page.locator(".proofs").waitFor();
    expect(await page.locator("img").count()).toBe(0);
    expect(faults).toEqual([]);
  });

  it("part of the page cannot be loaded: told; loaded at the next try", async () => {
    const { page } = await open();
    await page.route("**/proving-*.js", (route) => route.abort());
    await page.getByRole("button", { name: "Show every part" }).click();
    await page.getByText("This part of the page could not be loaded").waitFor();
    await page.unroute("**/proving-*.js");
    await page.getByRole("button", { name: "Show every part" }).click();
    await page.locator(".proofs").waitFor();
    expect(await page.getByText("This part of the page could not be loaded").count()).toBe(0);
  });

  it.each([
    ["light", 320],
    ["dark", 320],
    ["light", 1280],
    ["dark", 1280],
  ] as const)("%s, %i px: no axe violation, no sideways scroll", async (colorScheme, width) => {
    const { page } = await opened(
      {
        ...madeProving(
          {
            "high-float": { standing: "never", ready: true },
            siphon: { standing: "fallen", ready: true },
            "heater-1": { standing: "overdue" },
            "top-off-pump": { standing: "due", ready: true },
          },
          { ...HALF_HOUR, next: "high-float", fallen: [{ part: "siphon", why: "Its settings have changed." }] },
        ),
        ...madeCalibration({ session: session({ taken: [TAKEN], temperatureC: null }) }),
      },
      { colorScheme, viewport: { width, height: 800 } },
    );
    for (const summary of await page.locator(".proving summary").all()) await summary.click();
    await page.getByLabel("Standard that the cell hangs in").selectOption("label");
    expect(await page.evaluate("document.documentElement.scrollWidth")).toBe(width);
    const violations = await axeViolations(page);
    expect(violations.map(({ id, nodes }) => [id, nodes.map(({ html }) => html)])).toEqual([]);
  });
});
