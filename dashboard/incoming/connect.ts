/** A connection to the broker as the page sees it. Whoever is behind it reconnects by itself. */
export interface Connection {
  /** False when there is no connection; then nothing was sent and nothing will be. */
  publish(topic: string, text: string): boolean;
  /** Try again now instead of at the next interval: the page has become visible, or the network came back. */
  wake(): void;
  close(): void;
}

export interface Listener {
  opened(): void;
  closed(): void;
  told(topic: string, text: string, retained: boolean): void;
}

/** The client library is loaded only here, after the page stands. */
export async function connect(url: URL, topic: string, listener: Listener): Promise<Connection> {
  const { openMqtt } = await import("./mqtt.ts");
  return openMqtt(url, topic, listener);
}

/** Fetches the client library while the page still asks who is there; if that fails, `connect` says so. */
export function loadAhead(): void {
  import("./mqtt.ts").catch(() => undefined);
}
