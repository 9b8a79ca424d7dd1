const SOON_MS = 1500;

/** Waits a moment for what follows by itself from what was asked; goes on without it. */
export async function soon(holds: () => boolean): Promise<void> {
  const endMs = performance.now() + SOON_MS;
  do await new Promise((resolve) => setTimeout(resolve, 50));
  while (!holds() && performance.now() < endMs);
}
