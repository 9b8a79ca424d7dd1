/** Opens on the port that was asked for; on the usual one, or any free one when that is taken, if none was. */
export async function onPort<Opened>(
  asked: number | null,
  usual: number,
  open: (port: number) => Promise<Opened>,
): Promise<Opened> {
  try {
    return await open(asked ?? usual);
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code !== "EADDRINUSE") throw error;
    if (asked !== null) throw new PortTaken(asked);
    return open(0);
  }
}

/** Somebody else listens on the port that was asked for. */
export class PortTaken extends Error {
  override readonly name = "PortTaken";

  constructor(port: number) {
    super(`Another program listens on port ${port}. Choose another, or 0 for any free one.`);
  }
}
