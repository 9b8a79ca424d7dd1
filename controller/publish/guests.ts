import type { Duplex } from "node:stream";
import { type Allowance, createMeter, type Meter } from "../../shared/contract/index.ts";
import { limitPackets } from "./packet-limit.ts";

/**
 * Everybody who is connected to the broker, and what each of them and all together may cost. Whoever goes beyond is
 * dropped, never queued: what would be kept for a client that floods or never reads has no bound, and it is a client of
 * this very computer, or of a home, that can come again.
 */
export interface Guests {
  /** The connection as the broker may have it; null = there are too many, and it is ended. */
  admit(stream: Duplex): Duplex | null;
  /** To be called for every packet on its way to a guest. False = it takes too little of what it asked for, and is gone. */
  mayReceive(connection: Duplex): boolean;
  /** To be called for every request of a guest. `refused`: too many; `dropped`: although it was told so again and again. */
  mayRequest(connection: Duplex): "taken" | "refused" | "dropped";
  close(): void;
}

export interface GuestLimits {
  readonly connections: number;
  readonly packetBytes: number;
  readonly each: Inflow;
  readonly all: Inflow;
  readonly requests: Allowance;
  /** Requests refused before patience ends. */
  readonly refusals: Allowance;
  /** Bytes, and packets since there was last nothing, that may be on their way to one guest. */
  readonly undeliveredBytes: number;
  readonly undeliveredPackets: number;
  readonly undeliveredBytesOfAll: number;
}

export interface Inflow {
  readonly bytes: Allowance;
  /** Packets that make the broker do something: connect, publish, subscribe, ping. */
  readonly asking: Allowance;
  /** Packets that only answer one of ours: a tree of five hundred topics is answered five hundred times at once. */
  readonly answering: Allowance;
}

export const GUEST_LIMITS: GuestLimits = {
  connections: 32,
  packetBytes: 64 * 1024,
  each: {
    bytes: { burst: 256 * 1024, perSecond: 32 * 1024 },
    asking: { burst: 150, perSecond: 10 },
    answering: { burst: 4_000, perSecond: 1_000 },
  },
  all: {
    bytes: { burst: 1024 * 1024, perSecond: 128 * 1024 },
    asking: { burst: 600, perSecond: 50 },
    answering: { burst: 16_000, perSecond: 4_000 },
  },
  requests: { burst: 20, perSecond: 1 },
  refusals: { burst: 20, perSecond: 0.1 },
  undeliveredBytes: 1024 * 1024,
  undeliveredPackets: 4_000,
  undeliveredBytesOfAll: 8 * 1024 * 1024,
};

interface Guest {
  readonly connection: Duplex;
  readonly meters: Meters;
  readonly requests: Meter;
  readonly refusals: Meter;
  undelivered: number;
}

interface Meters {
  readonly bytes: Meter;
  readonly asking: Meter;
  readonly answering: Meter;
}

/** PUBACK, PUBREC, PUBREL and PUBCOMP (MQTT 3.1.1, table 2.1). */
const ANSWERING = new Set([4, 5, 6, 7]);
const LOOK_AT_ALL_EVERY_MS = 250;

export function createGuests(limits: GuestLimits = GUEST_LIMITS): Guests {
  const guests = new Map<Duplex, Guest>();
  const all = metersOf(limits.all);
  const mayEnter = (own: Meters, type: number, bytes: number): boolean => {
    const nowMs = performance.now();
    const kind = ANSWERING.has(type) ? "answering" : "asking";
    if (bytes > limits.packetBytes) return false;
    if (!own.bytes.take(bytes, nowMs) || !own[kind].take(1, nowMs)) return false;
    if (all.bytes.take(bytes, nowMs) && all[kind].take(1, nowMs)) return true;
    // Together they are too many, and whoever has used most of its own makes room; that may be this one. Who has used
    // less than half of it is never dropped for what others did, some of whom are gone.
    const greediest = greediestOf(guests.values(), kind, nowMs);
    if (greediest === null || greediest.meters[kind].left(nowMs) > limits.each[kind].burst / 2) return true;
    greediest.connection.destroy();
    return greediest.meters !== own;
  };
  const timer = setInterval(() => dropUntaken(guests, limits.undeliveredBytesOfAll), LOOK_AT_ALL_EVERY_MS);
  return {
    admit(stream) {
      // A page that is closed or reloaded ends its connection in many ways, all of them ordinary.
      stream.on("error", () => stream.destroy());
      if (guests.size >= limits.connections) {
        stream.destroy();
        return null;
      }
      const meters = metersOf(limits.each);
      const connection = limitPackets(stream, (type, bytes) => mayEnter(meters, type, bytes));
      const [requests, refusals] = [createMeter(limits.requests), createMeter(limits.refusals)];
      guests.set(connection, { connection, meters, requests, refusals, undelivered: 0 });
      connection.once("close", () => guests.delete(connection));
      return connection;
    },
    mayReceive(connection) {
      const guest = guests.get(connection);
      if (guest === undefined) return false;
      guest.undelivered = connection.writableLength === 0 ? 1 : guest.undelivered + 1;
      const isTaken =
        connection.writableLength <= limits.undeliveredBytes && guest.undelivered <= limits.undeliveredPackets;
      if (!isTaken) connection.destroy();
      return isTaken;
    },
    mayRequest(connection) {
      const guest = guests.get(connection);
      const nowMs = performance.now();
      if (guest?.requests.take(1, nowMs) === true) return "taken";
      if (guest?.refusals.take(1, nowMs) === true) return "refused";
      connection.destroy();
      return "dropped";
    },
    close() {
      clearInterval(timer);
      for (const connection of guests.keys()) connection.destroy();
    },
  };
}

const metersOf = ({ bytes, asking, answering }: Inflow): Meters => ({
  bytes: createMeter(bytes),
  asking: createMeter(asking),
  answering: createMeter(answering),
});

function greediestOf(guests: Iterable<Guest>, kind: "asking" | "answering", nowMs: number): Guest | null {
  let greediest: Guest | null = null;
  let leastLeft = Number.POSITIVE_INFINITY;
  for (const guest of guests) {
    const left = guest.meters[kind].left(nowMs);
    if (left < leastLeft) [greediest, leastLeft] = [guest, left];
  }
  return greediest;
}

/** Where all together take too little, those for whom most waits go first. */
function dropUntaken(guests: ReadonlyMap<Duplex, Guest>, mostBytes: number): void {
  const waiting = [...guests.keys()].sort((one, other) => other.writableLength - one.writableLength);
  let bytes = waiting.reduce((sum, { writableLength }) => sum + writableLength, 0);
  for (const connection of waiting) {
    if (bytes <= mostBytes) return;
    bytes -= connection.writableLength;
    connection.destroy();
  }
}
