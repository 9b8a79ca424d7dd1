import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { expect, it, type onTestFinished, vi } from "vitest";
import { evenbrine, type Talked, talkWith } from "../init/keeper.ts";
import { floatWords, MODBUS_SLAVE_TOOLS, type ModbusSlaves, startModbusSlaves } from "./rig/modbus-slave.ts";
import { type Program, startProgram } from "./rig/program.ts";
import { describeWith } from "./rig/tools.ts";
import { pause } from "./rig/until.ts";

/** On a machine that has much else to do; what is broken fails all the same, only later. */
vi.setConfig({ testTimeout: 600_000, hookTimeout: 200_000 });

/**
 * `evenbrine calibrate conductivity` beside the whole program, with a foreign Modbus slave as the cell. Its readings are
 * as noisy as those of a real one, and no wait is shortened: a standard stands still for a minute.
 * Standards at 25 °C: sea water 53.065 mS/cm (PSS-78, UNESCO 44), potassium chloride of 0.1 mol/kg 12.8246 mS/cm (CRC
 * Handbook, p. 5-73).
 */
const SEA = 53.065;
const KCL = 12.8246;
const AIR = 0.02;

/** A made-up cell on a real line. It reads `factor` times what it hangs in. */
class Cell {
  readonly slaves: ModbusSlaves;
  readonly #factor: number;
  #hangsIn = { msPerCm: SEA, celsius: 25, kPerS: 0 };
  readonly #timer: NodeJS.Timeout;
  #ticks = 0;
  #told = Promise.resolve();

