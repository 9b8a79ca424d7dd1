import { spawnSync } from "node:child_process";
import { mkdirSync, mkdtempSync, readdirSync, readFileSync, readlinkSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { DatabaseSync } from "node:sqlite";
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it, vi } from "vitest";
import { type Visit, visitController } from "../../controller/cli/at-tank/visit.ts";
import { evenbrine } from "../init/keeper.ts";
import { floodBroker, floodRequests, frontOf, readHistoryAtOnce } from "./rig/attacks.ts";
import { type Program, startProgram } from "./rig/program.ts";
import { pause, until } from "./rig/until.ts";

/**
 * The whole program on the rehearsal tank, attacked from outside: what serves people may suffer, and the scan does not
 * notice. What the scan says of itself is asked at the control socket, which no front stands between.
 */
vi.setConfig({ testTimeout: 200_000, hookTimeout: 100_000 });
const TANK = "reef-box";
const BACK_WITHIN_MS = 5_000;

let folder = "";
let program: Program;
let visit: Visit;

async function start(): Promise<void> {
  program = await startProgram(TANK, "--data", folder);
  visit = await visitController({ data: folder, tank: null });
}

async function end(signal: "SIGKILL" | "SIGTERM" = "SIGKILL"): Promise<number | null> {
  visit?.close();
  return program?.end(signal);
}

const missed = (): number => Number(visit.text("scan/missed"));
const scans = (): number => Number(visit.text("scan/count"));

/** What is missed while something is done, and how many scans there were. */
async function meanwhile(does: () => Promise<unknown>): Promise<{ readonly missed: number; readonly scans: number }> {
  const before = { missed: missed(), scans: scans() };
  await does();
  await until("another scan", () => scans() > before.scans + 1);
  return { missed: missed() - before.missed, scans: scans() - before.scans };
}

const healthAt = (address: string): Promise<number> =>
  fetch(`${address}api/v1/health`).then(
    ({ status }) => status,
    () => 0,
  );

async function isBack(withinMs = BACK_WITHIN_MS): Promise<number> {
  const begunMs = performance.now();
  await until(
    "somebody answers at the same address",
    () => visit.text("scan/front") === "restarted" || visit.text("scan/front") === "running",
    withinMs,
  );
  expect(await healthAt(program.address)).toBeGreaterThanOrEqual(200);
  return performance.now() - begunMs;
}

describe("the scan while the front is attacked", () => {
  beforeAll(async () => {
    folder = mkdtempSync(join(tmpdir(), "evenbrine-alone-"));
    await start();
    await until("it has settled", () => scans() > 8);
  });
  afterAll(async () => {
    await end();
    rmSync(folder, { recursive: true, force: true });
  });

  it("its process has no network port open, and the front's has", () => {
    const listening = new Set(
      ["tcp", "tcp6", "udp", "udp6"].flatMap((name) =>
        readFileSync(`/proc/net/${name}`, "utf8")
          .split("\n")
          .slice(1)
          .flatMap((line) => line.trim().split(/\s+/)[9] ?? []),
      ),
    );
    const portsOf = (pid: number) =>
      readdirSync(`/proc/${pid}/fd`)
        .map((fd) => linkOf(`/proc/${pid}/fd/${fd}`))
        .filter((link) => listening.has(link.match(/^socket:\[(\d+)\]$/)?.[1] ?? ""));
    expect(portsOf(program.pid)).toEqual([]);
    expect(portsOf(frontOf(program.pid) as number).length).toBeGreaterThanOrEqual(2);
  });

  it("by a subscriber that stops reading and 3,000 tiny packets, five times: no scan missed, the same front lives", async () => {
    const front = frontOf(program.pid);
    const seen = await meanwhile(async () => {
      for (let round = 0; round < 5; round += 1) await floodBroker(program.mqttPort);
    });
    expect(seen.missed).toBe(0);
    expect(seen.scans).toBeGreaterThan(10);
    expect(frontOf(program.pid)).toBe(front);
  });

  it("by a hundred reads of its whole history at once: no scan missed, each is answered or told to wait", async () => {
    let statuses: readonly number[] = [];
    const seen = await meanwhile(async () => {
      statuses = await readHistoryAtOnce(program.address, 100);
    });
    expect(seen.missed).toBe(0);
    expect(statuses.every((status) => status === 200 || status === 503)).toBe(true);
    expect(statuses).toContain(200);
  });

  it("by 300 requests a second from three clients: 40 of 40 asked at the tank are granted, no scan missed", async () => {
    const answers: boolean[] = [];
    const seen = await meanwhile(async () => {
      const flood = floodRequests(program.mqttPort, TANK, 300, () => answers.length === 40);
      for (let turn = 0; turn < 40; turn += 1) {
        answers.push((await visit.ask("hold", { minutes: 1 + (turn % 30) })).accepted);
      }
      expect(await flood).toBeGreaterThan(1_000);
    });
    expect(answers).toEqual(Array(40).fill(true));
    expect(seen.missed).toBe(0);
    await visit.ask("end-hold", { answer: "evaporation" });
  });

  it("that is killed: it is back at the same address within 5 s, an alarm says so, no scan missed", async () => {
    let backMs = Number.NaN;
    const seen = await meanwhile(async () => {
      process.kill(frontOf(program.pid) as number, "SIGKILL");
      await until("it is away", () => visit.text("scan/front") === "away");
      backMs = await isBack();
    });
    expect(backMs).toBeLessThan(BACK_WITHIN_MS);
    expect(seen.missed).toBe(0);
    await until("the alarm", () => visit.text("alarm-front-restarted/state") === "unacknowledged");
    expect((await visit.ask("acknowledge", { alarm: "front-restarted" })).accepted).toBe(true);
  });

  it("that hangs: it is ended after ten seconds, back five seconds later, no scan missed", async () => {
    const hanging = frontOf(program.pid) as number;
    const seen = await meanwhile(async () => {
      process.kill(hanging, "SIGSTOP");
      await until("it is ended", () => frontOf(program.pid) !== hanging, 20_000);
      await until("it is away", () => visit.text("scan/front") === "away");
      await isBack();
    });
    expect(seen.missed).toBe(0);
  });
});

