import { execFileSync } from "node:child_process";

/** The first eight digits of the commit's name, in hexadecimal: another choice for every commit, the same for the same.
 *  1 where there is no history. */
export function seedOfCommit(): number {
  try {
    const name = execFileSync("git", ["rev-parse", "HEAD"], {
      cwd: import.meta.dirname,
      encoding: "utf8",
      stdio: ["ignore", "pipe", "ignore"],
    });
    return Number.parseInt(name.slice(0, 8), 16);
  } catch {
    return 1;
  }
}
