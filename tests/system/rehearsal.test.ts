import { execFileSync, spawnSync } from "node:child_process";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, afterEach, beforeAll, describe, expect, it, vi } from "vitest";
import type { HistoryAnswer, TankAnswer } from "../../shared/contract/index.ts";
import { type Program, startProgram } from "./rig/program.ts";
import { describeWith } from "./rig/tools.ts";
import { until } from "./rig/until.ts";

/** On a machine that has much else to do; what is broken fails all the same, only later. */
vi.setConfig({ testTimeout: 400_000, hookTimeout: 200_000 });

/** `npm start` as a stranger meets it: the whole program on the rehearsal tank, watched from outside. */
const folder = mkdtempSync(join(tmpdir(), "evenbrine-rehearsal-"));
const running: Program[] = [];
const start = async (...words: readonly string[]) => {
  const program = await startProgram("reef-box", "--data", folder, ...words);
  running.push(program);
  return program;
};
const get = async (program: Program, path: string): Promise<unknown> =>
  (await fetch(new URL(path, program.address))).json();

beforeAll(() => {
  execFileSync(process.execPath, [new URL("../../controller/cli/build-dashboard.mjs", import.meta.url).pathname]);
});
afterEach(async () => {
  for (const program of running.splice(0)) await program.end("SIGKILL");
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

describe("the program on the simulated tank", () => {
  it("npm start: address, one sentence, page, API says rehearsal; Ctrl-C: exit 0, says what ended", async () => {
    const program = await start();
    await program.untilLine(/^Evenbrine at http:\/\/127\.0\.0\.1:\d+\//);
    await program.untilLine(/^Rehearsal, simulated water\. Starting: watching the inputs/);
    expect(await (await fetch(program.address)).text()).toMatch(/<title>/);
    expect(await get(program, "/api/v1/tank")).toMatchObject({
      version: 1,
      water: "rehearsal",
      speed: 1,
    } satisfies Partial<TankAnswer>);
    await program.untilTopic("box/water", "rehearsal");
    expect(await program.end("SIGINT")).toBe(0);
    expect(program.lines.at(-1)).toBe("Ended: every output is off and the memory is on disk.");
  });

  it("--speed 600: more than 0.1 L poured, 2,000 scans counted; SIGTERM: exit 0", async () => {
    const program = await start("--speed", "600");
    await program.untilTopic("top-off/poured-total", /^0\.[1-9]/, 120_000);
    await until("two thousand scans", () => Number(program.topic("scan/count")) > 2_000);
    for (const count of ["late", "missed", "overlong"]) expect(program.topic(`scan/${count}`)).toMatch(/^\d+$/);
    expect(await program.end("SIGTERM")).toBe(0);
  });

  it("kill -9 in a hold of 120 min: hold at full length, litres and history kept", async () => {
    const before = await start("--speed", "60");
    expect(await before.ask("hold", { minutes: 120 })).toMatchObject({ accepted: true });
    const poured = Number(before.topic("top-off/poured-total"));
    expect(poured).toBeGreaterThan(0);
    await before.end("SIGKILL");

    const after = await start();
    await after.untilTopic("hold/active", "true");
    expect(Number(after.topic("top-off/poured-total"))).toBeGreaterThanOrEqual(poured);
    // A restart in the middle of a hold resumes it at full length, since hands may be in.
    await after.untilTopic("hold/until", /T/);
    const leftMs = Date.parse(after.topic("hold/until") as string) - Date.parse(after.topic("box/clock") as string);
    expect(leftMs).toBeGreaterThan(119 * 60_000);
    const clockMs = Date.parse(after.topic("box/clock") as string);
    const query = `/api/v1/history?channels=temperature,salinity&fromMs=${clockMs - 48 * 3_600_000}&toMs=${clockMs}&buckets=600`;
    const history = (await get(after, query)) as HistoryAnswer;
    for (const channel of ["temperature", "salinity"]) {
      expect(history.channels[channel]?.last.filter((value) => value !== null).length).toBeGreaterThan(5);
    }
    await after.end("SIGINT");
  });

  it("second program on the same folder: refused, another controller uses it", async () => {
    const first = await start();
    await expect(start()).rejects.toThrow(/Another controller uses/);
    await first.end("SIGINT");
  });

  it("request of another origin: 403", async () => {
    const program = await start();
    const foreign = await fetch(new URL("/api/v1/tank", program.address), {
      headers: { origin: "http://example.com" },
    });
    expect(foreign.status).toBe(403);
    await program.end("SIGINT");
  });
});

describeWith(["mosquitto-clients"], "the tree to a foreign client", () => {
  it("mosquitto_sub: $state ready, temperature, reason in words, no NaN or undefined", async () => {
    const program = await start();
    await program.untilTopic("temperature/quality", "good");
    const words = ["-p", String(program.mqttPort), "-v", "-W", "1", "-t", "homie/5/#"];
    const { stdout } = spawnSync("mosquitto_sub", words, { encoding: "utf8" });
    expect(stdout).toMatch(/^homie\/5\/reef-box\/\$state ready$/m);
    expect(stdout).toMatch(/^homie\/5\/reef-box\/temperature\/value 2\d\.\d\d$/m);
    expect(stdout).toMatch(/^homie\/5\/reef-box\/top-off\/why [A-Z].*\.$/m);
    expect(stdout).not.toMatch(/NaN|undefined|\[object/);
    await program.end("SIGINT");
  });
});

describe("command line with a mistake", () => {
  const run = (...words: string[]) => {
    const launcher = new URL("../../controller/cli/launch.mjs", import.meta.url).pathname;
    return spawnSync(process.execPath, [launcher, ...words], { encoding: "utf8" });
  };

  it.each([
    [["run", "no-such-file.json"], /no such file/i],
    [["run", "package.json"], /no such key/],
    [["check", "package.json"], /scripts/],
    [["run", "--speed", "fast"], /whole number/i],
    [["sail"], /unknown command/],
    [["rehearse", "package.json"], /scripts|name/],
  ])("%j: exit 1, %s, no stack trace", (words, said) => {
    const { status, stderr, stdout } = run(...words);
    expect(status).toBe(1);
    expect(stderr + stdout).toMatch(said);
    expect(stderr).not.toMatch(/\n\s+at /);
  });

  it("--help: all commands and that mains and salt water kill", () => {
    const { stdout } = run("--help");
    for (const word of ["run", "check", "rehearse", "bench", "Mains and salt water kill"])
      expect(stdout).toContain(word);
  });

  it("check of the wiring notes' example: exit 0", () => {
    expect(run("check", "wiring-notes/settings-example.json")).toMatchObject({ status: 0 });
  });
});
