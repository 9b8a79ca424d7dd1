import { existsSync, readFileSync } from "node:fs";
import { join } from "node:path";
import type { Machine } from "./machine.ts";
import { ServiceRefused } from "./refused.ts";
import { type KeptByUnit, readUnit } from "./unit.ts";

export const UNIT_NAME = "evenbrine.service";
/** Where the administrator's own units lie, systemd.unit(5). */
export const UNIT_FILE = `/etc/systemd/system/${UNIT_NAME}`;

export const unitPath = ({ root }: Machine): string => join(root, UNIT_FILE);

/** By what is there one knows that a computer was started by systemd, sd_booted(3). */
export function expectSystemd({ root }: Machine, otherwise: string): void {
  if (existsSync(join(root, "run/systemd/system"))) return;
  throw new ServiceRefused(
    `No systemd has started this computer (there is no folder /run/systemd/system). Nothing was changed. ${otherwise}`,
  );
}

/** What stands there; null = no unit. Refuses one that somebody changed: it is theirs now. */
export function readInstalled(machine: Machine): { readonly text: string; readonly keeps: KeptByUnit } | null {
  const path = unitPath(machine);
  if (!existsSync(path)) return null;
  const text = readFileSync(path, "utf8");
  const keeps = readUnit(text);
  if (keeps !== null) return { text, keeps };
  throw new ServiceRefused(
    `${UNIT_FILE} was changed by hand, or this program has not made it. It stays as it is. To be rid of it: ` +
      `sudo systemctl disable --now ${UNIT_NAME}, then sudo rm ${UNIT_FILE}, then ask again. What is to be otherwise ` +
      `than in the unit that --print shows belongs into an addition of its own: sudo systemctl edit ${UNIT_NAME}`,
  );
}

/** Refuses where only the administrator may go on, with the very words to type: sudo need not know npm or its Node. */
export function expectAdministrator({ isAdministrator }: Machine, why: string, words: readonly string[]): void {
  if (isAdministrator) return;
  throw new ServiceRefused(`${why}\n\n    sudo ${words.map(forShell).join(" ")}\n`);
}

/** A word as a shell takes it, POSIX 2.2.2. */
export const forShell = (word: string): string =>
  /^[\w@%+=:,./-]+$/.test(word) ? word : `'${word.replaceAll("'", `'\\''`)}'`;
