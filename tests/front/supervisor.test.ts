import { type ChildProcess, spawn } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, describe, expect, it } from "vitest";
import { ALARM_WORDS } from "../../controller/alarms/index.ts";
import type { Report } from "../../controller/front/messages.ts";
import { type Front, type FrontLimits, openFront } from "../../controller/front/supervisor.ts";
import { createNotebook, type Note } from "../../controller/record/index.ts";
import { rehearsalSettings } from "../../shared/settings/index.ts";
import { CONTEXT } from "../publish/context.ts";
import { wellRecord } from "../record/scan-record.ts";
import { pause, until } from "../system/rig/until.ts";

const ODD = join(import.meta.dirname, "odd-front.ts");
/** Of what a front has to be for: a tenth of the patience, so that nobody waits for a test. */
const LIMITS = { silentMostMs: 1_000, startMostMs: 20_000, closeMostMs: 500 };

interface Watched {
  readonly front: Front;
  readonly said: string[];
  readonly saidMs: number[];
  readonly places: { readonly again: boolean }[];
  readonly requests: string[];
  readonly notebook: ReturnType<typeof createNotebook>;
}

let open: Front[] = [];
const toKill: ChildProcess[] = [];
afterEach(async () => {
  for (const child of toKill.splice(0)) child.kill("SIGKILL");
  await Promise.all(open.map((front) => front.close()));
  open = [];
});

function watched(way: string, limits: Partial<FrontLimits> = {}): Watched {
  const [said, saidMs, places, requests]: [string[], number[], { again: boolean }[], string[]] = [[], [], [], []];
  const notebook = createNotebook();
  const front = openFront({
    opening: { settings: rehearsalSettings(), water: "rehearsal", speed: 1, folder: way, alarms: ALARM_WORDS },
    ports: { web: 0, mqtt: 0 },
    notebook,
    onRequest: (kind) => requests.push(kind),
    onListening: (_, again) => places.push({ again }),
    say(line) {
      said.push(line);
      saidMs.push(performance.now());
    },
    script: ODD,
    limits: { ...LIMITS, ...limits },
  });
  open.push(front);
  return { front, said, saidMs, places, requests, notebook };
}

const reportOf = (scan: number): Report => ({
  record: wellRecord({ scan }),
  context: { ...CONTEXT },
  paceMs: scan * 250,
  calibration: {} as Report["calibration"],
  inputs: [],
  healthy: true,
});

/** This process's children, by their command lines. */
const fronts = (): number[] =>
  readFileSync(`/proc/${process.pid}/task/${process.pid}/children`, "utf8").split(" ").filter(Boolean).map(Number);

describe("a front that is well", () => {
  it("starts, takes what it is given, and is told to go", async () => {
    const { front, places, notebook } = watched("well");
    expect(front.state()).toBe("starting");
    await until("it is there", () => front.state() === "running");
    expect([places, front.place()]).toEqual([[{ again: false }], { web: 1, mqtt: 2 }]);
    notebook.note(wellRecord(), 1_750_000_000_000);
    front.report(reportOf(1));
    await until("its notes are kept", () => notebook.waiting().length === 0);
    const [pid] = fronts();
    await front.close();
    expect(() => process.kill(pid as number, 0)).toThrow();
    open = [];
  });

  it("that is killed is back at once, and that it was away is told", async () => {
    const { front, said, places } = watched("well");
    await until("it is there", () => front.state() === "running");
    const killedMs = performance.now();
    process.kill(fronts()[0] as number, "SIGKILL");
    await until("it is away", () => front.state() === "away");
    expect(front.place()).toBeNull();
    await until("it is back", () => front.state() === "restarted");
    expect(performance.now() - killedMs).toBeLessThan(5_000);
    expect(places).toEqual([{ again: false }, { again: true }]);
    expect(said[0]).toMatch(/ended \(signal SIGKILL\) and are started again/);
  });

  it("whose history fails says so", async () => {
    const { front } = watched("history fails");
    await until("it is told", () => front.historyFailed());
  });
});

