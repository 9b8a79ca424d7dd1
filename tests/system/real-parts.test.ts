import { execFileSync } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, expect, it, vi } from "vitest";
import { openDurableMemory } from "../../controller/record/index.ts";
import { provenMemory } from "../../controller/scan/memory.ts";
import { loadSettings } from "../../controller/settings/load.ts";
import { openBrowser } from "./rig/browser.ts";
import { EMULATED_BOARD_TOOLS, type EmulatedBoard, startEmulatedBoard } from "./rig/emulated-board.ts";
import { floatWords, MODBUS_SLAVE_TOOLS, type ModbusSlaves, startModbusSlaves } from "./rig/modbus-slave.ts";
import { type Program, startProgram } from "./rig/program.ts";
import { describeWith } from "./rig/tools.ts";

/** On a machine that has much else to do; what is broken fails all the same, only later. */
vi.setConfig({ testTimeout: 400_000, hookTimeout: 200_000 });

/**
 * The settings file of the wiring notes on an emulated board with the real standard firmware and on foreign Modbus
 * slaves, each behind a real tty: the same program as the rehearsal, watched at its pins, its topics and its page.
 * Waits are a hundredth of what they are above water.
 */
const PINS = { working: 2, high: 16, reservoir: 4, floor: 5, pump: 8, waterGuard: 9, heater: 10, heatGuard: 11 };
const EXAMPLE = new URL("../../wiring-notes/settings-example.json", import.meta.url).pathname;

