import { type ChildProcess, spawn } from "node:child_process";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { createInterface } from "node:readline";
import { afterEach, beforeEach, describe, expect, it } from "vitest";
import { openServiceWatchdog } from "../../controller/outputs/service-watchdog.ts";
import { describeWith } from "../system/rig/tools.ts";
import { pause, until } from "../system/rig/until.ts";

describe("without a service manager", () => {
  it("healthy scan and end: no error", () => {
    const watchdog = openServiceWatchdog({});
    watchdog.healthyScan(0);
    watchdog.ending();
  });
});

describeWith(["python3", "systemd-notify"], "a service manager", () => {
  let folder: string;
  let ear: ChildProcess;
  const heard: string[] = [];
  const words = () => heard.filter((line) => !/^(listening|BARRIER=1)$/.test(line));

  beforeEach(async () => {
    folder = mkdtempSync(join(tmpdir(), "evenbrine-notify-"));
    heard.length = 0;
    const script = new URL("../system/rig/notify-socket.py", import.meta.url).pathname;
    ear = spawn("/usr/bin/python3", ["-u", script, join(folder, "notify")], { stdio: ["ignore", "pipe", "inherit"] });
    createInterface({ input: ear.stdout as NodeJS.ReadableStream }).on("line", (line) => heard.push(line));
    await until("it listens", () => heard.includes("listening"));
  });
  afterEach(async () => {
    const ended = new Promise((resolve) => ear.once("exit", resolve));
    ear.kill("SIGKILL");
    await ended;
    rmSync(folder, { recursive: true, force: true });
  });
  const open = (watchdogUs?: string) =>
    openServiceWatchdog({ NOTIFY_SOCKET: join(folder, "notify"), WATCHDOG_USEC: watchdogUs });

  it("before a healthy scan: nothing; after: READY=1 and WATCHDOG=1", async () => {
    const watchdog = open("20000000");
    await pause(100);
    expect(words()).toEqual([]);
    watchdog.healthyScan(1000);
    await until("it is ready", () => words().length > 0);
    expect(words().join(" ")).toMatch(/READY=1/);
    expect(words().join(" ")).toMatch(/WATCHDOG=1/);
  });

  it("watchdog of 2 s, scans each 50 ms: five signs of life in 2 s, READY once", async () => {
    const watchdog = open("2000000");
    for (let ms = 0; ms <= 2000; ms += 50) {
      watchdog.healthyScan(ms);
      // What is under way must be over, as it is where 500 ms lie between two of them.
      if (ms % 500 === 0) await pause(150);
    }
    await until("five signs of life", () => words().filter((line) => line.includes("WATCHDOG=1")).length === 5);
    await pause(100);
    expect(words().filter((line) => line.includes("READY=1"))).toHaveLength(1);
    expect(words()).toHaveLength(5);
  });

  it("watchdog of 0.4 s, no scan for 0.5 s: nothing more; end: STOPPING=1", async () => {
    const watchdog = open("400000");
    watchdog.healthyScan(0);
    await until("it is ready", () => words().length === 1);
    await pause(500);
    expect(words()).toHaveLength(1);
    watchdog.ending();
    await until("it ends", () => words().at(-1) === "STOPPING=1");
  });

  it("no watchdog: READY=1 only", async () => {
    const watchdog = open();
    watchdog.healthyScan(0);
    await until("it is ready", () => words().length === 1);
    watchdog.healthyScan(1e6);
    await pause(100);
    expect(words()).toHaveLength(1);
  });

  it("socket gone: no error in two scans", async () => {
    const watchdog = openServiceWatchdog({ NOTIFY_SOCKET: join(folder, "gone"), WATCHDOG_USEC: "400000" });
    watchdog.healthyScan(0);
    await pause(200);
    watchdog.healthyScan(1000);
    await pause(200);
  });
});
