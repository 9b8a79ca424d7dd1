import type { EventEmitter } from "node:events";
import { createServer, type Server, type Socket } from "node:net";
import type { Duplex } from "node:stream";
import { Aedes, type AedesOptions, type Client, type PublishPacket } from "aedes";
import { type MessageClient, topicMatches } from "./client.ts";
import { limitPackets } from "./packet-limit.ts";

/**
 * The broker that comes with the controller, on loopback only. Whoever connects may read everything and may publish
 * nothing but requests, never retained. What is refused is dropped, not punished: the library would close the
 * connection, and a keeper with a wrong flag would see only a client that vanishes.
 */
export interface Broker {
  /** Port of plain MQTT on 127.0.0.1. */
  readonly port: number;
  /** The controller's own place at the broker, with leave to publish everywhere. */
  readonly client: MessageClient;
  /** Takes a connection that came another way, such as a WebSocket. False = there are too many. */
  accept(stream: Duplex): boolean;
  close(): Promise<void>;
}

export interface BrokerOptions {
  /** 0 = any free port. */
  readonly port: number;
  readonly tank: string;
}

export const MOST_CONNECTIONS = 32;
export const MOST_PACKET_BYTES = 64 * 1024;
export const MOST_SUBSCRIPTIONS = 64;
/** A client that has not promised to be heard of sooner is forgotten after one and a half times this. */
const KEEPALIVE_MOST_S = 300;
/** A client that does not take what it asked for would make everybody wait. */
const SLOW_CLIENT_MS = 5_000;
/** Where refused messages go: nobody can subscribe to it. */
const NOWHERE = "$refused";

export async function openBroker({ port, tank }: BrokerOptions): Promise<Broker> {
  const takers: Taker[] = [];
  const aedes = await Aedes.createBroker({
    ...LIMITS,
    authorizePublish: (client, packet, done) => {
      // What a closed client publishes is its last will, and the dead ask for nothing.
      const allowed = client?.closed !== true && isRequest(tank, packet.topic);
      if (allowed) {
        // Taken here and not from a subscription, so that no slow subscriber stands between a person and the scan.
        const message = { topic: packet.topic, payload: packet.payload.toString(), retained: packet.retain };
        for (const [filter, take] of takers) if (topicMatches(filter, message.topic)) take(message);
      }
      if (!allowed || packet.retain) sendNowhere(packet);
      done(null);
    },
  });
  // A client's wrong bytes or lost connection concern that client alone, and it is cut off already.
  (aedes as EventEmitter).on("error", () => undefined);
  const connections = new Set<Duplex>();
  const accept = (stream: Duplex): boolean => {
    if (connections.size >= MOST_CONNECTIONS) {
      stream.destroy();
      return false;
    }
    connections.add(stream);
    stream.once("close", () => connections.delete(stream));
    stream.on("error", () => stream.destroy());
    aedes.handle(limitPackets(stream, MOST_PACKET_BYTES));
    return true;
  };
  const server = await listen(port, (socket) => {
    socket.setNoDelay(true);
    accept(socket);
  });
  const client = ownClient(aedes, takers);
  return {
    port: (server.address() as { port: number }).port,
    client,
    accept,
    async close() {
      await client.close();
      const closed = new Promise<void>((resolve) => server.close(() => resolve()));
      await new Promise<void>((resolve) => aedes.close(() => resolve()));
      for (const stream of connections) stream.destroy();
      await closed;
    },
  };
}

const LIMITS: AedesOptions = {
  connectTimeout: 10_000,
  drainTimeout: SLOW_CLIENT_MS,
  queueLimit: 16,
  maxInflightInbound: 16,
  maxTopicLevels: 8,
  preConnect: (_client, packet, done) => {
    // No session outlives its connection: what would be kept for a client that never returns has no bound.
    packet.clean = true;
    packet.keepalive = Math.min(packet.keepalive || KEEPALIVE_MOST_S, KEEPALIVE_MOST_S);
    done(null, true);
  },
  authorizeSubscribe: (client, subscription, done) => {
    const held = Object.keys((client as Client & { subscriptions: object }).subscriptions).length;
    const allowed = held < MOST_SUBSCRIPTIONS && !subscription.topic.startsWith("$");
    done(null, allowed ? subscription : null);
  },
};

const isRequest = (tank: string, topic: string): boolean =>
  topicMatches(`homie/5/${tank}/request/+/set`, topic) && topic.length <= 128;

function sendNowhere(packet: PublishPacket): void {
  packet.topic = NOWHERE;
  packet.payload = "";
  packet.retain = false;
}

type Taker = Parameters<MessageClient["subscribe"]>;

function ownClient(aedes: Aedes, takers: Taker[]): MessageClient {
  let open = true;
  let onTheWay = 0;
  return {
    showsRetained: true,
    connected: () => open,
    onConnect: (listener) => listener(),
    publish(topic, payload, retain) {
      if (!open) return false;
      const packet = { cmd: "publish", topic, payload: Buffer.from(payload), retain, qos: retain ? 1 : 0, dup: false };
      onTheWay += 1;
      aedes.publish(packet as PublishPacket, () => {
        onTheWay -= 1;
      });
      return true;
    },
    subscribe: (...taker) => void takers.push(taker),
    async close() {
      open = false;
      // The last words reach whoever listens, but nobody who does not may keep the controller from ending.
      const endMs = performance.now() + LAST_WORDS_MS;
      while (onTheWay > 0 && performance.now() < endMs) await new Promise((resolve) => setTimeout(resolve, 5));
    },
  };
}

const LAST_WORDS_MS = 500;

function listen(port: number, onSocket: (socket: Socket) => void): Promise<Server> {
  return new Promise((resolve, reject) => {
    const server = createServer(onSocket);
    server.once("error", reject);
    server.listen(port, "127.0.0.1", () => {
      server.off("error", reject);
      // After it listens, trouble of a single connection must not end the process.
      server.on("error", () => undefined);
      resolve(server);
    });
  });
}