  constructor(slaves: ModbusSlaves, factor: number) {
    this.slaves = slaves;
    this.#factor = factor;
    this.#timer = setInterval(() => (this.#told = this.#tick()), 500);
  }
  hangIn(msPerCm: number, celsius = 25, kPerS = 0): void {
    this.#hangsIn = { msPerCm, celsius, kPerS };
  }
  async #tick(): Promise<void> {
    this.#ticks += 1;
    const { msPerCm, celsius, kPerS } = this.#hangsIn;
    this.#hangsIn = { msPerCm, celsius: celsius + kPerS / 2, kPerS };
    // Two beats that never meet: 0.2 % and 0.02 K, without a chance that differs from run to run.
    const noise = Math.sin(this.#ticks * 1.7) + Math.sin(this.#ticks * 2.3);
    await this.slaves.set(1, "input", 0, floatWords(msPerCm * this.#factor * (1 + 0.002 * noise)));
    await this.slaves.set(1, "input", 2, floatWords(celsius + 0.02 * noise));
  }
  async stop(): Promise<void> {
    clearInterval(this.#timer);
    await this.#told;
    await this.slaves.stop();
  }
}

const register = (address: number) => ({ table: "input", address, type: "float32" });
const settingsOn = (port: string) => ({
  version: 1,
  tank: { id: "bench", name: "Bench" },
  // A machine that has much else to do lets foreign slaves wait too.
  boards: { line: { kind: "modbus", port, pollMs: 1000, timeoutMs: 1000 } },
  inputs: {
    "conductivity-probe": {
      board: "line",
      slave: 1,
      conductivityMsPerCm: register(0),
      temperatureC: register(2),
      compensation: "none",
    },
  },
});

interface Bench {
  readonly cell: Cell;
  readonly folder: string;
  program: Program;
  start(): Promise<Program>;
}

async function benchWith(factor: number, atEnd: typeof onTestFinished): Promise<Bench> {
  const folder = mkdtempSync(join(tmpdir(), "evenbrine-calibrate-"));
  const cell = new Cell(await startModbusSlaves(1), factor);
  writeFileSync(join(folder, "settings.json"), JSON.stringify(settingsOn(cell.slaves.path)));
  const start = () => startProgram("bench", join(folder, "settings.json"), "--data", join(folder, ".evenbrine"));
  const bench: Bench = { cell, folder, start, program: await start() };
  atEnd(async () => {
    await bench.program.end("SIGKILL");
    await cell.stop();
    rmSync(folder, { recursive: true, force: true });
  });
  await bench.program.untilTopic("conductivity/quality", "good");
  return bench;
}

/** To the question which standard: in a hold, begun, clean and dry. */
async function begun({ cell, folder }: Bench): Promise<Talked> {
  const keeper = talkWith(folder, ["calibrate", "conductivity", "--by", "Kim"]);
  await keeper.hears(/Do you stand at the tank/);
  keeper.type("yes");
  await keeper.hears(/Start a hold/);
  keeper.type("");
  await keeper.hears(/Is the cell clean, dry and in air/);
  keeper.type("");
  await keeper.hears(/Not yet\. It reads \d+\.\d\d mS\/cm in the air.*Is the cell/);
  cell.hangIn(AIR, 22);
  await until(keeper, /Dry\. Now the first standard/, /Is the cell clean/);
  return keeper;
}

/** Answers `asked` with yes until the other is heard: a line is polled once a second. */
async function until(keeper: Talked, heard: RegExp, asked: RegExp): Promise<void> {
  for (;;) {
    await pause(1_500);
    keeper.type("");
    // A question is drawn anew with every key: it was answered when it says so, and is asked again when it is open.
    await keeper.hears(new RegExp(`· ${asked.source}`));
    const said = await keeper.hears(new RegExp(`${heard.source}|› ${asked.source}`));
    if (heard.test(said)) return;
  }
}

async function names(keeper: Talked, standard: string, lot: string): Promise<void> {
  await keeper.hears(/Standard \([^)]*\)/);
  keeper.type(standard);
  await keeper.hears(/Lot on the bottle/);
  keeper.type(lot);
  await keeper.hears(/Does it hang in the standard/);
}

async function hangsStill(keeper: Talked): Promise<void> {
  keeper.type("");
  await keeper.hears(/watched for \d+ of 60 s/);
  await keeper.hears(/, steady/, 120_000);
}

/** Each with a cell and a controller of its own, all at once: they mostly wait. */
describeWith(MODBUS_SLAVE_TOOLS, "a conductivity cell at the running controller", () => {
  it.concurrent("cell 3 % low, one standard: 35.0, also after kill -9, until undone", async ({ onTestFinished }) => {
    const bench = await benchWith(1 / 1.03, onTestFinished);
    const { cell, folder } = bench;
    await bench.program.untilTopic("salinity/value", /^33\.8/);
    const keeper = await begun(bench);
    await names(keeper, "sea-water-35", "A7");
    cell.hangIn(SEA);
    await hangsStill(keeper);
    await keeper.hears(/It reads 51\.\d\d where 53\.0\d mS\/cm are expected \(25\.0 °C\)\. Accept.*Take another/);
    keeper.type("no");
    await keeper.hears(/Shall this count from now on/);
    keeper.type("yes");
    await keeper.hears(/Calibrated: factor 1\.0(29|3\d)\d, before 1\.0000, a change of (2\.9|3\.[01]) %/);
    await keeper.hears(/Are all hands out/);
    keeper.type("yes");
    await keeper.hears(
      /1 factor of the conductivity cell 1 → 1\.0(29|3\d?) in force .* Kim sea-water-35, lot A7, 25\.0 °C/,
    );
    expect(await keeper.ended()).toBe(0);
    await bench.program.untilTopic("salinity/value", /^(34\.9|35\.0)/);

    await bench.program.end("SIGKILL");
    bench.program = await bench.start();
    await bench.program.untilTopic("salinity/value", /^(34\.9|35\.0)/);
    expect((await evenbrine(folder, ["calibrate", "--undo"])).out).toMatch(/Taken back/);
    await bench.program.untilTopic("salinity/value", /^33\.[789]/);
    expect((await evenbrine(folder, ["calibrate", "--list"])).out).toMatch(/conductivity cell .* undone .* lot A7/);
  });

  it.concurrent("cell 3 % high, bottles mixed up: not taken; two that agree: 35.0", async ({ onTestFinished }) => {
    const bench = await benchWith(1 / 0.97, onTestFinished);
    const { cell } = bench;
    const keeper = await begun(bench);
    await names(keeper, "sea-water-35", "A7");
    cell.hangIn(KCL);
    await hangsStill(keeper);
    await keeper.hears(/Not taken\. .*what potassium chloride, 0\.1 mol\/kg reads\. Are the standards mixed up\?/);
    await keeper.hears(/Try a standard again/);
    keeper.type("yes");
    await names(keeper, "kcl-0.1-molal", "K2");
    await hangsStill(keeper);
    await keeper.hears(/It reads 13\.\d\d where 12\.8\d mS\/cm are expected.*Take another/);
    keeper.type("yes");
    await names(keeper, "sea-water-35", "A7");
    cell.hangIn(SEA);
    await hangsStill(keeper);
    await keeper.hears(/Both agree: accept\..*Take another/);
    keeper.type("no");
    await keeper.hears(
      /0\.1 mol in a kilogram.*read 13\.\d+, should be 12\.8.*practical salinity 35.*Shall this count/,
    );
    keeper.type("yes");
    await keeper.hears(/Calibrated: factor 0\.9[67]\d\d, before 1\.0000, a change of (2\.9|3\.[01]) %/);
    await keeper.hears(/Are all hands out/);
    keeper.type("yes");
    expect(await keeper.ended()).toBe(0);
    await bench.program.untilTopic("salinity/value", /^(34\.9|35\.0)/);
  });

  it.concurrent("bottle warming a kelvin in 5 min: not taken; at rest: taken", async ({ onTestFinished }) => {
    const bench = await benchWith(1, onTestFinished);
    const { cell } = bench;
    const keeper = await begun(bench);
    await names(keeper, "sea-water-35", "-");
    // A bottle out of the refrigerator, warmed by a hand: a kelvin in five minutes.
    cell.hangIn(SEA, 24, 1 / 300);
    keeper.type("");
    await keeper.hears(/still moving/, 120_000);
    keeper.type("");
    await keeper.hears(/has to stand still first\. Wait on/);
    keeper.type("no");
    await keeper.hears(/Try a standard again/);
    keeper.type("yes");
    await names(keeper, "sea-water-35", "-");
    cell.hangIn(SEA);
    keeper.type("");
    await keeper.hears(/, steady.*It reads 5\d\.\d\d where 53\.0\d mS\/cm/, 180_000);
    keeper.type("leave");
    expect(await keeper.ended()).toBe(0);
    expect(JSON.parse(bench.program.topic("calibration/status") ?? "").entries).toEqual([]);
  });

  it.concurrent("keeper leaves: session kept, taken up again; controller killed: nothing calibrated", async ({
    onTestFinished,
  }) => {
    const bench = await benchWith(1 / 1.02, onTestFinished);
    const { cell, folder } = bench;
    const keeper = await begun(bench);
    await names(keeper, "sea-water-35", "A7");
    cell.hangIn(SEA);
    await hangsStill(keeper);
    await keeper.hears(/Take another standard/);
    keeper.type("leave");
    await keeper.hears(/Interrupted, nothing lost.*evenbrine calibrate conductivity.*The hold goes on/);
    await keeper.hears(/A session is open: conductivity cell/);
    expect(await keeper.ended()).toBe(0);

    const again = talkWith(folder, ["calibrate", "conductivity", "--by", "Kim"]);
    await again.hears(/Do you stand at the tank/);
    again.type("yes");
    await again.hears(/The session that was left is taken up again; what it has taken is kept\..*A7/);
    await again.hears(/Take another standard/);
    await bench.program.end("SIGKILL");
    await again.hears(/The controller has ended\. What was proven and calibrated is kept/);
    expect(await again.ended()).toBe(1);

    bench.program = await bench.start();
    await bench.program.untilTopic("salinity/value", /^34\.[123]/);
    const { out } = await evenbrine(folder, ["calibrate", "--list"]);
    expect(out).toMatch(/Nothing was calibrated yet/);
    expect(out).not.toMatch(/A session is open/);
  });
});
