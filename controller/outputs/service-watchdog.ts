import { execFile } from "node:child_process";

/**
 * What a service manager is told: that the controller runs, and, again and again, that its scan is healthy. Where the
 * scan stops the manager ends the process and starts a new one; the outputs have fallen by themselves long before.
 */
export interface ServiceWatchdog {
  /** To be called after every scan that came to its end, and from nowhere else. Quick, and never throws. */
  healthyScan(nowMs: number): void;
  /** The controller ends because it was told to. */
  ending(): void;
}

export interface ServiceEnvironment {
  readonly NOTIFY_SOCKET?: string | undefined;
  /** Microseconds after which a silent service is killed. */
  readonly WATCHDOG_USEC?: string | undefined;
}

/** Does nothing where no service manager has started this process. */
export function openServiceWatchdog(environment: ServiceEnvironment = process.env): ServiceWatchdog {
  if (!environment.NOTIFY_SOCKET) return { healthyScan: () => undefined, ending: () => undefined };
  const watchdogMs = Number(environment.WATCHDOG_USEC ?? 0) / 1000;
  // Three may be lost or late before the manager loses patience.
  const everyMs = watchdogMs > 0 ? watchdogMs / 4 : Number.POSITIVE_INFINITY;
  let lastMs: number | null = null;
  let busy = false;
  const notify = (...words: readonly string[]) => {
    busy = true;
    const done = (error: Error | null) => {
      busy = false;
      if (error) console.error(`The service manager could not be told: ${error.message.split("\n")[0]}`);
    };
    execFile("systemd-notify", words, { timeout: NOTIFY_MOST_MS, env: { ...process.env, ...environment } }, done);
  };
  return {
    healthyScan(nowMs) {
      if (lastMs === null) notify("--ready", "WATCHDOG=1");
      else if (busy || nowMs - lastMs < everyMs) return;
      else notify("WATCHDOG=1");
      lastMs = nowMs;
    },
    ending: () => notify("STOPPING=1"),
  };
}

const NOTIFY_MOST_MS = 5000;
