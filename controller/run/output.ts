/** Lines for whoever looks at the terminal. Nobody waits for a terminal, and none that is lost ends anything. */
export interface Output {
  say(line: string): void;
  /** Waits a moment until what was said is out. */
  drained(): Promise<void>;
}

const MOST_WAITING_BYTES = 64 * 1024;
const DRAINED_MOST_MS = 300;

/**
 * By itself Node waits in every write to a terminal, and a terminal that somebody has stopped (Ctrl-S) waits for ever;
 * a write to one that is gone, or to a pipe that nobody reads, ends the process. Both go for whatever writes there,
 * libraries included, so it is the streams themselves that are changed.
 */
export function openOutput(): Output {
  for (const stream of [process.stdout, process.stderr]) {
    (stream as unknown as WithHandle)._handle?.setBlocking?.(false);
    stream.on("error", () => undefined);
  }
  let leftOut = 0;
  return {
    say(line) {
      if (!process.stdout.writable) return;
      if (process.stdout.writableLength > MOST_WAITING_BYTES) {
        leftOut += 1;
        return;
      }
      if (leftOut > 0) process.stdout.write(`(${leftOut} lines were left out while the terminal stood still.)\n`);
      leftOut = 0;
      process.stdout.write(`${line}\n`);
    },
    async drained() {
      const endMs = performance.now() + DRAINED_MOST_MS;
      while (process.stdout.writableLength > 0 && performance.now() < endMs) {
        await new Promise((resolve) => setTimeout(resolve, 5));
      }
    },
  };
}

/** Node has no public name for it; where it is missing, writes wait as they did. */
interface WithHandle {
  readonly _handle?: { setBlocking?(on: boolean): void };
}
