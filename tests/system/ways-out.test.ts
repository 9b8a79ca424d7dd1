import { type ChildProcess, execFileSync, spawn } from "node:child_process";
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { createInterface } from "node:readline";
import { afterAll, afterEach, beforeAll, expect, it, vi } from "vitest";
import { type DrivenBox, prepareDrivenBox } from "./rig/driven-box.ts";
import { EMULATED_BOARD_TOOLS } from "./rig/emulated-board.ts";
import { describeWith } from "./rig/tools.ts";
import { pause, until } from "./rig/until.ts";
import { CTRL_C, CTRL_Q, CTRL_S, CTRL_Z, type InTerminal, inTerminal } from "./rig/window.ts";

/**
 * How a controller ends, seen at the pins of a board that would leave pump and heater on: by whatever a program can hear
 * of, outputs go off and the memory is on disk; whatever happens to its terminal ends nothing.
 */
vi.setConfig({ testTimeout: 400_000, hookTimeout: 200_000 });
/** Of a machine that has much else to do; the last act itself takes some tens of milliseconds. */
const OFF_WITHIN_MS = 5_000;
const TOP = new URL("../..", import.meta.url).pathname;
const LAUNCHER = join(TOP, "controller/cli/launch.mjs");
const NODE = [process.execPath, "--max-semi-space-size=1", LAUNCHER] as const;
const ENDED = /Ended: every output is off and the memory is on disk\./;

