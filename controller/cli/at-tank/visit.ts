import { randomUUID } from "node:crypto";
import { readdirSync } from "node:fs";
import { connect, type Socket } from "node:net";
import { join } from "node:path";
import { createInterface } from "node:readline";
import type { Outcome } from "../../../shared/contract/index.ts";
import { typed } from "../typed.ts";
import { doorPath, type Greeting, type Told } from "./door.ts";

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
    const socket = await knock(doorPath(join(data, name)));
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

function enter(socket: Socket): Promise<Visit> {
  const topics = new Map<string, string>();
  const listeners = new Set<() => void>();
  const waiting = new Map<string, (outcome: Omit<Outcome, "id">) => void>();
  let gone = false;
  const ended = () => {
    gone = true;
    for (const answer of waiting.values()) answer(GONE);
    for (const listener of listeners) listener();
  };
  socket.on("error", () => socket.destroy());
  socket.once("close", ended);
  const visit = (greeting: Greeting): Visit => ({
    greeting,
    text: (place) => topics.get(place) ?? "",
    ask: (kind, body) => ask(socket, waiting, kind, body),
    onTold(listener) {
      listeners.add(listener);
      return () => void listeners.delete(listener);
    },
    isGone: () => gone,
    close: () => socket.destroy(),
  });
  return new Promise((resolve, reject) => {
    const timer = setTimeout(() => socket.destroy(), GREETED_WITHIN_MS);
    socket.once("close", () => reject(new NoVisit("The controller closed the door: too many commands talk to it.")));
    const lines = createInterface({ input: socket });
    // The reader of lines tells errors of its source as its own.
    lines.on("error", () => socket.destroy());
    lines.on("line", (line) => {
      const told = JSON.parse(line) as Told;
      if ("greeting" in told) {
        clearTimeout(timer);
        for (const [place, text] of Object.entries(told.places)) topics.set(place, text);
        resolve(visit(told.greeting));
      } else if ("outcome" in told) waiting.get(told.outcome.id)?.(told.outcome);
      else topics.set(told.place, told.text);
      for (const listener of listeners) listener();
    });
  });
}

function ask(
  socket: Socket,
  waiting: Map<string, (outcome: Omit<Outcome, "id">) => void>,
  kind: string,
  body: Readonly<Record<string, unknown>>,
): Promise<Outcome> {
  const id = randomUUID();
  if (socket.destroyed) return Promise.resolve({ id, ...GONE });
  return new Promise((resolve) => {
    const answer = (outcome: Omit<Outcome, "id">) => {
      clearTimeout(timer);
      waiting.delete(id);
      resolve({ ...outcome, id });
    };
    const timer = setTimeout(() => answer({ accepted: false, why: NO_ANSWER }), ANSWERED_WITHIN_MS);
    waiting.set(id, answer);
    socket.write(`${JSON.stringify({ kind, body: { ...body, id } })}\n`);
  });
}

const NO_ANSWER =
  "The controller did not answer. It may or may not have done it: look at what is shown before you ask again.";