describeWith([...EMULATED_BOARD_TOOLS, ...MODBUS_SLAVE_TOOLS, "chromium"], "the controller on real parts", () => {
  let board: EmulatedBoard;
  let slaves: ModbusSlaves;
  let browser: Browser;
  let page: Page;
  let program: Program;
  const folder = mkdtempSync(join(tmpdir(), "evenbrine-system-"));
  const settingsFile = join(folder, "settings.json");
  const run = () => startProgram("living-room", settingsFile, "--data", folder);
  const water = async (mSPerCm: number, celsius: number) => {
    await slaves.set(1, "input", 0, floatWords(mSPerCm));
    await slaves.set(1, "input", 2, floatWords(celsius));
    for (const slave of [2, 3]) await slaves.set(slave, "input", 0, [Math.round(celsius * 100)]);
  };

  beforeAll(async () => {
    execFileSync(process.execPath, [new URL("../../controller/cli/build-dashboard.mjs", import.meta.url).pathname]);
    // Full, dry, with water in the reservoir and none on the floor.
    board = await startEmulatedBoard({ closed: [PINS.high, PINS.reservoir, PINS.floor] });
    slaves = await startModbusSlaves(1, 2, 3);
    await water(53.071, 25);
    const settings = JSON.parse(readFileSync(EXAMPLE, "utf8"));
    settings.boards.io.port = board.path;
    settings.boards.line.port = slaves.path;
    settings.boards.line.pollMs = 250;
    // A machine that has much else to do lets foreign slaves wait too.
    settings.boards.line.timeoutMs = 1000;
    settings.bench = { waitsDividedBy: 100, shorterWaitsAccepted: "an emulated board: nothing hangs on its pins" };
    writeFileSync(settingsFile, JSON.stringify(settings));
    browser = await openBrowser();
    page = await browser.newPage();
  });

  afterAll(async () => {
    await program?.end("SIGKILL");
    await browser?.close();
    await board?.stop();
    await slaves?.stop();
    rmSync(folder, { recursive: true, force: true });
  });

  const pageSays = (text: string | RegExp) =>
    page.getByText(text).filter({ visible: true }).first().waitFor({ timeout: 60_000 });

  it("new box: outputs stay when the computer dies, locked until cleared, no credit; heater proven by its run", async () => {
    program = await run();
    await page.goto(program.address);
    await program.untilLine(/outputs stay as they are when this computer dies/);
    await program.untilTopic("scan/board", "ready");
    await program.untilTopic("top-off/state", "locked");
    await pageSays(/nothing is known of litres poured before/i);
    await program.untilTopic("top-off/latch-number", /^[0-9]+$/);
    program.type(`clear top-off ${program.topic("top-off/latch-number")}`);
    await program.untilTopic("top-off/state", "resting");
    // Without a memory there is no credit: the first litres of a new box take hours to be earned.
    expect(Number(program.topic("top-off/budget-left"))).toBeLessThan(0.01);
    // Nor does a part run that nobody has seen to work, save for the moment in which it is proven.
    await program.untilTopic("heat/why", /not been seen to work/);
    program.type("prove heater-1 5");
    await board.until(PINS.heater, "high");
    await board.until(PINS.heater, "low");
    program.type("proven heater-1");
    await program.untilTopic("proofs/heater-1", "0.0");
    await program.end("SIGINT");
  });

  it("proven memory on disk: bucket of 3 L", async () => {
    const settings = await loadSettings(settingsFile);
    const memory = await openDurableMemory(join(folder, "living-room"));
    const { sequence } = memory.read();
    memory.write({ ...provenMemory(settings).durable, sequence: sequence + 1 }, sequence + 1);
    await memory.close();
    program = await run();
    await page.goto(program.address);
    await program.untilTopic("top-off/budget-left", "3.000");
  });

  it("53.071 mS/cm at 25 °C: salinity 35.00 on topic and page", async () => {
    // PSS-78: 53.071 mS/cm at 25 °C (ITS-90) is salinity 35 (UNESCO 44, by the reference library's table).
    await program.untilTopic("salinity/value", "35.00");
    await program.untilTopic("temperature/value", "25.00");
    await pageSays("35.0");
  });

  it("working float low: guard, then pump on; full: both off", async () => {
    await program.untilTopic("top-off/blockers", "");
    await board.contact(PINS.working, "closed");
    await board.until(PINS.pump, "high");
    expect(board.level(PINS.waterGuard)).toBe("high");
    expect(board.edges(PINS.waterGuard).at(-1)?.atNs).toBeLessThanOrEqual(
      board.edges(PINS.pump).at(-1)?.atNs as bigint,
    );
    await program.untilTopic("top-off/state", "pouring");
    await board.contact(PINS.working, "open");
    await board.until(PINS.pump, "low");
    await board.until(PINS.waterGuard, "low");
    await program.untilTopic("top-off-pump/on", "false");
  });

  it("reservoir empty in a pour: pump off with its reason; filled: on again", async () => {
    await board.contact(PINS.working, "closed");
    await board.until(PINS.pump, "high");
    await board.contact(PINS.reservoir, "open");
    await board.until(PINS.pump, "low");
    await program.untilTopic("top-off/why", /reservoir is empty/i);
    await board.contact(PINS.reservoir, "closed");
    await board.until(PINS.pump, "high");
    await board.contact(PINS.working, "open");
    await board.until(PINS.pump, "low");
  });

  it("24.5 °C: heater and guard on; 25.4 °C: heater off", async () => {
    await water(51, 24.5);
    await board.until(PINS.heater, "high");
    expect(board.level(PINS.heatGuard)).toBe("high");
    await water(53.3, 25.4);
    await board.until(PINS.heater, "low");
    expect(board.level(PINS.heatGuard)).toBe("high");
    await water(53.071, 25);
  });

  it.each([
    ["cut short", "truncated"],
    ["spoilt", "corrupted"],
    ["never come", "silent"],
  ] as const)("probe's answers %s: salinity bad, heat off; whole: good", async (_, cable) => {
    slaves.cable(cable);
    await program.untilTopic("salinity/quality", "bad");
    await program.untilTopic("salinity/doubt", /\w+/);
    await program.untilTopic("salinity/value", "");
    await program.untilTopic("heat/state", "off");
    slaves.cable("whole");
    await program.untilTopic("salinity/quality", "good");
  });

  it("probe's NaN: salinity bad, not a number; 53.071: good", async () => {
    await slaves.set(1, "input", 0, floatWords(Number.NaN));
    await program.untilTopic("salinity/quality", "bad");
    await program.untilTopic("salinity/doubt", /number/);
    await water(53.071, 25);
    await program.untilTopic("salinity/quality", "good");
  });

  it("minutes that are none, or a retained hold: refused, no hold", async () => {
    const refused = await program.ask("hold", { minutes: "many" });
    expect(refused).toMatchObject({ accepted: false, why: expect.stringMatching(/minutes/) });
    const body = JSON.stringify({ id: "kept", minutes: 30 });
    await program.publish("homie/5/living-room/request/hold/set", body, true);
    expect(await program.outcome("kept")).toMatchObject({ accepted: false, why: expect.stringMatching(/retain/) });
    expect(program.topic("hold/active")).toBe("false");
  });

  it("board reset: heat guard open, then closed, nothing blocked", async () => {
    await board.reset();
    await program.untilTopic("heat-guard/closed", "false");
    await program.untilTopic("heat-guard/closed", "true");
    await program.untilTopic("top-off/blockers", "");
  });

  it("plug pulled: silent, told on topic and page, heat guard open, probes good; back: ready", async () => {
    await board.unplug();
    await program.untilTopic("scan/board", "silent");
    await program.untilTopic("box/sentence", /board/i);
    expect(program.topic("heat-guard/closed")).toBe("false");
    await program.untilTopic("parts/connections", /Board io on \S+: .*Line line on \S+, slave 1: answers\./);
    expect(program.topic("salinity/quality")).toBe("good");
    await pageSays(/board does not report/i);
    await board.plug();
    await program.untilTopic("scan/board", "ready");
    await program.untilTopic("heat-guard/closed", "true");
  });

  it("high float wet in a pour: pump off, locked, told; clear over the network refused, wet or dry", async () => {
    await program.untilTopic("top-off/blockers", "");
    await board.contact(PINS.working, "closed");
    await board.until(PINS.pump, "high");
    await board.contact(PINS.high, "open");
    // At once: a high float over a low working float would soon be another lock, that of floats which contradict.
    await board.contact(PINS.working, "open");
    await board.until(PINS.pump, "low", 10_000);
    await program.untilTopic("top-off/state", "locked");
    await program.untilTopic("top-off/latch", /reaches the high float/);
    await pageSays("Water over the high mark");
    await program.untilTopic("top-off/latch-number", /^[0-9]+$/);
    const occurrence = Number(program.topic("top-off/latch-number"));
    expect(await program.ask("clear", { machine: "top-off", occurrence })).toMatchObject({ accepted: false });
    await board.contact(PINS.high, "closed");
    await program.untilTopic("top-off/clearable", "true");
    expect(await program.ask("clear", { machine: "top-off", occurrence })).toMatchObject({
      accepted: false,
      why: expect.stringMatching(/at the tank/),
    });
  });

  it("kill -9 while locked: same lock after the start; cleared at the terminal: resting", async () => {
    const occurrence = program.topic("top-off/latch-number") as string;
    await program.end("SIGKILL");
    program = await run();
    await program.untilTopic("top-off/state", "locked");
    await program.untilTopic("top-off/latch-number", occurrence);
    await program.untilTopic("scan/board", "ready");
    await program.untilTopic("top-off/clearable", "true");
    program.type(`clear top-off ${occurrence}`);
    await program.untilTopic("top-off/state", "resting");
  });

  it("Ctrl-C while heating: exit 0, all four outputs low", async () => {
    await water(51, 24.5);
    await board.until(PINS.heater, "high");
    expect(await program.end("SIGINT")).toBe(0);
    for (const pin of [PINS.pump, PINS.waterGuard, PINS.heater, PINS.heatGuard]) expect(board.level(pin)).toBe("low");
  });
});
