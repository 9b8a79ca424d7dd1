import { spawnSync } from "node:child_process";
import { existsSync } from "node:fs";
import { userInfo } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import type { User } from "./users.ts";

/** The computer on which a service is installed; a made one in tests. */
export interface Machine {
  /** Where its files begin. */
  readonly root: string;
  /** The folder of the program. */
  readonly program: string;
  /** The Node that runs it. */
  readonly node: string;
  /** Whether the one who asks is the administrator. */
  readonly isAdministrator: boolean;
  /** Who asks; behind sudo, who typed it. */
  readonly askedBy: string;
  systemctl(...words: readonly string[]): Ended;
  /** Runs a program as somebody else, which only the administrator may. */
  runAs(user: User, program: string, words: readonly string[]): Ended;
}

export interface Ended {
  readonly isWell: boolean;
  /** What it said of what went wrong. */
  readonly said: string;
}

export const thisMachine = (): Machine => ({
  root: "/",
  program: PROGRAM,
  node: existsSync(BROUGHT_NODE) ? BROUGHT_NODE : process.execPath,
  isAdministrator: process.geteuid?.() === 0,
  askedBy: process.env.SUDO_USER ?? userInfo().username,
  systemctl: (...words) => ended(spawnSync("systemctl", words, { encoding: "utf8" })),
  runAs: ({ uid, gid }, program, words) => ended(spawnSync(program, words, { encoding: "utf8", uid, gid })),
});

const PROGRAM = fileURLToPath(new URL("../../../", import.meta.url)).replace(/\/$/, "");
/** The one that npm has brought stays with the program, whatever becomes of the computer's own. */
const BROUGHT_NODE = join(PROGRAM, `node_modules/node-${process.platform}-${process.arch}/bin/node`);

const ended = ({ status, error, stderr }: ReturnType<typeof spawnSync>): Ended => ({
  isWell: status === 0,
  said: (error?.message ?? String(stderr ?? "")).trim(),
});
