import { spawn } from "node:child_process";
import { fileURLToPath } from "node:url";
import { until } from "../system/rig/until.ts";

const LAUNCH = fileURLToPath(new URL("../../controller/cli/launch.mjs", import.meta.url));

export interface Ended {
  readonly code: number | null;
  readonly out: string;
  readonly err: string;
}

/** Runs a command as a keeper does, in a folder of theirs, with these lines typed. */
export async function evenbrine(folder: string, words: readonly string[], typed = ""): Promise<Ended> {
  const child = spawn(process.execPath, [LAUNCH, ...words], { cwd: folder, stdio: ["pipe", "pipe", "pipe"] });
  const heard = { out: "", err: "" };
  child.stdout.on("data", (bytes) => (heard.out += String(bytes)));
  child.stderr.on("data", (bytes) => (heard.err += String(bytes)));
  // Who refuses at once does not listen any more.
  child.stdin.on("error", () => undefined);
  child.stdin.end(typed);
  const code = await new Promise<number | null>((resolve) => child.once("close", resolve));
  return { code, ...heard };
}

/** A command that is talked with: what it says is awaited, then somebody acts or types. */
export interface Talked {
  /** Waits for this in what was said since what was heard last. */
  hears(text: string | RegExp, withinMs?: number): Promise<string>;
  type(line: string): void;
  /** Waits for its end; the exit code. */
  ended(): Promise<number | null>;
  /** All that it has said, on one line. */
  said(): string;
}

/** On a machine that has much else to do a command takes its time to start. */
const HEARD_WITHIN_MS = 120_000;

export function talkWith(folder: string, words: readonly string[]): Talked {
  const child = spawn(process.execPath, [LAUNCH, ...words], { cwd: folder, stdio: ["pipe", "pipe", "pipe"] });
  let heard = "";
  let from = 0;
  for (const stream of [child.stdout, child.stderr]) stream.on("data", (bytes) => (heard += String(bytes)));
  child.stdin.on("error", () => undefined);
  const closed = new Promise<number | null>((resolve) => child.once("close", resolve));
  const said = () => heard.replace(/\s+/g, " ");
  return {
    async hears(text, withinMs = HEARD_WITHIN_MS) {
      const found = () => said().slice(from).match(text);
      await until(`${text}`, () => found() !== null, withinMs).catch((error) => {
        throw new Error(`${error.message}\nbut: ${heard.slice(-1500)}`);
      });
      const match = found() as RegExpMatchArray;
      from += (match.index as number) + match[0].length;
      return match[0];
    },
    type: (line) => void child.stdin.write(`${line}\n`),
    ended: () => closed,
    said,
  };
}
