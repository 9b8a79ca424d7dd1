import { spawnSync } from "node:child_process";
import { accessSync, constants } from "node:fs";
import { describe, it } from "vitest";

/** Programs of the machine that a test may need beside what npm brings, each with the Debian package that has it. */
const TOOLS = {
  python3: { debian: "python3", present: () => runs("/usr/bin/python3", ["--version"]) },
  pymodbus: {
    debian: "python3-pymodbus python3-serial-asyncio",
    present: () => pythonHas("pymodbus") && pythonHas("serial_asyncio"),
  },
  gsw: { debian: "python3-gsw python3-numpy", present: () => pythonHas("gsw") && pythonHas("numpy") },
  mosquitto: { debian: "mosquitto", present: () => mosquittoPath() !== null },
  "mosquitto-clients": { debian: "mosquitto-clients", present: () => onPath("mosquitto_sub") !== null },
  "gcc-avr": { debian: "gcc-avr avr-libc make", present: () => onPath("avr-gcc") !== null && onPath("make") !== null },
  "systemd-notify": { debian: "systemd", present: () => onPath("systemd-notify") !== null },
  "systemd-analyze": { debian: "systemd", present: () => onPath("systemd-analyze") !== null },
  chromium: { debian: "chromium", present: () => onPath("chromium") !== null },
} as const satisfies Record<string, { debian: string; present: () => boolean }>;

export type Tool = keyof typeof TOOLS;

/** Debian packages that would bring what is missing; empty when everything is there. */
export const missingTools = (tools: readonly Tool[]): string[] =>
  tools.filter((tool) => !isPresent(tool)).map((tool) => TOOLS[tool].debian);

/**
 * `describe` for tests that need tools of the machine. Without them the tests are skipped and the name says which
 * package would run them; where EVENBRINE_EVERY_TOOL is 1 a missing tool is a failure instead.
 */
export function describeWith(tools: readonly Tool[], name: string, tests: () => void): void {
  const missing = missingTools(tools);
  if (missing.length === 0) {
    describe(name, tests);
    return;
  }
  const advice = `apt-get install ${missing.join(" ")}`;
  if (process.env.EVENBRINE_EVERY_TOOL === "1") {
    describe(name, () => {
      it("has its tools", () => {
        throw new Error(`cannot run without: ${advice}`);
      });
    });
  } else describe.skip(`${name} (to run it: ${advice})`, tests);
}

/** Path of the broker, which Debian keeps where only root's PATH looks; null where there is none. */
export const mosquittoPath = (): string | null => onPath("mosquitto");

const known = new Map<Tool, boolean>();

function isPresent(tool: Tool): boolean {
  const answer = known.get(tool) ?? TOOLS[tool].present();
  known.set(tool, answer);
  return answer;
}

const runs = (program: string, words: string[]): boolean => spawnSync(program, words, { stdio: "ignore" }).status === 0;

const pythonHas = (name: string): boolean =>
  runs("/usr/bin/python3", ["-c", `import importlib.util, sys; sys.exit(importlib.util.find_spec("${name}") is None)`]);

function onPath(program: string): string | null {
  const folders = [...(process.env.PATH ?? "").split(":"), "/usr/sbin", "/usr/bin"];
  for (const folder of folders) {
    const path = `${folder}/${program}`;
    try {
      accessSync(path, constants.X_OK);
      return path;
    } catch {
      // not in this folder
    }
  }
  return null;
}
