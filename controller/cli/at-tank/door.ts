import { chmodSync, rmSync } from "node:fs";
import { createServer, type Server, type Socket } from "node:net";
import { relative, resolve } from "node:path";
import { type Outcome, type Request, topicOf } from "../../../shared/contract/index.ts";
import type { MessageClient } from "../../publish/client.ts";
import { readRequest } from "../../publish/request-schema.ts";

/**
 * The way in for commands on this very computer: `hold`, `clear`, `prove`, `calibrate`. One controller owns the parts;
 * these commands only ask it, and watch its topics. A socket in the folder of the memory, which nobody may open but
 * whoever may read that folder: no page in a browser and nobody on the network reaches it. What comes through it counts
 * as asked at the tank, as what is typed into the controller's own terminal does.
 */
export interface Door {
  /** A client whose messages are also told to whoever stands at the door. */
  overheard(client: MessageClient): MessageClient;
  /** Null = it is open; else why it could not be opened. */
  open(greeting: Greeting): Promise<string | null>;
  close(): Promise<void>;
}

export interface DoorOptions {
  /** Where the running controller keeps its memory: a folder of its own. */
  readonly folder: string;
  readonly tank: string;
  /** Hands a request to the scan. */
  offer(request: Request): void;
}

/** The first words to whoever comes in. */
export interface Greeting {
  readonly version: 1;
  readonly tank: string;
  readonly name: string;
  readonly water: "real" | "rehearsal";
  /** Simulated seconds per second of the clock. */
  readonly speed: number;
  /** Of the dashboard. */
  readonly address: string;
}

export type Told =
  | { readonly greeting: Greeting; readonly places: Readonly<Record<string, string>> }
  | { readonly place: string; readonly text: string }
  | { readonly outcome: Outcome };

export interface Asked {
  readonly kind: string;
  readonly body: unknown;
}

/** The socket of the controller that keeps its memory in this folder; its path has few letters to spare (107). */
export function doorPath(folder: string): string {
  const whole = resolve(folder, "door");
  const near = relative("", whole);
  return near.length < whole.length ? near : whole;
}

const MOST_VISITORS = 8;
const LONGEST_LINE = 4_000;
/** Who does not take what is told is sent away: nobody waits for a visitor. */
const MOST_UNTAKEN_BYTES = 1_000_000;

export function createDoor({ folder, tank, offer }: DoorOptions): Door {
  const prefix = topicOf(tank, "", "").slice(0, -1);
  const outcomeTopic = topicOf(tank, "request", "outcome");
  const known = new Map<string, string>();
  const visitors = new Set<Socket>();
  const tell = (told: Told) => {
    if (visitors.size === 0) return;
    const line = `${JSON.stringify(told)}\n`;
    for (const visitor of visitors) say(visitor, line);
  };
  const take = (visitor: Socket, greeting: Greeting) => {
    visitor.on("error", () => visitor.destroy());
    if (visitors.size >= MOST_VISITORS) return void visitor.destroy();
    visitors.add(visitor);
    visitor.once("close", () => visitors.delete(visitor));
    say(visitor, `${JSON.stringify({ greeting, places: Object.fromEntries(known) } satisfies Told)}\n`);
    listenTo(visitor, (line) => {
      const read = readAsked(line);
      if (read.request !== null) offer({ ...read.request, at: "tank" });
      else say(visitor, `${JSON.stringify({ outcome: { id: read.id, accepted: false, why: read.why } })}\n`);
    });
  };
  let server: Server | null = null;
  return {
    open(greeting) {
      server = createServer((visitor) => take(visitor, greeting));
      return listen(server, doorPath(folder));
    },
    overheard: (client) => ({
      showsRetained: client.showsRetained,
      subscribe: (filter, take) => client.subscribe(filter, take),
      onConnect: (listener) => client.onConnect(listener),
      connected: () => client.connected(),
      close: () => client.close(),
      publish(topic, payload, retain) {
        if (topic === outcomeTopic) tell({ outcome: JSON.parse(payload) as Outcome });
        else if (retain && topic.startsWith(prefix)) {
          const place = topic.slice(prefix.length);
          known.set(place, payload);
          tell({ place, text: payload });
        }
        return client.publish(topic, payload, retain);
      },
    }),
    async close() {
      for (const visitor of visitors) visitor.end();
      await new Promise<void>((resolve) => (server === null ? resolve() : server.close(() => resolve())));
    },
  };
}

function say(visitor: Socket, line: string): void {
  if (visitor.writableLength > MOST_UNTAKEN_BYTES) visitor.destroy();
  else visitor.write(line);
}

/** Whole lines only; a line that has no end ends the visit. */
function listenTo(visitor: Socket, onLine: (line: string) => void): void {
  let begun = "";
  visitor.setEncoding("utf8");
  visitor.on("data", (text: string) => {
    const lines = `${begun}${text}`.split("\n");
    begun = lines.pop() as string;
    if (begun.length > LONGEST_LINE) visitor.destroy();
    for (const line of lines) if (line !== "") onLine(line);
  });
}

function readAsked(line: string): ReturnType<typeof readRequest> {
  try {
    const { kind, body } = JSON.parse(line) as Asked;
    const read = readRequest(String(kind), JSON.stringify(body) ?? "");
    const id = (body as { id?: unknown } | null)?.id;
    // Whoever asks waits for the answer to this id, whatever else was wrong.
    return read.request === null && typeof id === "string" ? { ...read, id } : read;
  } catch {
    return { request: null, id: "", why: "The request is not JSON." };
  }
}

/** Null = it listens. The folder of the memory is this process's own, so a socket that lies there is a dead one's. */
async function listen(server: Server, path: string): Promise<string | null> {
  try {
    rmSync(path, { force: true });
    await new Promise<void>((resolve, reject) => {
      server.once("error", reject);
      server.listen(path, resolve);
    });
    chmodSync(path, 0o600);
    return null;
  } catch (error) {
    return (error as Error).message;
  } finally {
    // Later trouble is that of a single visitor.
    server.on("error", () => undefined);
  }
}