describeWith(EMULATED_BOARD_TOOLS, "a way out while pump and heater are on", () => {
  let box: DrivenBox;
  let children: ChildProcess[] = [];
  let terminals: InTerminal[] = [];
  beforeAll(async () => {
    box = await prepareDrivenBox();
  });
  afterEach(async () => {
    for (const child of children) await endNow(child);
    for (const terminal of terminals) terminal.kill();
    [children, terminals] = [[], []];
    await pause(500);
  });
  afterAll(() => box?.close());

  /** Runs until the outputs are on. */
  async function driven(command: readonly string[] = NODE, env: NodeJS.ProcessEnv = {}) {
    const [name, ...words] = [...command, ...box.words] as [string, ...string[]];
    const child = spawn(name, words, { cwd: TOP, stdio: ["pipe", "pipe", "pipe"], env: { ...process.env, ...env } });
    children.push(child);
    const lines: string[] = [];
    for (const stream of [child.stdout, child.stderr]) {
      createInterface({ input: stream }).on("line", (line) => lines.push(line));
    }
    const code = new Promise<number | null>((resolve) => child.once("exit", resolve));
    await box.untilDriven();
    return { child, pid: child.pid as number, lines, code };
  }

  it.each([
    // The first four ended the program at once before they were caught, with the outputs left on.
    "SIGHUP",
    "SIGQUIT",
    "SIGUSR2",
    "SIGALRM",
    "SIGINT",
  ] as const)("%s: outputs off, memory on disk, exit code 0", async (signal) => {
    const { pid, lines, code } = await driven();
    process.kill(pid, signal);
    await box.untilOff(OFF_WITHIN_MS);
    expect(await code).toBe(0);
    await until("its last line", () => lines.some((line) => ENDED.test(line)));
  });

  it.each([
    ["an exception that nobody caught", "SIGWINCH", /planted exception/],
    ["a rejection that nobody caught", "SIGURG", /planted rejection/],
  ] as const)("%s: outputs off, memory on disk, exit code 1, and told at the next start", async (_, signal, why) => {
    const thrower = join(import.meta.dirname, "rig/throw-on-signal.mjs");
    const { pid, lines, code } = await driven(NODE, { NODE_OPTIONS: `--import=${thrower}` });
    process.kill(pid, signal);
    await box.untilOff(OFF_WITHIN_MS);
    expect(await code).toBe(1);
    expect(lines.join("\n")).toMatch(why);
    expect(lines.join("\n")).toMatch(ENDED);
    const memory = ["memory-a", "memory-b"].map((name) => readFileSync(join(box.folder, "driven", name), "utf8"));
    expect(memory.join("\n")).toMatch(new RegExp(`"stoppedBy":"${why.source}"`));
  });

  it("its output closed, as by `| head -1`: it looks after the tank, and ends in good order when told", async () => {
    const { child, pid, code } = await driven();
    child.stdout?.destroy();
    child.stderr?.destroy();
    child.stdin?.destroy();
    for (let line = 0; line < 3; line += 1) await box.untilLookedAfter();
    process.kill(pid, "SIGTERM");
    await box.untilOff(OFF_WITHIN_MS);
    expect(await code).toBe(0);
  });

  it("Ctrl-S, then Ctrl-Z: it looks after the tank; Ctrl-Q shows what was said, Ctrl-C ends it", async () => {
    const terminal = await inTerminal(...NODE, ...box.words);
    terminals.push(terminal);
    await box.untilDriven();
    terminal.type(CTRL_S);
    await pause(200);
    // More than a terminal holds: whoever waited for it would stand still.
    for (let count = 0; count < 40; count += 1) terminal.type("what\r");
    await pause(1_000);
    await box.untilLookedAfter();
    expect(terminal.shown()).not.toMatch(/hand-test 35/);
    terminal.type(CTRL_Q);
    await until("it shows what was said", () => /hand-test 35/.test(terminal.shown()));
    terminal.type(CTRL_Z);
    await until("it says why not", () => /cannot be suspended/.test(terminal.shown()));
    await box.untilLookedAfter();
    terminal.type(CTRL_C);
    await box.untilOff(OFF_WITHIN_MS);
    expect(await terminal.ended()).toBe(0);
    expect(terminal.shown()).toMatch(ENDED);
  });

  it("its terminal closed: outputs off, memory on disk", async () => {
    const terminal = await inTerminal(...NODE, ...box.words);
    terminals.push(terminal);
    await box.untilDriven();
    terminal.closeWindow();
    await box.untilOff(OFF_WITHIN_MS);
    expect(await terminal.ended()).toBe(0);
  });

  it.each([
    ["npm", "SIGKILL"],
    ["npm", "SIGTERM"],
    ["the launcher", "SIGKILL"],
    ["the launcher", "SIGQUIT"],
  ] as const)("%s ended by %s: the controller goes with it, outputs off", async (what, signal) => {
    const npm = ["npm", "run", "--silent", "evenbrine", "--"];
    const { child, lines } = await driven(what === "npm" ? npm : [olderNode(), LAUNCHER]);
    const family = descendantsOf(child.pid as number);
    expect(family.length).toBeGreaterThan(0);
    child.kill(signal);
    await box.untilOff(OFF_WITHIN_MS);
    await until("nobody of the family is left", () => family.every(isGone), 15_000);
    await until("its last line", () => lines.some((line) => ENDED.test(line)));
  });
});

/** The machine's own Node, which hands over to the one beside; where that is none too old, a launcher is no process. */
const olderNode = (): string => execFileSync("sh", ["-c", "command -v node"], { encoding: "utf8" }).trim();

function descendantsOf(pid: number): number[] {
  const children = readFileSync(`/proc/${pid}/task/${pid}/children`, "utf8").split(" ").filter(Boolean).map(Number);
  return children.flatMap((child) => [child, ...descendantsOf(child)]);
}

function isGone(pid: number): boolean {
  try {
    return readFileSync(`/proc/${pid}/stat`, "utf8").split(") ")[1]?.startsWith("Z") === true;
  } catch {
    return true;
  }
}

async function endNow(child: ChildProcess): Promise<void> {
  if (child.exitCode !== null || child.signalCode !== null) return;
  const family = descendantsOf(child.pid as number);
  const ended = new Promise((resolve) => child.once("exit", resolve));
  child.kill("SIGKILL");
  await ended;
  for (const pid of family) {
    try {
      process.kill(pid, "SIGKILL");
    } catch {
      // It went with its parent.
    }
  }
}
