import { spawn } from "node:child_process";
import { join } from "node:path";
import { until } from "./until.ts";

/** A program in a terminal of its own, as somebody has it who typed its name. */
export interface InTerminal {
  readonly pid: number;
  /** All that the terminal has shown. */
  shown(): string;
  /** Keys, such as `\x03` for Ctrl-C. */
  type(keys: string): void;
  /** Closes the window. */
  closeWindow(): void;
  /** Waits for the end of the program; its exit code, negative = the signal that ended it. */
  ended(): Promise<number>;
  kill(): void;
}

export const CTRL_C = "\x03";
export const CTRL_Q = "\x11";
export const CTRL_S = "\x13";
export const CTRL_Z = "\x1a";

export async function inTerminal(command: string, ...words: readonly string[]): Promise<InTerminal> {
  // Isolated: beside it lies a `pty` of our own.
  const script = join(import.meta.dirname, "window.py");
  const terminal = spawn("/usr/bin/python3", ["-I", "-u", script, command, ...words], {
    stdio: ["pipe", "pipe", "pipe"],
  });
  let [screen, told] = ["", ""];
  terminal.stdout.on("data", (bytes) => (screen += String(bytes)));
  terminal.stderr.on("data", (bytes) => (told += String(bytes)));
  terminal.stdin.on("error", () => undefined);
  await until("the program in the terminal", () => /pid \d+/.test(told));
  const pid = Number(told.match(/pid (\d+)/)?.[1]);
  return {
    pid,
    shown: () => screen,
    type: (keys) => void terminal.stdin.write(keys),
    closeWindow: () => terminal.stdin.end(),
    async ended() {
      await until("the end of the program in the terminal", () => /ended -?\d+/.test(told));
      return Number(told.match(/ended (-?\d+)/)?.[1]);
    },
    kill() {
      try {
        process.kill(pid, "SIGKILL");
      } catch {
        // It has ended already.
      }
      terminal.kill("SIGKILL");
    },
  };
}
