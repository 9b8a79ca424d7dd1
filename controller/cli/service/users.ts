import { readFileSync } from "node:fs";
import { join } from "node:path";
import { ServiceRefused } from "./refused.ts";

/** Whom a service may run as, as passwd(5) has it. */
export interface User {
  readonly name: string;
  readonly uid: number;
  readonly gid: number;
  readonly group: string;
}

/** The user of that name in the machine whose files begin at `root`; refuses one that does not exist, or may do all. */
export function findUser(name: string, root: string): User {
  const entry = entriesOf(root, "passwd").find(([each]) => each === name);
  if (entry === undefined) {
    throw new ServiceRefused(
      `There is no user ${name} on this computer. Name one that exists with --user NAME; one of its own would be made ` +
        `by: sudo useradd --system --user-group evenbrine`,
    );
  }
  const [uid, gid] = [Number(entry[2]), Number(entry[3])];
  if (uid === 0) {
    throw new ServiceRefused(
      `The controller needs no rights of the administrator and does not run as ${name}: name another user with --user NAME.`,
    );
  }
  const group = entriesOf(root, "group").find(([, , number]) => Number(number) === gid)?.[0] ?? String(gid);
  return { name, uid, gid, group };
}

/** Debian and its kin call it dialout, Arch and its kin uucp. */
export function findSerialGroup(root: string): string | null {
  const groups = entriesOf(root, "group").map(([name]) => name);
  return ["dialout", "uucp"].find((name) => groups.includes(name)) ?? null;
}

const entriesOf = (root: string, file: string): readonly (readonly string[])[] =>
  readFileSync(join(root, "etc", file), "utf8")
    .split("\n")
    .filter((line) => line !== "" && !line.startsWith("#"))
    .map((line) => line.split(":"));
