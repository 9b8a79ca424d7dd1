import { FolderInUse } from "../record/index.ts";
import { SettingsRefused } from "../settings/load.ts";
import { NoVisit } from "./at-tank/visit.ts";
import { PortTaken } from "./ports.ts";
import { typed } from "./typed.ts";

/** Runs a command; a keeper's mistake becomes plain lines and exit code 1, never a stack trace. */
export async function refusing(command: () => Promise<void>): Promise<void> {
  try {
    await command();
  } catch (error) {
    if (error instanceof SettingsRefused) {
      console.error(`${error.message}:`);
      for (const line of error.lines) console.error(`  ${line}`);
      if (error.isUnfinished) console.error(`Asked for, and nothing else: ${typed("init")} with the name of the file.`);
    } else if (error instanceof FolderInUse || error instanceof PortTaken || error instanceof NoVisit) {
      console.error(error.message);
    } else {
      throw error;
    }
    process.exitCode = 1;
  }
}
