/** Waits until something holds in a world that runs by the clock; throws with `what` when it takes too long. */
export async function until(what: string, holds: () => boolean, withinMs = 60_000): Promise<void> {
  const endMs = performance.now() + withinMs;
  while (!holds()) {
    if (performance.now() > endMs) throw new Error(`not within ${withinMs} ms: ${what}`);
    await pause(5);
  }
}

/**
 * Waits until something has held without a break for so long. A machine that stalls breaks it now and then; what is
 * broken breaks it always.
 */
export async function lasting(what: string, holds: () => boolean, forMs: number, withinMs = 60_000): Promise<void> {
  let sinceMs = performance.now();
  await until(
    `${what} for ${forMs} ms`,
    () => {
      if (!holds()) sinceMs = performance.now();
      return performance.now() - sinceMs >= forMs;
    },
    withinMs,
  );
}

export const pause = (forMs: number): Promise<void> => new Promise((resolve) => setTimeout(resolve, forMs));