describe("a request, wherever it came from", () => {
  beforeAll(async () => {
    folder = mkdtempSync(join(tmpdir(), "evenbrine-asked-"));
    await start();
  });
  afterAll(async () => {
    await end();
    rmSync(folder, { recursive: true, force: true });
  });

  it("asked again with the same id and body: the same answer; with another body: refused, not done", async () => {
    const ask = async (minutes: number) => {
      await program.publish(`homie/5/${TANK}/request/hold/set`, JSON.stringify({ id: "twice", minutes }), false);
      await pause(700);
      return program.outcome("twice");
    };
    expect(await ask(30)).toMatchObject({ accepted: true, stored: true });
    expect(await ask(30)).toMatchObject({ accepted: true, why: expect.stringMatching(/30 minutes/) });
    expect(await ask(5)).toMatchObject({ accepted: false, why: expect.stringMatching(/used for another request/) });
    const leftS = (Date.parse(visit.text("hold/until")) - Date.parse(visit.text("box/clock"))) / 1000;
    expect(leftS).toBeGreaterThan(25 * 60);
  });

  it("refused, sixty times as fast as the scan answers: the memory on disk does not change by a byte", async () => {
    await pause(3_000);
    const kept = () => ["memory-a", "memory-b"].map((name) => readFileSync(join(folder, "rehearsal", name), "utf8"));
    const before = kept();
    for (let turn = 0; turn < 60; turn += 1) {
      await visit.ask("clear", { machine: "heat", occurrence: 1 });
    }
    expect(kept()).toEqual(before);
  });

  it("on a disk that takes nothing more: granted as not yet stored, with an alarm; stored when there is room again", async () => {
    limitFiles(program.pid, 0);
    const full = await program.ask("refill", { litres: 3 });
    expect(full).toMatchObject({ accepted: true, stored: false, why: expect.stringMatching(/Not yet stored/) });
    await until("the alarm", () => visit.text("alarm-disk-failed/state") === "unacknowledged");
    limitFiles(program.pid, "unlimited");
    await until("it is stored", () => program.outcomes.get(full.id)?.stored === true);
  });
});

/** As on a full disk no file of the process may grow or change beyond so many bytes. */
function limitFiles(pid: number, bytes: number | "unlimited"): void {
  const { status } = spawnSync("prlimit", [`--pid=${pid}`, `--fsize=${bytes}:`]);
  expect(status).toBe(0);
}

describe("a history that is broken", () => {
  beforeEach(() => {
    folder = mkdtempSync(join(tmpdir(), "evenbrine-broken-"));
  });
  afterEach(async () => {
    await end();
    rmSync(folder, { recursive: true, force: true });
  });

  it("by 32 bytes of 0xFF in one piece: the trend is read around it, the piece set aside, SIGTERM obeyed", async () => {
    await start();
    await until("it has settled", () => scans() > 8);
    await end("SIGTERM");
    const path = join(folder, "rehearsal", "history.db");
    const database = new DatabaseSync(path);
    expect(database.prepare("update batch set body = ?").run(new Uint8Array(32).fill(0xff)).changes).toBeGreaterThan(0);
    database.close();
    await start();
    const seen = await meanwhile(async () => {
      const nowMs = Date.parse(visit.text("box/clock"));
      const query = `channels=temperature&fromMs=${nowMs - 3_600_000}&toMs=${nowMs}&buckets=10`;
      const answer = await fetch(`${program.address}api/v1/history?${query}`, { signal: AbortSignal.timeout(10_000) });
      expect(answer.status).toBe(200);
    });
    expect(seen.missed).toBe(0);
    await pause(3_000);
    expect(await end("SIGTERM")).toBe(0);
    const after = new DatabaseSync(path);
    expect(after.prepare("select count(*) as count from aside").get()?.count).toBeGreaterThan(0);
    after.close();
  });

  it("by a folder in its place: told by an alarm, and a second controller is refused all the same", async () => {
    mkdirSync(join(folder, "rehearsal", "history.db"), { recursive: true });
    await start();
    await until("it is told", () => visit.text("scan/history") === "failed", 120_000);
    const before = readdirSync(join(folder, "rehearsal"));
    const second = await evenbrine(folder, ["run", "--data", folder, "--port", "0", "--mqtt-port", "0"]);
    expect([second.code, second.err]).toEqual([1, expect.stringMatching(/Another controller uses the folder/)]);
    expect(readdirSync(join(folder, "rehearsal"))).toEqual(before);
    // Its socket is still its own.
    expect((await visit.ask("hold", { minutes: 1 })).accepted).toBe(true);
    const another = await visitController({ data: folder, tank: null });
    expect(another.greeting.tank).toBe(TANK);
    another.close();
    await until("the alarm", () => visit.text("alarm-history-failed/state") === "unacknowledged", 120_000);
  });
});

const linkOf = (path: string): string => {
  try {
    return readlinkSync(path);
  } catch {
    return "";
  }
};
