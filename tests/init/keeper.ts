import { spawn } from "node:child_process";
import { fileURLToPath } from "node:url";

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
