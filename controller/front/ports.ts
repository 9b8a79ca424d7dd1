/** Which port to listen on, by who wants what. */
export interface PortWish {
  /** By the keeper; 0 = any free one, null = not said. */
  readonly asked: number | null;
  /** Where it was found until now, and is looked for again; null = it was nowhere yet. */
  readonly before: number | null;
  readonly usual: number;
}

/** Opens on a port that the keeper has named, and on no other; else where it was, on the usual one, or on any free one. */
export async function onPort<Opened>(wish: PortWish, open: (port: number) => Promise<Opened>): Promise<Opened> {
  const { asked, before, usual } = wish;
  const isNamed = asked !== null && asked > 0;
  try {
    return await open(isNamed ? asked : (before ?? asked ?? usual));
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code !== "EADDRINUSE") throw error;
    if (isNamed) throw new PortTaken(asked);
    return open(0);
  }
}

/** Somebody else listens on the port that was named. */
class PortTaken extends Error {
  override readonly name = "PortTaken";

  constructor(port: number) {
    super(`another program listens on port ${port}: end that one, or choose another port, or 0 for any free one`);
  }
}
