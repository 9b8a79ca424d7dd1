import type { EventEmitter } from "node:events";
import { createServer, type Server, type Socket } from "node:net";
import type { Duplex } from "node:stream";
import { Aedes, type AedesOptions, type Client, type PublishPacket } from "aedes";
import { type MessageClient, topicMatches } from "./client.ts";
import { createGuests, GUEST_LIMITS, type GuestLimits, type Guests } from "./guests.ts";

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
  readonly limits?: GuestLimits;
}

export const MOST_SUBSCRIPTIONS = 64;
/** A client that has not promised to be heard of sooner is forgotten after one and a half times this. */
const KEEPALIVE_MOST_S = 300;
/** A client that takes nothing at all of what it asked for is let go. */
const SLOW_CLIENT_MS = 5_000;
/** Where refused messages go: nobody can subscribe to it. */
const NOWHERE = "$refused";

export async function openBroker({ port, tank, limits = GUEST_LIMITS }: BrokerOptions): Promise<Broker> {
  const takers: Taker[] = [];
  const guests = createGuests(limits);
  const aedes = await Aedes.createBroker({
    ...LIMITS,
    authorizePublish: (client, packet, done) => {
      // What a closed client publishes is its last will, and the dead ask for nothing.
      const isAsking = client !== null && !client.closed && isRequest(tank, packet.topic);
      const verdict = isAsking ? guests.mayRequest(client.conn as Duplex) : "dropped";
      if (verdict !== "dropped") {
        // Taken here and not from a subscription, so that no slow subscriber stands between a person and the scan.
        const { topic, payload, retain: retained } = packet;
        const message = { topic, payload: payload.toString(), retained, tooMany: verdict === "refused" };
        for (const [filter, take] of takers) if (topicMatches(filter, topic)) take(message);
      }
      if (verdict !== "taken" || packet.retain) sendNowhere(packet);
      done(null);
    },
    authorizeForward: (client, packet) => (guests.mayReceive(client.conn as Duplex) ? packet : null),
  });
  // A client's wrong bytes or lost connection concern that client alone, and it is cut off already.
  (aedes as EventEmitter).on("error", () => undefined);
  const accept = (stream: Duplex): boolean => {
    const connection = guests.admit(stream);
    if (connection === null) return false;
    aedes.handle(connection);
    return true;
  };
  const server = await listen(port, (socket) => {
    socket.setNoDelay(true);
    accept(socket);
  }).catch(async (error) => {
    await closeAll(aedes, guests);
    throw error;
  });
  const client = ownClient(aedes, takers);
  return {
    port: (server.address() as { port: number }).port,
    client,
    accept,
    async close() {
      await client.close();
      const closed = new Promise<void>((resolve) => server.close(() => resolve()));
      await closeAll(aedes, guests);
      await closed;
    },
  };
}

async function closeAll(aedes: Aedes, guests: Guests): Promise<void> {
  await new Promise<void>((resolve) => aedes.close(() => resolve()));
  guests.close();
}

const LIMITS: AedesOptions = {
  // The library's own queue calls itself once for every packet in it, and overflows the stack. Without one each packet
  // goes straight to whoever wants it, and what waits there is bounded by the guests' limits.
  concurrency: 0,
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
