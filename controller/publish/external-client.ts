import { connect, type IClientOptions, type MqttClient } from "mqtt";
import type { LastWill, MessageClient } from "./client.ts";

export interface ExternalOptions {
  readonly will: LastWill;
  readonly username?: string;
  readonly password?: string;
  readonly reconnectMs?: number;
}

/** Messages sent and not yet answered by the broker; beyond, nothing more is handed over. */
const MOST_ON_THE_WAY = 2_000;
/** The last will goes out after one and a half times this. */
const KEEPALIVE_S = 20;

/**
 * A client of a broker that is not ours. It speaks MQTT 5, where a subscriber may see whether a message was sent as
 * retained, and falls back to 3.1.1 for good when the broker knows only that. Reconnects by itself; never throws.
 */
export function connectToBroker(url: string, options: ExternalOptions): MessageClient {
  return new ExternalClient(url, options);
}

class ExternalClient implements MessageClient {
  readonly #url: string;
  readonly #options: ExternalOptions;
  readonly #listeners: (() => void)[] = [];
  readonly #subscriptions: [filter: string, take: Parameters<MessageClient["subscribe"]>[1]][] = [];
  #version: 4 | 5 = 5;
  #client: MqttClient;
  #onTheWay = 0;

  constructor(url: string, options: ExternalOptions) {
    this.#url = url;
    this.#options = options;
    this.#client = this.#connect();
  }

  get showsRetained(): boolean {
    return this.#version === 5;
  }

  connected(): boolean {
    return this.#client.connected;
  }

  onConnect(listener: () => void): void {
    this.#listeners.push(listener);
    if (this.connected()) listener();
  }

  publish(topic: string, payload: string, retain: boolean): boolean {
    if (!this.connected() || this.#onTheWay >= MOST_ON_THE_WAY) return false;
    this.#onTheWay += 1;
    this.#client.publish(topic, payload, { retain, qos: retain ? 1 : 0 }, () => {
      this.#onTheWay -= 1;
    });
    return true;
  }

  subscribe(filter: string, take: Parameters<MessageClient["subscribe"]>[1]): void {
    this.#subscriptions.push([filter, take]);
    if (this.connected()) this.#ask(filter);
  }

  async close(): Promise<void> {
    // A broker that does not answer must not keep the controller from ending.
    const patience = setTimeout(() => this.#client.end(true), 2_000);
    await this.#client.endAsync().finally(() => clearTimeout(patience));
  }

  #ask(filter: string): void {
    this.#client.subscribe(filter, this.#version === 5 ? { qos: 1, rap: true, nl: true } : { qos: 1 });
  }

  #connect(): MqttClient {
    const { will, username, password, reconnectMs = 2_000 } = this.#options;
    const settings: IClientOptions = {
      protocolVersion: this.#version,
      clean: true,
      keepalive: KEEPALIVE_S,
      reconnectPeriod: reconnectMs,
      connectTimeout: 5_000,
      queueQoSZero: false,
      resubscribe: false,
      will: { ...will, payload: Buffer.from(will.payload), qos: 1, retain: true },
      ...(username === undefined ? {} : { username }),
      ...(password === undefined ? {} : { password }),
    };
    const client = connect(this.#url, settings);
    client.on("connect", () => {
      this.#onTheWay = 0;
      for (const [filter] of this.#subscriptions) this.#ask(filter);
      for (const listener of this.#listeners) listener();
    });
    client.on("message", (topic, payload, packet) => {
      for (const [, take] of this.#subscriptions) take({ topic, payload: payload.toString(), retained: packet.retain });
    });
    client.on("error", (error) => {
      if (client === this.#client && this.#version === 5 && knowsOnlyOlder(error)) this.#fallBack();
    });
    return client;
  }

  #fallBack(): void {
    this.#version = 4;
    const refused = this.#client;
    this.#client = this.#connect();
    refused.end(true);
  }
}

/** The broker's answer to a version that it does not speak: code 1 from one of 3.1.1, 0x84 from one of 5. */
const knowsOnlyOlder = (error: Error): boolean => [1, 0x84].includes((error as { code?: unknown }).code as number);
