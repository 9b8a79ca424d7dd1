import { connectAsync, type IClientOptions, type MqttClient } from "mqtt";

export interface Heard {
  readonly topic: string;
  readonly payload: string;
  readonly retained: boolean;
}

/** A foreign client on a broker of 127.0.0.1, with everything it heard. */
export interface Listener {
  readonly client: MqttClient;
  readonly heard: Heard[];
  /** The newest payload on a topic. */
  last(topic: string): string | undefined;
}

export async function listen(port: number, filter = "#", options: IClientOptions = {}): Promise<Listener> {
  const client = await connectAsync(`mqtt://127.0.0.1:${port}`, { protocolVersion: 4, reconnectPeriod: 0, ...options });
  const heard: Heard[] = [];
  client.on("message", (topic, payload, { retain }) =>
    heard.push({ topic, payload: payload.toString(), retained: retain }),
  );
  client.on("error", () => undefined);
  if (filter !== "") await client.subscribeAsync(filter, { qos: 1 });
  return { client, heard, last: (topic) => heard.findLast((message) => message.topic === topic)?.payload };
}

export async function until(holds: () => boolean, withinMs = 5_000): Promise<void> {
  const end = performance.now() + withinMs;
  while (!holds()) {
    if (performance.now() > end) throw new Error(`did not come to hold within ${withinMs} ms: ${holds}`);
    await pause(5);
  }
}

export const pause = (ms: number): Promise<void> => new Promise((resolve) => setTimeout(resolve, ms));
