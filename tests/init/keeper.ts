import { spawn } from "node:child_process";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { stripVTControlCharacters } from "node:util";
import { pause, until } from "../system/rig/until.ts";

const LAUNCH = fileURLToPath(new URL("../../controller/cli/launch.mjs", import.meta.url));
const TERMINAL = join(import.meta.dirname, "../system/rig/terminal.py");

export interface Ended {
  readonly code: number | null;
  readonly out: string;
  readonly err: string;
}

/** Runs a command as a keeper does, in a folder of theirs, without a terminal to ask anything at. */
export async function evenbrine(folder: string, words: readonly string[]): Promise<Ended> {
  const child = spawn(process.execPath, [LAUNCH, ...words], { cwd: folder, stdio: ["pipe", "pipe", "pipe"] });
  const heard = { out: "", err: "" };
  child.stdout.on("data", (bytes) => (heard.out += String(bytes)));
  child.stderr.on("data", (bytes) => (heard.err += String(bytes)));
  // Who refuses at once does not listen any more.
  child.stdin.on("error", () => undefined);
  child.stdin.end();
  const code = await new Promise<number | null>((resolve) => child.once("close", resolve));
  return { code, ...heard };
}

/** A command at a terminal that is talked with: what it says is awaited, then somebody acts or types. */
export interface Talked {
  /** Waits for this in what was said since what was heard last. */
  hears(text: string | RegExp, withinMs?: number): Promise<string>;
  type(line: string): void;
  /** Presses keys without Enter. */
  press(keys: string): void;
  /** Answers one question after another, each when it is asked; what is refused is asked again. */
  answers(lines: readonly string[]): Promise<void>;
  /** Waits for its end; the exit code. */
  ended(): Promise<number | null>;
  /** All that it has said, on one line. */
  said(): string;
}

/** On a machine that has much else to do a command takes its time to start. */
const HEARD_WITHIN_MS = 120_000;
/** A prompt is drawn before it listens. */
const SETTLE_MS = 60;

const ECHOED_WITHIN_MS = 5_000;
const TAKEN_WITHIN_MS = 20_000;

export const CTRL_C = "\u0003";

/** Needs python3, which makes the terminal. */
export function talkWith(folder: string, words: readonly string[]): Talked {
  // Apart from the folder of the script, where another pty.py lies.
  const command = ["-I", "-u", TERMINAL, process.execPath, LAUNCH, ...words];
  const child = spawn("/usr/bin/python3", command, { cwd: folder, stdio: ["pipe", "pipe", "pipe"] });
  let heard = "";
  let from = 0;
  for (const stream of [child.stdout, child.stderr]) stream.on("data", (bytes) => (heard += String(bytes)));
  child.stdin.on("error", () => undefined);
  const closed = new Promise<number | null>((resolve) => child.once("close", resolve));
  const said = () => stripVTControlCharacters(heard).replace(/\s+/g, " ");
  const hears: Talked["hears"] = async (text, withinMs = HEARD_WITHIN_MS) => {
    const found = () => said().slice(from).match(text);
    await until(`${text}`, () => found() !== null, withinMs).catch((error) => {
      throw new Error(`${error.message}\nbut: ${said().slice(-1500)}`);
    });
    const match = found() as RegExpMatchArray;
    from += (match.index as number) + match[0].length;
    await pause(SETTLE_MS);
    return match[0];
  };
  const press = (keys: string) => void child.stdin.write(keys);
  /** A machine that has much else to do draws a prompt long before it listens: what is not echoed is typed again. */
  const pressUntil = async (keys: string, shown: string | RegExp, withinMs: number) => {
    for (let tries = 1; ; tries += 1) {
      press(keys);
      try {
        return await hears(shown, withinMs);
      } catch (error) {
        if (tries === 4) throw error;
      }
    }
  };
  return {
    hears,
    type: (line) => press(`${line}\r`),
    press,
    async answers(lines) {
      for (const line of lines) {
        await hears(/›/);
        // Nothing but the cursor stands between what was typed last and what follows it.
        if (line !== "") await pressUntil(line, line.slice(-1), ECHOED_WITHIN_MS);
        await pressUntil("\r", /·|will not do|answer is needed/, TAKEN_WITHIN_MS);
      }
    },
    ended: () => closed,
    said,
  };
}
