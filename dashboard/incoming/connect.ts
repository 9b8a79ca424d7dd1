import type { Connection, Listener } from "./connection.ts";

/** The client library is loaded only here, after the page stands. */
export async function connect(url: URL, topic: string, listener: Listener): Promise<Connection> {
  const { openMqtt } = await import("./mqtt.ts");
  return openMqtt(url, topic, listener);
}

/** Fetches the client library while the page still asks who is there; if that fails, `connect` says so. */
export function loadAhead(): void {
  import("./mqtt.ts").catch(() => undefined);
}
