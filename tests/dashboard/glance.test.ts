import { expect, it } from "vitest";
import { REASONS } from "../../shared/contract/reasons.ts";
import { describeWith } from "../system/rig/tools.ts";
import { tabTo } from "./browser.ts";
import { measured, standingAlarm } from "./made-controller.ts";
import { pageInBrowser } from "./page-in-browser.ts";

describeWith(["chromium"], "the page at a glance, in a real browser", () => {
  const { open, textOf } = pageInBrowser();
  const temperature = '[data-node="temperature"]';
  const salinity = '[data-node="salinity"]';

  it("healthy box: values with doubt, quality and age, level as an interval, no alarm, no mark of a rehearsal", async () => {
    const { page, controller, faults } = await open();
    await page.getByText("All is well").waitFor();
    await controller.tell(measured("temperature", controller.nowMs() - 40_000, "25.02", "0.21"));
    await page
      .locator(temperature)
      .getByText(/measured 4\d s ago/)
      .waitFor();
    expect(await textOf(page, temperature)).toMatch(/25\.0 ± 0\.3 °C good, measured/);
    expect(await textOf(page, salinity)).toMatch(/34\.8 ± 0\.9 good/);
    expect(await textOf(page, salinity)).toContain("specific gravity 1.0264 ± 0.0007 (25/25 °C)");
    expect(await textOf(page, '[data-node="level"]')).toContain(
      "between the mark and 40 mm above it; by the ledger at about 6 mm above it",
    );
    expect(await textOf(page, ".alarms")).toContain("No alarm stands.");
    expect(await textOf(page, '[data-machine="top-off"]')).toContain(REASONS["water-at-mark"]);
    expect(await textOf(page, '[data-machine="top-off"]')).toContain("poured in 24 h 0.80 L");
    expect(await textOf(page, ".foot")).toContain("Mains and salt water kill");
    expect(await page.locator(".rehearsal").count()).toBe(0);
    expect(faults).toEqual([]);
  });

  it("alarm: high first with what to do; acknowledged by keyboard: answered, its button gone; over: removed", async () => {
    const { page, controller } = await open();
    const sinceMs = controller.nowMs() - 600_000;
    await controller.tell({
      ...standingAlarm("water-over-high-mark", sinceMs),
      ...standingAlarm("salinity-low", sinceMs, "acknowledged"),
    });
    const alarm = page.locator('[data-alarm="water-over-high-mark"]');
    await alarm.waitFor();
    expect(await textOf(page, '[data-alarm="water-over-high-mark"]')).toMatch(
      /High priority not acknowledged came first Water over the high mark since .*\(10 min ago\) The water may run over the rim\. What to do now: Look at the last chamber and lift the tube out of the tank\./,
    );
    expect(await page.locator(".alarm h3").allTextContents()).toEqual(["Water over the high mark", "Salinity is low"]);
    await tabTo(page, 'element.textContent.startsWith("Acknowledge")');
    await page.keyboard.press("Enter");
    await page.getByText("✓ Done. It is so.").waitFor();
    expect(controller.requests).toEqual([
      { kind: "acknowledge", body: { id: expect.stringMatching(/^[0-9a-f]{24}$/), alarm: "water-over-high-mark" } },
    ]);
    await controller.tell({ "alarm-water-over-high-mark/state": "acknowledged" });
    await alarm.getByText("acknowledged, still standing").waitFor();
    expect(await alarm.getByRole("button").count()).toBe(0);
    await controller.tell({ "alarm-water-over-high-mark/state": "normal" });
    await alarm.waitFor({ state: "detached" });
  });

  it("hold of 60 min by keyboard: counts down, focus kept, ended, its question answered either way", async () => {
    const { page, controller } = await open();
    await tabTo(page, 'element.name === "hold-minutes"');
    await page.keyboard.press("ArrowRight");
    await tabTo(page, 'element.textContent === "Hold for 60 minutes"');
    await page.keyboard.press("Enter");
    await page.locator(".hands").getByText("✓ Done. It is so.").waitFor();
    expect(controller.requests).toMatchObject([{ kind: "hold", body: { minutes: 60 } }]);

    const untilMs = controller.nowMs() + 3_600_000;
    await controller.tell({
      "hold/active": "true",
      "hold/with-heat": "false",
      "hold/until": new Date(untilMs).toISOString(),
    });
    await page
      .locator(".countdown")
      .getByText(/^(59 min \d\d s|1 h 00 min) left$/)
      .waitFor();
    expect(await textOf(page, ".hold-running")).toContain("The heater goes on: unplug it before hands go in.");
    // The button that had the focus is gone; the focus must not be lost with it.
    await expect.poll(() => page.evaluate("document.activeElement.className")).toContain("answer");
    await page.getByRole("button", { name: "End the hold now" }).click();
    await controller.tell({ "hold/active": "false", "hold/until": "", "hold/question": "true" });
    await page.getByRole("group", { name: "The hold is over and the water is low. Why?" }).waitFor();
    await page.getByRole("button", { name: "Salt water added" }).click();
    await expect.poll(() => controller.requests.length).toBe(3);
    await page.getByRole("button", { name: "It is evaporation" }).click();
    await expect
      .poll(() => controller.requests.slice(1))
      .toMatchObject([
        { kind: "end-hold", body: {} },
        { kind: "end-hold", body: { answer: "salt-water-added" } },
        { kind: "end-hold", body: { answer: "evaporation" } },
      ]);
  });
});
