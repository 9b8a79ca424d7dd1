import { existsSync, unlinkSync } from "node:fs";
import { join } from "node:path";
import type { Machine } from "./machine.ts";
import {
  expectAdministrator,
  expectSystemd,
  forShell,
  readInstalled,
  UNIT_FILE,
  UNIT_NAME,
  unitPath,
} from "./place.ts";
import { ServiceRefused } from "./refused.ts";

/** Takes back what was installed and nothing else; says what stays, and how to be rid of that. */
export function removeService(machine: Machine): readonly string[] {
  const installed = readInstalled(machine);
  if (installed === null) return [`There is no ${UNIT_FILE}: nothing was to be removed.`];
  expectSystemd(machine, `Without one the unit does nothing: sudo rm ${UNIT_FILE} is all that is to do.`);
  expectAdministrator(machine, `Only the administrator may remove ${UNIT_FILE}. Nothing was changed. Type this:`, [
    process.execPath,
    join(installed.keeps.program, "controller/cli/launch.mjs"),
    "service",
    "--remove",
  ]);
  const { isWell, said } = machine.systemctl("disable", "--now", "--quiet", UNIT_NAME);
  if (!isWell) {
    throw new ServiceRefused(
      `The service could not be stopped: ${said} Nothing was removed. Look: systemctl status evenbrine`,
    );
  }
  unlinkSync(unitPath(machine));
  machine.systemctl("daemon-reload");
  const { program, settingsFile, data } = installed.keeps;
  const additions = `${UNIT_FILE}.d`;
  return [
    "Stopped the controller, outputs off first. Nothing keeps the box now, and nothing starts with this computer.",
    `Removed ${UNIT_FILE}.`,
    "",
    "What stays, and how to remove it:",
    `- settings: rm ${forShell(settingsFile)}`,
    `- memory and history: rm -r ${forShell(data)}. A controller without them knows of no litre that was poured and of no ` +
      "part that was proven: it asks for all of it again.",
    `- the program: rm -r ${forShell(program)}`,
    ...(existsSync(join(machine.root, additions)) ? [`- what you added to the unit: sudo rm -r ${additions}`] : []),
  ];
}