describe("a front that fails is ended and started again", () => {
  it.each([
    ["hangs for ever", /gave no sign of life/, {}],
    ["never says anything", /gave no sign of life/, { startMostMs: 2_000 }],
    ["throws", /no such topic/, {}],
    ["ends at once", /code 3/, {}],
    ["grows without end", /too much memory/, {}],
    // Its runtime tries for long to make room; a busy machine would take that for a hang.
    ["fills its own heap", /heap out of memory/, { silentMostMs: 60_000 }],
    ["says too much", /said too much/, {}],
  ])("%s", async (way, why, limits) => {
    const { front, said } = watched(way, limits);
    await until("it is told why", () => said.length > 0);
    expect(said[0]).toMatch(why);
    expect(["away", "restarted"]).toContain(front.state());
    await until("it is tried again", () => fronts().length > 0);
  });

  it("suspended from outside: no sign of life", async () => {
    const { front, said } = watched("well");
    await until("it is there", () => front.state() === "running");
    process.kill(fronts()[0] as number, "SIGSTOP");
    await until("it is told why", () => said.length > 0);
    expect(said[0]).toMatch(/no sign of life/);
    await until("it is back", () => front.state() === "restarted");
  });

  it("that falls again and again is left alone for longer each time", async () => {
    const { saidMs } = watched("ends at once");
    await until("six falls", () => saidMs.length >= 6);
    const gaps = saidMs.slice(1, 6).map((atMs, index) => atMs - (saidMs[index] as number));
    for (const [index, leastMs] of [0, 250, 500, 1_000, 2_000].entries()) {
      expect(gaps[index]).toBeGreaterThanOrEqual(leastMs - 5);
    }
  });
});

describe("a front that takes nothing", () => {
  it("has one report on its way, and of all later ones only the newest waits", async () => {
    const { front } = watched("takes nothing");
    await until("it is there", () => front.state() === "running");
    const before = process.memoryUsage().heapUsed;
    for (let scan = 1; scan <= 20_000; scan += 1) front.report(reportOf(scan));
    global.gc?.();
    // Twenty thousand reports would be some three hundred megabytes.
    expect(process.memoryUsage().heapUsed - before).toBeLessThan(60e6);
  });

  it("keeps nobody from ending", async () => {
    const { front } = watched("takes nothing");
    await until("it is there", () => front.state() === "running");
    const begunMs = performance.now();
    await front.close();
    expect(performance.now() - begunMs).toBeLessThan(2_000);
    open = [];
  });
});

describe("a front whose parent is gone", () => {
  it.each(["SIGKILL", "SIGTERM"] as const)("by %s: it ends by itself", async (signal) => {
    const script = join(import.meta.dirname, "parent-child.ts");
    const folder = mkdtempSync(join(tmpdir(), "evenbrine-orphan-"));
    const parent = spawn(process.execPath, [script, folder], { stdio: ["ignore", "pipe", "ignore"] });
    toKill.push(parent);
    let said = "";
    parent.stdout.on("data", (text) => (said += String(text)));
    await until("it names its front", () => /front \d+\n/.test(said));
    const pid = Number(said.match(/front (\d+)/)?.[1]);
    expect(isGone(pid)).toBe(false);
    parent.kill(signal);
    await until("the front is gone", () => isGone(pid), 10_000);
    rmSync(folder, { recursive: true });
  });
});

function isGone(pid: number): boolean {
  try {
    return / Z /.test(readFileSync(`/proc/${pid}/stat`, "utf8"));
  } catch {
    return true;
  }
}

describe("notes that nobody has kept", () => {
  it("are given to the next front again, none lost and in order", async () => {
    const { front, notebook } = watched("takes nothing");
    await until("it is there", () => front.state() === "running");
    const at = (turn: number) => 1_750_000_000_000 + turn * 10_000;
    for (let turn = 0; turn < 5; turn += 1) notebook.note(wellRecord(), at(turn));
    front.report(reportOf(1));
    await pause(200);
    expect(notebook.waiting().map(({ number }: Note) => number)).toEqual([1, 2, 3, 4, 5]);
  });
});
