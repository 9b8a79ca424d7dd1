// A controller that somebody else has started ends with them: with its launcher, and with npm. Runs on Node 20, too.
import { readFileSync } from "node:fs";

/** The launcher says so to the process that it starts. */
export const LAUNCHED = "EVENBRINE_LAUNCHED";
const LOOK_EVERY_MS = 500;
const SCRIPTS = ["start", "evenbrine"];
const SHELLS = ["sh", "dash", "bash"];

/** Calls `onGone` once, when whoever has started this process is gone without a word. */
export function watchParent(onGone) {
  const isStarted = process.env[LAUNCHED] !== undefined || SCRIPTS.includes(process.env.npm_lifecycle_event ?? "");
  // Whoever typed the command into a shell may close that shell; what a closed terminal means is told by its signal.
  if (!isStarted) return;
  const before = starters();
  const timer = setInterval(() => {
    if (starters() === before) return;
    clearInterval(timer);
    onGone();
  }, LOOK_EVERY_MS);
  timer.unref();
}

/** The parent; and where that is only the shell in which npm runs its scripts, that one's parent too. */
function starters() {
  const { ppid } = process;
  try {
    const name = readFileSync(`/proc/${ppid}/comm`, "utf8").trim();
    if (!SHELLS.includes(name)) return `${ppid}`;
    return `${ppid} ${readFileSync(`/proc/${ppid}/stat`, "utf8").split(") ")[1].split(" ")[1]}`;
  } catch {
    // Gone between two looks, or a machine that does not show its processes.
    return `${ppid}`;
  }
}
