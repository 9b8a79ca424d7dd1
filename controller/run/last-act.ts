import { watchParent } from "../cli/parent.mjs";

/** Whatever asks a process to end and can be heard by it: keys, a closed terminal, a service manager, another user. */
export const ENDING_SIGNALS = [
  "SIGINT",
  "SIGTERM",
  "SIGHUP",
  "SIGQUIT",
  "SIGUSR1",
  "SIGUSR2",
  "SIGALRM",
  "SIGVTALRM",
  "SIGPROF",
  "SIGIO",
  "SIGPWR",
  "SIGSTKFLT",
  "SIGXCPU",
] as const;

/** A controller that cannot end in good order ends anyway: outputs fall off by themselves. */
const ENDING_MOST_MS = 5_000;

export interface LastAct {
  /** Outputs off, memory synced. `fault`: what went wrong, null = it was asked to end. Called once. */
  readonly act: (fault: string | null) => Promise<void>;
  readonly say: (line: string) => void;
  /** Ctrl-Z was pressed: whoever started this may be suspended, and take the terminal with it. */
  readonly onSuspend: () => void;
}

/** Every way out that a program can catch leads through one last act. */
export function installLastAct({ act, say, onSuspend }: LastAct): void {
  let ending = false;
  const end = (fault: string | null) => {
    if (ending) return;
    ending = true;
    // Not by an exit: that would wait for a write to a disk that hangs.
    setTimeout(() => process.kill(process.pid, "SIGKILL"), ENDING_MOST_MS).unref();
    act(fault)
      .catch((error: Error) => say(`The end was not in good order: ${error.message}`))
      .finally(() => process.exit(fault === null ? 0 : 1));
  };
  for (const signal of ENDING_SIGNALS) process.on(signal, () => end(null));
  const fail = (error: unknown) => {
    say(`The controller has to end: ${error instanceof Error ? (error.stack ?? error.message) : String(error)}`);
    end(error instanceof Error ? error.message : String(error));
  };
  process.on("uncaughtException", fail);
  process.on("unhandledRejection", fail);
  // Suspended, it would renew nothing, and with standard firmware the outputs would stay as they are.
  process.on("SIGTSTP", () => {
    onSuspend();
    say("It cannot be suspended, for the outputs would stay as they are. Ctrl-C ends it, outputs off.");
  });
  watchParent(() => end(null));
}
