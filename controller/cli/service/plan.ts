import { resolve } from "node:path";
import type { Machine } from "./machine.ts";
import { ServiceRefused } from "./refused.ts";
import type { UnitPlan } from "./unit.ts";
import { findSerialGroup, findUser, type User } from "./users.ts";

export interface Asked {
  readonly settingsFile: string;
  readonly data: string;
  /** Null = whoever asks. */
  readonly user: string | null;
}

export interface ServicePlan extends UnitPlan {
  readonly runsAs: User;
}

/** What is asked for, on this very computer. Refuses users with whom no service could run. */
export function planService({ settingsFile, data, user }: Asked, machine: Machine): ServicePlan {
  const runsAs = findUser(user ?? machine.askedBy, machine.root);
  const plan = {
    node: machine.node,
    program: machine.program,
    settingsFile: resolve(settingsFile),
    data: resolve(data),
    user: runsAs.name,
    group: runsAs.group,
    serialGroup: findSerialGroup(machine.root),
    runsAs,
  };
  expectNameable("The program", plan.program);
  expectNameable("The settings file", plan.settingsFile);
  expectNameable("The data folder", plan.data);
  return plan;
}

/** systemd takes no program whose path has quotes, backslashes or control characters in it. */
function expectNameable(what: string, path: string): void {
  if (/^[^"'\\\p{Cc}]*$/u.test(path)) return;
  throw new ServiceRefused(
    `${what} lies in ${JSON.stringify(path)}. A unit takes no path with quotes, backslashes or line breaks. Nothing was ` +
      "changed; rename it, and ask again.",
  );
}

/** Refuses places that are empty after a start of the computer, hier(7), or that a service does not see. */
export function expectLasting({ program, settingsFile, data }: UnitPlan): void {
  for (const [what, path] of [
    ["The program", program],
    ["The settings file", settingsFile],
    ["The data folder", data],
  ] as const) {
    if (!/^\/(tmp|var\/tmp|run|dev)(\/|$)/.test(path)) continue;
    throw new ServiceRefused(
      `${what} lies in ${path}, which is emptied when the computer starts. Nothing was changed; move it, and ask again.`,
    );
  }
}
