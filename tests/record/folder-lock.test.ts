import { type ChildProcess, spawn } from "node:child_process";
import { mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, statSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { createInterface } from "node:readline";
import { afterEach, beforeEach, describe, expect, it } from "vitest";
import { FolderInUse, lockFolder } from "../../controller/record/index.ts";
import { until } from "../system/rig/until.ts";

const CHILD = join(import.meta.dirname, "lock-child.ts");

describe("the lock of a data folder", () => {
  let folder = "";
  let children: ChildProcess[] = [];
  beforeEach(() => {
    folder = join(mkdtempSync(join(tmpdir(), "evenbrine-lock-")), "reef-box");
  });
  afterEach(async () => {
    for (const child of children) await end(child);
    children = [];
    rmSync(join(folder, ".."), { recursive: true, force: true });
  });

  /** Another process that tries to lock the folder: what it said. */
  async function another(): Promise<{ readonly child: ChildProcess; readonly said: string }> {
    const child = spawn(process.execPath, [CHILD, folder], { stdio: ["pipe", "pipe", "inherit"] });
    children.push(child);
    let said = "";
    createInterface({ input: child.stdout }).on("line", (line) => (said = line));
    await until("it says something", () => said !== "");
    return { child, said };
  }
  async function end(child: ChildProcess): Promise<void> {
    if (child.exitCode !== null || child.signalCode !== null) return;
    const ended = new Promise((resolve) => child.once("exit", resolve));
    child.kill("SIGKILL");
    await ended;
  }

  it("held by one process: a second is refused, in it and in another, and nothing there is changed", async () => {
    const { said } = await another();
    expect(said).toBe("locked");
    writeFileSync(join(folder, "control"), "the first one's");
    const before = readdirSync(folder);
    expect(() => lockFolder(folder)).toThrow(FolderInUse);
    expect((await another()).said).toMatch(/^refused: Another controller uses the folder .*reef-box/);
    expect(readdirSync(folder)).toEqual(before);
    expect(readFileSync(join(folder, "control"), "utf8")).toBe("the first one's");
  });

  it("of a process that was killed is free at once", async () => {
    const { child } = await another();
    await end(child);
    const lock = lockFolder(folder);
    expect(lock.trouble).toBeNull();
    lock.release();
    expect((await another()).said).toBe("locked");
  });

  it("makes the folder one that only its owner may enter, an old one too", () => {
    mkdirSync(folder, { mode: 0o755, recursive: true });
    lockFolder(folder).release();
    expect(statSync(folder).mode & 0o777).toBe(0o700);
    expect(statSync(join(folder, "lock")).mode & 0o777).toBe(0o600);
  });

  it("that cannot be made keeps nobody from starting, and says why", () => {
    mkdirSync(join(folder, ".."), { recursive: true });
    writeFileSync(folder, "a file in the way");
    expect(lockFolder(folder).trouble).toMatch(/EEXIST|ENOTDIR/);
  });
});
