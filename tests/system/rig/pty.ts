import { type ChildProcess, spawn } from "node:child_process";
import { rmSync } from "node:fs";
import { join } from "node:path";

/** A serial port made for a test: whoever opens `path` talks to `send` and `onBytes`. */
export interface Pty {
  readonly path: string;
  send(bytes: Uint8Array): void;
  /** Pulls the plug: the port vanishes under whoever has it open, and its path is gone. */
  unplug(): Promise<void>;
}

export function plugPty(path: string, onBytes: (bytes: Buffer) => void): Promise<Pty> {
  const script = join(import.meta.dirname, "pty.py");
  const cable = spawn("/usr/bin/python3", ["-u", script, path], { stdio: ["pipe", "pipe", "pipe"] });
  const ended = new Promise<void>((resolve) => {
    cable.once("exit", () => resolve());
  });
  cable.stdin.on("error", () => cable.kill());
  cable.stdout.on("data", onBytes);
  const unplug = async () => {
    cable.kill("SIGKILL");
    await ended;
    rmSync(path, { force: true });
  };
  const pty = { path, unplug, send: (bytes: Uint8Array) => void (cable.stdin.writable && cable.stdin.write(bytes)) };
  return plugged(cable, pty);
}

function plugged(cable: ChildProcess, pty: Pty): Promise<Pty> {
  return new Promise((resolve, reject) => {
    let words = "";
    cable.stderr?.on("data", (chunk: Buffer) => {
      words += chunk.toString();
      if (words.includes("plugged")) resolve(pty);
    });
    cable.once("error", reject);
    cable.once("exit", () => reject(new Error(`no pseudo-terminal at ${pty.path}: ${words}`)));
  });
}
