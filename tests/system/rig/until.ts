/** Waits until something holds in a world that runs by the clock; throws with `what` when it takes too long. */
export async function until(what: string, holds: () => boolean, withinMs = 20_000): Promise<void> {
  const endMs = performance.now() + withinMs;
  while (!holds()) {
    if (performance.now() > endMs) throw new Error(`not within ${withinMs} ms: ${what}`);
    await pause(5);
  }
}

export const pause = (forMs: number): Promise<void> => new Promise((resolve) => setTimeout(resolve, forMs));
