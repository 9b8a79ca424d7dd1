import { randomUUID } from "node:crypto";
import { readdirSync } from "node:fs";
import { connect, type Socket } from "node:net";
import { join } from "node:path";
import { createInterface } from "node:readline";
import { setTimeout as pause } from "node:timers/promises";
import type { Outcome } from "../../../shared/contract/index.ts";
import { typed } from "../typed.ts";
import { controlSocketPath, type Greeting, type Question, type Reply } from "./control-socket.ts";

/** The running controller as a command on the same computer sees it. */
export interface Visit {
  readonly greeting: Greeting;
  /** What stands on a topic, such as `top-off/state`; empty = nothing. */
  text(place: string): string;
  /** Asks with an id of its own, and waits for the outcome. */
  ask(kind: string, body: Readonly<Record<string, unknown>>): Promise<Outcome>;
  /** Called whenever something was told; returns how to stop it. */
  onTold(listener: () => void): () => void;
  isGone(): boolean;
  close(): void;
}

/** Nobody runs there, or too many do. */
export class NoVisit extends Error {
  override readonly name = "NoVisit";
}

export interface VisitOptions {
  /** The folder that the controller was given with `--data`. */
  readonly data: string;
  /** Needed only where several controllers run on one folder; `rehearsal` is one, too. */
  readonly tank: string | null;
}

export async function visitController({ data, tank }: VisitOptions): Promise<Visit> {
  const found: [name: string, socket: Socket][] = [];
  for (const name of tank === null ? foldersIn(data) : [tank]) {
    const socket = await knock(controlSocketPath(join(data, name)));
    if (socket !== null) found.push([name, socket]);
  }
  const [first, ...others] = found;
  if (first === undefined) throw new NoVisit(nobodyIn(data, tank));
  if (others.length === 0) return enter(first[1]);
  for (const [, socket] of found) socket.destroy();
  const names = found.map(([name]) => `--tank ${name}`).join(" or ");
  throw new NoVisit(`Several controllers run on the folder ${data}. Say which: ${names}.`);
}

const nobodyIn = (data: string, tank: string | null): string =>
  `No controller runs on the folder ${tank === null ? data : join(data, tank)} of this computer. Start it in another ` +
  `terminal (${typed("run settings.json")}); if it was started with --data <folder>, say the same here.`;

function foldersIn(data: string): readonly string[] {
  try {
    return readdirSync(data, { withFileTypes: true })
      .filter((entry) => entry.isDirectory())
      .map(({ name }) => name);
  } catch (error) {
    if (isForbidden(error)) throw new NoVisit(forbidden(data));
    // There is no such folder: nobody is found there, and that is said.
    return [];
  }
}

/** Null = nobody opens. */
function knock(path: string): Promise<Socket | null> {
  return new Promise((resolve, reject) => {
    const socket = connect(path);
    socket.once("error", (error) => (isForbidden(error) ? reject(new NoVisit(forbidden(path))) : resolve(null)));
    socket.once("connect", () => resolve(socket));
  });
}

const isForbidden = (error: unknown): boolean =>
  ["EACCES", "EPERM"].includes((error as NodeJS.ErrnoException).code ?? "");
const forbidden = (path: string): string =>
  `You may not open ${path}: run this command as the user who runs the controller (such as: sudo -u evenbrine …).`;

const GREETED_WITHIN_MS = 5_000;
const ANSWERED_WITHIN_MS = 15_000;
const GONE: Omit<Outcome, "id"> = { accepted: false, why: "The controller is gone." };

async function enter(socket: Socket): Promise<Visit> {
  const talk = talkOver(socket);
  const topics = new Map<string, string>();
  const listeners = new Set<() => void>();
  const tell = () => {
    for (const listener of listeners) listener();
  };
  const look = async (since: number): Promise<number> => {
    const { places, look } = (await talk.ask({ ask: "look", since })) as Extract<Reply, { places: object }>;
    for (const [place, text] of Object.entries(places)) topics.set(place, text);
    return look;
  };
  const timer = setTimeout(() => socket.destroy(), GREETED_WITHIN_MS);
  const { greeting } = (await talk.ask({ ask: "greeting" }).catch(refused)) as Extract<Reply, { greeting: object }>;
  const first = await look(0).catch(refused);
  clearTimeout(timer);
  const follow = async () => {
    for (let last = first; ; tell()) last = await look(last);
  };
  // Looks go on until the controller is gone, which is told like any other news.
  follow().catch(tell);
  return {
    greeting,
    text: (place) => topics.get(place) ?? "",
    ask: (kind, body) => ask(talk, kind, body),
    onTold(listener) {
      listeners.add(listener);
      return () => void listeners.delete(listener);
    },
    isGone: () => socket.destroyed,
    close: () => socket.destroy(),
  };
}

const refused = (): never => {
  throw new NoVisit("The controller closed its socket: too many commands talk to it, or it is of another version.");
};

type Asking = Question extends infer Each ? (Each extends Question ? Omit<Each, "number"> : never) : never;

/** Questions and their answers over a socket; what is not answered when it closes is rejected. */
interface TalkOver {
  ask(question: Asking): Promise<Reply>;
}

function talkOver(socket: Socket): TalkOver {
  const waiting = new Map<number, PromiseWithResolvers<Reply>>();
  let number = 0;
  socket.on("error", () => socket.destroy());
  socket.once("close", () => {
    for (const { reject } of waiting.values()) reject(new Error("the controller is gone"));
  });
  const lines = createInterface({ input: socket });
  // The reader of lines tells errors of its source as its own.
  lines.on("error", () => socket.destroy());
  lines.on("line", (line) => {
    const reply = JSON.parse(line) as Reply;
    waiting.get(reply.number)?.resolve(reply);
    waiting.delete(reply.number);
  });
  return {
    ask(question) {
      number += 1;
      const answered = Promise.withResolvers<Reply>();
      if (socket.destroyed) answered.reject(new Error("the controller is gone"));
      waiting.set(number, answered);
      socket.write(`${JSON.stringify({ ...question, number })}\n`);
      return answered.promise;
    },
  };
}

async function ask(talk: TalkOver, kind: string, body: Readonly<Record<string, unknown>>): Promise<Outcome> {
  const id = randomUUID();
  const patience = new AbortController();
  const answered = talk.ask({ ask: "request", kind, body: { ...body, id } }).then(
    (reply) => ({ ...(reply as Extract<Reply, { outcome: object }>).outcome, id }),
    () => ({ id, ...GONE }),
  );
  const late = pause(ANSWERED_WITHIN_MS, { id, accepted: false, why: NO_ANSWER }, { signal: patience.signal });
  return Promise.race([answered, late.catch(() => ({ id, ...GONE }))]).finally(() => patience.abort());
}

const NO_ANSWER =
  "The controller did not answer. It may or may not have done it: look at what is shown before you ask again.";
