import { SettingsRefused } from "../settings/load.ts";

/** Runs a command; a keeper's mistake becomes plain lines and exit code 1, never a stack trace. */
export async function refusing(command: () => Promise<void>): Promise<void> {
  try {
    await command();
  } catch (error) {
    if (!(error instanceof SettingsRefused)) throw error;
    console.error(`${error.message}:`);
    for (const line of error.lines) console.error(`  ${line}`);
    process.exitCode = 1;
  }
}
