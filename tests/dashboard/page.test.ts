import { expect, it } from "vitest";
import { REASONS } from "../../shared/contract/reasons.ts";
import { describeWith } from "../system/rig/tools.ts";
import { axeViolations } from "./browser.ts";
import { madeCalibration, measured, standingAlarm, wavyHistory } from "./made-controller.ts";
import { pageInBrowser } from "./page-in-browser.ts";

describeWith(["chromium"], "the page in a real browser", () => {
  const { open, meet, seen, textOf } = pageInBrowser();
  const temperature = '[data-node="temperature"]';
  const salinity = '[data-node="salinity"]';

  it("ledger's belief told: its words, 87 % sure, what would settle it, forecasts; unknown ones not known", async () => {
    const { page, controller } = await open();
    await controller.tell({
      "ledger/belief": "more-evaporation-or-weaker-pump",
      "ledger/sureness": "87",
      "ledger/says": "More water is pumped than expected.",
      "ledger/check": "Run the pump into a jug.",
      "ledger/litres-per-day": "1.93",
      "ledger/litres-per-day-uncertainty": "0.24",
      "ledger/reservoir-days": "3.1",
      "ledger/reservoir-days-earliest": "2.6",
      "ledger/reservoir-days-latest": "3.9",
    });
    await page.getByText("more evaporation, or a weaker pump").waitFor();
    const shown = await textOf(page, '[data-machine="ledger"]');
    expect(shown).toContain("More water is pumped than expected. 87 % sure.");
    expect(shown).toContain("To settle it: Run the pump into a jug.");
    expect(shown).toMatch(/fresh water a day 1\.9 ± 0\.3 L/);
    expect(shown).toMatch(/reservoir lasts 2\.6 to 3\.9 days/);
    expect(shown).toMatch(/flow of the pump not known/);
    expect(shown).not.toContain("salinity leaves its band");
  });

  it("salinity uncertain: says why; temperature bad: last value in another colour, its age and why", async () => {
    const { page, controller } = await open();
    const nowMs = controller.nowMs();
    await controller.tell({
      ...measured("salinity", nowMs, "33.24", "1.1", "uncertain", "stands in bubbles"),
      ...measured("temperature", nowMs - 720_000, "", "", "bad", "does not answer", "24.63"),
    });
    await page.locator(`${temperature}[data-quality="bad"]`).waitFor();
    expect(await textOf(page, salinity)).toMatch(/33\.2 ± 1\.1 uncertain: the probe stands in bubbles; measured/);
    expect(await textOf(page, temperature)).toMatch(
      /last value 24\.6 °C cannot be trusted: a thermometer does not answer; last value measured 12 min ago/,
    );
    const colourOf = (selector: string) =>
      page.evaluate(`getComputedStyle(document.querySelector('${selector} .number')).color`);
    expect(await colourOf(temperature)).not.toBe(await colourOf(salinity));
  });

  it("temperature measured an hour ago, called good: shown as was good", async () => {
    const { page, controller } = await open();
    await controller.tell(measured("temperature", controller.nowMs() - 3_600_000, "25.0", "0.2"));
    await page.locator(`${temperature}[data-old="true"]`).waitFor();
    expect(await textOf(page, temperature)).toMatch(/was 25\.0 .* was good, measured 60 min ago/);
  });

  it("alarm state empty: said nothing about 1 of 3 alarms", async () => {
    const { page, controller } = await open();
    await page.getByText("No alarm stands.").waitFor();
    await controller.tell({ "alarm-salinity-low/state": "" });
    await page.getByText("The controller has said nothing yet about 1 of its 3 alarms.").waitFor();
  });

  it("two alarms acknowledged at once; lock cleared by its number where clearable, refusal shown; finding too", async () => {
    const { page, controller } = await open();
    await controller.tell({
      ...standingAlarm("water-over-high-mark", controller.nowMs()),
      ...standingAlarm("reservoir-empty", controller.nowMs()),
      "top-off/latch": REASONS["high-float-wet"],
      "top-off/latch-number": "3",
      "top-off/clearable": "false",
    });
    await page.getByRole("button", { name: "Acknowledge all 2 alarms" }).click();
    const latch = page.locator('.latch[data-machine="top-off"]');
    expect(await seen(latch)).toContain(REASONS["high-float-wet"]);
    expect(await seen(latch)).toContain("cannot be cleared yet");
    expect(await latch.getByRole("button").count()).toBe(0);
    await controller.tell({ "top-off/clearable": "true" });
    controller.answerWith(() => ({ accepted: false, why: "This lock is cleared at the tank." }));
    await latch.getByRole("button", { name: "clear lock 3 of top-off" }).click();
    await page.getByText("✕ Refused. This lock is cleared at the tank.").waitFor();
    expect(controller.requests.map(({ kind, body: { id: _id, ...rest } }) => ({ kind, ...rest }))).toEqual([
      { kind: "acknowledge", alarm: "all" },
      { kind: "clear", machine: "top-off", occurrence: 3 },
    ]);
    await controller.tell({
      "heat/state": "cautious",
      "heat/latch": REASONS["heater-no-effect"],
      "heat/latch-number": "4",
      "heat/clearable": "true",
    });
    await page.getByText("Heat is careful until a person clears it").waitFor();
    await page.getByRole("button", { name: "clear finding 4 of heat" }).click();
    await expect.poll(() => controller.requests.length).toBe(3);
    expect(controller.requests[2]?.body).toMatchObject({ machine: "heat", occurrence: 4 });
  });

  it("salinity 350: not sent; 35,1: sent; refill refused: shown; reservoir's salinity and cartridge: sent", async () => {
    const { page, controller } = await open();
    const salinityField = page.getByLabel("Salinity measured by hand");
    await salinityField.fill("350");
    await page.getByRole("button", { name: "Enter salinity" }).click();
    await page.getByText("Not sent: “350” does not fit. Give practical salinity, 0 to 42.").waitFor();
    await salinityField.fill("35,1");
    await salinityField.press("Enter");
    await page.locator(".entries").getByText("✓ Done. It is so.").waitFor();
    expect(await salinityField.inputValue()).toBe("");
    controller.answerWith(() => ({ accepted: false, why: "The reservoir does not hold that much." }));
    await page.getByLabel("Litres put into the reservoir").fill("8");
    await page.getByRole("button", { name: "Enter litres" }).click();
    await page.getByText("✕ Refused. The reservoir does not hold that much.").waitFor();
    await page.getByLabel("Salinity of the reservoir").fill("0");
    await page.getByRole("button", { name: "Enter its salinity" }).click();
    await page.getByRole("button", { name: "Cartridge was changed" }).click();
    await expect.poll(() => controller.requests.length).toBe(4);
    expect(controller.requests).toMatchObject([
      { kind: "hand-test", body: { salinity: 35.1 } },
      { kind: "refill", body: { litres: 8 } },
      { kind: "reservoir-test", body: { salinity: 0 } },
      { kind: "cartridge-changed", body: {} },
    ]);
  });

  it("hold that nobody answers: may or may not have been carried out", async () => {
    const { page, controller } = await open();
    controller.answerWith(() => null);
    await page.getByRole("button", { name: "Hold for 30 minutes" }).click();
    await page.getByText("? No answer. It may or may not have been carried out").waitFor();
  });

  it("rehearsal at speed 60: mark, title, drawing; mark stays on top when scrolled, clock goes on", async () => {
    const { page, controller } = await open({ water: "rehearsal", speed: 60 });
    const mark = page.locator(".rehearsal");
    expect(await seen(mark)).toMatch(/Rehearsal: simulated water, time ×60\s+simulated clock \d/);
    expect(await page.title()).toBe("Rehearsal: Living room");
    expect(await page.locator(".drawing .simulated").count()).toBe(1);
    const clockMs = Math.abs(Date.now() - controller.nowMs());
    await page.evaluate("scrollTo(0, document.body.scrollHeight)");
    await expect.poll(() => page.evaluate("scrollY > 500")).toBe(true);
    expect((await mark.boundingBox())?.y).toBe(0);
    await expect.poll(() => Math.abs(Date.now() - controller.nowMs())).toBeGreaterThan(clockMs);
  });

  it("controller tells of a rehearsal later: marked", async () => {
    const { page, controller } = await open();
    expect(await page.locator(".rehearsal").count()).toBe(0);
    await controller.tell({ "box/water": "rehearsal" });
    await page.locator(".rehearsal").waitFor();
  });

  it("parts wet, unknown, on, empty: drawn and worded so; level unknown: no water drawn", async () => {
    const { page, controller } = await open();
    const drawing = page.locator("svg.drawing");
    expect(await drawing.getAttribute("aria-label")).toContain("High float: dry. ");
    expect(await page.locator(".drawing .flow").count()).toBe(0);
    expect(await page.locator(".drawing .interval").count()).toBe(1);
    await controller.tell({
      "high-float/position": "wet",
      "working-float/position": "unknown",
      "working-float/doubt": "has stopped reporting",
      "low-float/position": "not-fitted",
      "floor-sensor/position": "wet",
      "reservoir-float/position": "empty",
      "heater-1/on": "true",
      "top-off-pump/on": "true",
      "water-guard/closed": "true",
      "level/state": "unknown",
    });
    await page.locator(".parts").getByText("wet: water on the floor").waitFor();
    const words = await drawing.getAttribute("aria-label");
    for (const part of [
      "High float: wet: the water is too high.",
      "Working float: unknown (it has stopped reporting).",
      "Heater: on.",
      "Top-off pump: pouring; its tube ends in air above the water.",
      "Water guard: closed: the pump may run.",
      "Reservoir: empty by its float; about 2.9 L left by the ledger.",
    ])
      expect(words).toContain(part);
    expect(words).not.toContain("Low float");
    expect(await drawing.locator("text").allTextContents()).toEqual(
      expect.arrayContaining(["wet!", "?", "heater on", "empty!", "water on the floor!", "level ?"]),
    );
    // An unknown level is not drawn as water at some height.
    expect(await page.locator(".drawing .interval, .drawing .estimate").count()).toBe(0);
    expect(await page.locator(".drawing .flow").count()).toBe(2);
  });

  it("high float's mark at 60 mm, then 40: drawn higher, then back", async () => {
    const { page, controller } = await open();
    const float = page.locator(".drawing .float").first().locator("text");
    const heightOf = async () => Number(await float.getAttribute("y"));
    const before = await heightOf();
    const { inForce } = JSON.parse(madeCalibration()["calibration/status"] as string);
    const at = (value: number) =>
      madeCalibration({ inForce: { ...inForce, "high-float-mm": { ...inForce["high-float-mm"], value } } });
    await controller.tell(at(60));
    await expect.poll(heightOf).toBeLessThan(before - 10);
    await controller.tell(at(40));
    await expect.poll(heightOf).toBe(before);
  });

  it("less motion asked for: flow not animated; otherwise animated", async () => {
    const { page, controller } = await open({}, { reducedMotion: "reduce" });
    await controller.tell({ "top-off-pump/on": "true" });
    await page.locator(".drawing .flow").first().waitFor({ state: "attached" });
    const animation = "getComputedStyle(document.querySelector('.drawing .flow')).animationName";
    expect(await page.evaluate(animation)).toBe("none");
    await page.emulateMedia({ reducedMotion: "no-preference" });
    expect(await page.evaluate(animation)).toBe("flow");
  });

  it("record with a gap: more than 300 points, one break; live value goes on; an hour: no break", async () => {
    const { page, controller } = await open();
    const place = page.locator('.chart-place[data-channel="temperature"]');
    await expect.poll(async () => Number(await place.getAttribute("data-points"))).toBeGreaterThan(300);
    const summary = page.locator(".summary");
    expect(await seen(summary)).toMatch(/highest 25\.4 35\.1 breaks 1 1/);
    await controller.tell(measured("temperature", controller.nowMs(), "27.5", "0.2"));
    await summary.getByText("27.5").first().waitFor();
    await page.getByRole("radio", { name: "1 hour" }).check();
    await expect.poll(() => seen(summary)).toMatch(/breaks none none/);
    const isInked = `(() => {
      const canvas = document.querySelector('.chart-place[data-channel="temperature"] canvas');
      const pixels = canvas.getContext("2d").getImageData(0, 0, canvas.width, canvas.height).data;
      return pixels.some((value) => value > 0);
    })()`;
    expect(await page.evaluate(isInked)).toBe(true);
  });

  it("no record: told, live values drawn", async () => {
    const { page, controller } = await open({ history: () => null });
    await page.getByText("The record could not be read").waitFor();
    await controller.tell(measured("temperature", controller.nowMs(), "24.4", "0.2"));
    await page.locator(".summary").getByText("24.4").first().waitFor();
  });

  it("record with columns of different length: told as not readable", async () => {
    const { page } = await open({
      history: (channels, fromMs, toMs, buckets) => {
        const answer = wavyHistory(channels, fromMs, toMs, buckets);
        return { ...answer, atMs: answer.atMs.slice(1) };
      },
    });
    await page.getByText("The record could not be read").waitFor();
  });

  it("connection lost: all as last told, hold not sent; back: fresh, nothing sent late", async () => {
    const { page, controller } = await open();
    controller.setReachable(false);
    await page.getByText(/No word from the controller since \d\d:\d\d/).waitFor();
    expect(await textOf(page, ".silence")).toContain("Everything below is old");
    expect(await textOf(page, temperature)).toMatch(/was 25\.0 ± 0\.3 °C was good, measured at \d\d:\d\d/);
    expect(await textOf(page, ".sentence")).toMatch(/^Last word: All is well/);
    expect(await page.locator(".tank").getAttribute("data-old")).toBe("true");
    expect(await page.locator("svg.drawing").getAttribute("aria-label")).toMatch(/^As last told\. /);
    await page.getByRole("button", { name: "Hold for 30 minutes" }).click();
    await page.getByText("✕ Not sent: there is no connection to the controller.").waitFor();
    controller.setReachable(true);
    await page.locator('[data-fresh="true"]').waitFor();
    expect(await page.locator(".silence").count()).toBe(0);
    // What was pressed while nobody listened must not be carried out now.
    expect(controller.requests).toEqual([]);
  });

  it("connection open, nothing said, or $state lost: no word from the controller", async () => {
    const { page, controller } = await open();
    controller.setSpeaking(false);
    await page.getByText(/No word from the controller since/).waitFor();
    controller.setSpeaking(true);
    await page.locator('[data-fresh="true"]').waitFor();
    await controller.tellRaw("homie/5/living-room/$state", "lost");
    await page.getByText(/No word from the controller since/).waitFor();
  });

  it("retained values only: not fresh, no word from the controller", async () => {
    const { page, controller } = await meet();
    controller.setSpeaking(false);
    await page.goto(controller.address);
    await page.getByText("All is well").waitFor();
    expect(await page.locator(".page").getAttribute("data-fresh")).toBe("false");
    expect(await textOf(page, ".silence")).toMatch(/No word from the controller since/);
    expect(await textOf(page, temperature)).toContain("was good");
  });

  it("tank answer that cannot be read: told; readable: fresh", async () => {
    const { page, controller } = await meet();
    let isBroken = true;
    await page.route("**/api/v1/tank", (route) =>
      isBroken ? route.fulfill({ status: 200, body: '{"version":1,"tank":"<b>"}' }) : route.continue(),
    );
    await page.goto(controller.address);
    await page.getByText("The controller does not answer.").waitFor();
    isBroken = false;
    await page.locator('[data-fresh="true"]').waitFor();
  });

  it("malformed payloads: unknown, text only as text, no script; good ones after them shown", async () => {
    const { page, controller, faults } = await open();
    await controller.tell({
      "temperature/value": "NaN",
      "temperature/last-value": "hot",
      "salinity/quality": "excellent",
      "level/state": "<img src=x onerror=alert(1)>",
      "box/sentence": "<img src=x onerror=alert(1)>",
      "working-float/position": "__proto__",
      "high-float/position": "constructor",
      "heater-1/on": "yes",
      "top-off/state": "toString",
      "top-off/why": "constructor",
      "heat/why": "__proto__,hasOwnProperty",
      "hold/until": "tomorrow",
      "hold/active": "true",
      "alarm-salinity-low/state": "on fire",
      "request/outcome": "{",
    });
    await controller.tellRaw("homie/5/living-room/room/value", Buffer.from([0xff, 0xfe, 0x00, 0x80]));
    await controller.tellRaw("homie/5/living-room/box/clock", "half past nine");
    await controller.tellRaw("homie/5/living-room/scan/stopped", "x".repeat(100_000));
    await page.locator(`${temperature}[data-quality="unknown"]`).waitFor();
    await page.locator('[data-alarm="salinity-low"]').waitFor();
    expect(await textOf(page, temperature)).toMatch(/unknown/);
    expect(await textOf(page, salinity)).toMatch(/unknown/);
    expect(await textOf(page, '[data-node="level"]')).toMatch(/unknown/);
    expect(await textOf(page, ".sentence")).toBe("<img src=x onerror=alert(1)>");
    expect(await page.locator("img").count()).toBe(0);
    expect(await page.locator("svg.drawing").getAttribute("aria-label")).toContain("Working float: unknown");
    expect(await textOf(page, ".countdown")).toBe("Holding; its end is not known.");
    expect(await page.locator(".scan-stopped").count()).toBe(0);
    await controller.tell(measured("temperature", controller.nowMs(), "25.4", "0.2"));
    await page.locator(temperature).getByText("25.4").waitFor();
    expect(faults).toEqual([]);
  });

  it("topics named like object members, foreign ones, 300 made-up alarms: ignored, page whole", async () => {
    const { page, controller, faults } = await open();
    for (const topic of [
      "__proto__/value",
      "constructor/prototype",
      "temperature/__proto__",
      "temperature/constructor",
      "toString/valueOf",
      "alarm-__proto__/state",
      "alarm-x/__proto__",
      "temperature/value/extra",
      "$description",
      "hasOwnProperty",
    ])
      await controller.tellRaw(`homie/5/living-room/${topic}`, "unacknowledged");
    await controller.tellRaw("homie/5/kitchen/box/sentence", "Somebody else's tank.");
    for (let n = 0; n < 300; n += 1)
      await controller.tellRaw(`homie/5/living-room/alarm-made-up-${n}/state`, "normal", false);
    await controller.tell({ "box/sentence": "Still here." });
    await page.getByText("Still here.").waitFor();
    expect(await page.evaluate("[({}).value, ({}).state, ({}).unacknowledged].every((it) => it === undefined)")).toBe(
      true,
    );
    expect(await page.locator(".alarm").count()).toBe(0);
    expect(faults).toEqual([]);
  });

  const troubled = (nowMs: number): Record<string, string> => ({
    "box/sentence": "Water stands over the high mark: pouring is locked until you have looked.",
    ...standingAlarm("water-over-high-mark", nowMs - 600_000),
    ...standingAlarm("salinity-low", nowMs - 3_600_000, "returned"),
    ...standingAlarm("reservoir-empty", nowMs - 7_200_000, "acknowledged"),
    ...measured("temperature", nowMs - 720_000, "", "", "bad", "does not answer", "24.6"),
    ...measured("salinity", nowMs, "33.2", "1.1", "uncertain", "stands in bubbles"),
    "high-float/position": "wet",
    "floor-sensor/position": "wet",
    "working-float/position": "unknown",
    "level/state": "high",
    "level/from-mm": "40",
    "level/to-mm": "",
    "level/estimate-mm": "",
    "top-off/state": "locked",
    "top-off/why": REASONS["high-float-wet"],
    "top-off/blockers": `${REASONS["high-float-wet"]} ${REASONS["floor-wet"]}`,
    "top-off/latch": REASONS["high-float-wet"],
    "top-off/latch-number": "3",
    "top-off/clearable": "true",
    "hold/question": "true",
    "scan/stopped": "A rule of our own was broken.",
  });

  it.each([
    ["light", "calm"],
    ["dark", "calm"],
    ["light", "troubled"],
    ["dark", "troubled"],
    ["light", "gone"],
    ["dark", "gone"],
  ] as const)("%s, %s, 320 px: no axe violation, no sideways scroll", async (colorScheme, mood) => {
    const { page, controller } = await open(
      { water: mood === "calm" ? "real" : "rehearsal", speed: 60 },
      { colorScheme, viewport: { width: 320, height: 700 } },
    );
    if (mood !== "calm") {
      await controller.tell(troubled(controller.nowMs()));
      await page.locator('[data-alarm="water-over-high-mark"]').waitFor();
      await page.getByRole("button", { name: "Enter salinity" }).click();
      for (const summary of await page.locator("summary").all()) await summary.click();
    }
    if (mood === "gone") {
      controller.setReachable(false);
      await page.locator('[data-fresh="false"]').waitFor();
    }
    expect(await page.evaluate("document.documentElement.scrollWidth")).toBe(320);
    const violations = await axeViolations(page);
    expect(violations.map(({ id, nodes }) => [id, nodes.map(({ html }) => html)])).toEqual([]);
  });
});
