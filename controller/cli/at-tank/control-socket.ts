import { chmodSync, rmSync } from "node:fs";
import { createServer, type Server, type Socket } from "node:net";
import { relative, resolve } from "node:path";
import type { Outcome, Request } from "../../../shared/contract/index.ts";
import type { KeeperUnits } from "../../../shared/units/index.ts";
import { readRequest } from "../../publish/request-schema.ts";

/**
 * The way in for commands on this very computer: `hold`, `clear`, `prove`, `calibrate`. One controller owns the parts;
 * these commands only ask it, and look. A socket in the folder of the memory, which nobody may open but whoever may read
 * that folder: no page in a browser and nobody on the network reaches it. What is asked here counts as asked at the
 * tank, as what is typed into the controller's own terminal does.
 *
 * Plain question and answer, each a line of JSON with the number of the question; nothing is sent that was not asked for.
 */
export interface ControlSocket {
  /** Null = it is open; else why it could not be opened. */
  open(greeting: Greeting): Promise<string | null>;
  /** What stands on every topic below the tank, as of the newest scan; made only when somebody looks. */
  show(topics: () => ReadonlyMap<string, string>): void;
  /** Answers whoever asked here. */
  answer(outcomes: readonly Outcome[]): void;
  close(): Promise<void>;
}

export interface ControlSocketOptions {
  /** Where the running controller keeps its memory: a folder of its own. */
  readonly folder: string;
  /** Hands a request to the scan. Null = its outcome comes later. */
  offer(request: Request): Outcome | null;
  /** Does what a visitor asks for behind a boundary: what fails there concerns nobody else. */
  attempt(act: () => void): void;
}

/** Who is there. */
export interface Greeting {
  readonly version: 1;
  readonly tank: string;
  readonly name: string;
  readonly water: "real" | "rehearsal";
  /** Simulated seconds per second of the clock. */
  readonly speed: number;
  /** In which its keeper wants to be spoken to. */
  readonly units: KeeperUnits;
}

export type Question = { readonly number: number } & (
  | { readonly ask: "greeting" }
  /** Answered with what has changed since that look, as soon as something has. */
  | { readonly ask: "look"; readonly since: number }
  | { readonly ask: "request"; readonly kind: string; readonly body: unknown }
);

export type Reply = { readonly number: number } & (
  | { readonly greeting: Greeting }
  | { readonly look: number; readonly places: Readonly<Record<string, string>> }
  | { readonly outcome: Outcome }
);

/** The socket of the controller that keeps its memory in this folder; its path has few letters to spare (107). */
export function controlSocketPath(folder: string): string {
  const whole = resolve(folder, "control");
  const near = relative("", whole);
  return near.length < whole.length ? near : whole;
}

const MOST_VISITORS = 8;
const LONGEST_LINE = 4_000;
/** Who does not take the answers is sent away: nobody waits for a visitor. */
const MOST_UNTAKEN_BYTES = 1_000_000;
/** Requests that one visitor may have open. */
const MOST_OPEN = 32;

interface Visitor {
  readonly socket: Socket;
  /** The look that waits for something new. */
  looking: { readonly number: number; readonly since: number } | null;
  /** Requests not yet answered: their ids, and the numbers of the questions. */
  readonly open: Map<string, number>;
}

export function createControlSocket({ folder, offer, attempt }: ControlSocketOptions): ControlSocket {
  const board = createBoard();
  const visitors = new Set<Visitor>();
  const answerLooks = () => {
    for (const visitor of visitors) {
      const { looking } = visitor;
      if (looking === null) continue;
      const look = board.since(looking.since);
      if (Object.keys(look.places).length === 0) continue;
      visitor.looking = null;
      reply(visitor, { number: looking.number, ...look });
    }
  };
  const hear = (visitor: Visitor, greeting: Greeting, line: string) => {
    const question = readQuestion(line);
    if (question === null) return void visitor.socket.destroy();
    if (question.ask === "greeting") return reply(visitor, { number: question.number, greeting });
    if (question.ask === "look") {
      visitor.looking = question;
      return answerLooks();
    }
    const outcome = request(visitor, question, offer);
    if (outcome !== null) reply(visitor, { number: question.number, outcome });
  };
  const take = (socket: Socket, greeting: Greeting) => {
    socket.on("error", () => socket.destroy());
    if (visitors.size >= MOST_VISITORS) return void socket.destroy();
    const visitor: Visitor = { socket, looking: null, open: new Map() };
    visitors.add(visitor);
    socket.once("close", () => visitors.delete(visitor));
    listenTo(socket, (line) => attempt(() => hear(visitor, greeting, line)));
  };
  let server: Server | null = null;
  return {
    open(greeting) {
      server = createServer((socket) => take(socket, greeting));
      return listen(server, controlSocketPath(folder));
    },
    show(topics) {
      board.show(topics);
      answerLooks();
    },
    answer(outcomes) {
      for (const visitor of visitors) {
        for (const outcome of outcomes) {
          const number = visitor.open.get(outcome.id);
          if (number === undefined) continue;
          visitor.open.delete(outcome.id);
          reply(visitor, { number, outcome });
        }
      }
    },
    async close() {
      for (const { socket } of visitors) socket.end();
      await new Promise<void>((resolve) => (server === null ? resolve() : server.close(() => resolve())));
    },
  };
}

/** What stands on every topic, and in which look it came there. Looks are numbered by what was shown. */
function createBoard() {
  let newest: (() => ReadonlyMap<string, string>) | null = null;
  let shown = 0;
  const known = new Map<string, { readonly text: string; readonly look: number }>();
  const bringUpToDate = () => {
    if (newest === null) return;
    for (const [place, text] of newest()) {
      if (known.get(place)?.text !== text) known.set(place, { text, look: shown });
    }
    newest = null;
  };
  return {
    show(topics: () => ReadonlyMap<string, string>) {
      newest = topics;
      shown += 1;
    },
    since(look: number): { readonly look: number; readonly places: Readonly<Record<string, string>> } {
      bringUpToDate();
      const news = [...known].filter(([, place]) => place.look > look).map(([place, { text }]) => [place, text]);
      return { look: shown, places: Object.fromEntries(news) };
    },
  };
}

function reply({ socket }: Visitor, answer: Reply): void {
  if (socket.writableLength > MOST_UNTAKEN_BYTES) socket.destroy();
  else socket.write(`${JSON.stringify(answer)}\n`);
}

/** The outcome, where it is known at once. */
function request(
  visitor: Visitor,
  { number, kind, body }: Question & { readonly ask: "request" },
  offer: ControlSocketOptions["offer"],
): Outcome | null {
  const read = readRequest(String(kind), JSON.stringify(body) ?? "");
  if (read.request === null) return { id: read.id, accepted: false, why: read.why };
  const { id } = read.request;
  if (visitor.open.size >= MOST_OPEN) return { id, accepted: false, why: "Too much was asked at once." };
  const refused = offer({ ...read.request, at: "tank" });
  if (refused === null) visitor.open.set(id, number);
  return refused;
}

/** Null = it is none. */
function readQuestion(line: string): Question | null {
  try {
    const question = JSON.parse(line) as Question;
    if (!Number.isSafeInteger(question.number)) return null;
    if (question.ask === "look") return Number.isSafeInteger(question.since) ? question : null;
    return question.ask === "greeting" || question.ask === "request" ? question : null;
  } catch {
    return null;
  }
}

/** Whole lines only; a line that has no end ends the visit. */
function listenTo(visitor: Socket, onLine: (line: string) => void): void {
  let begun = "";
  visitor.setEncoding("utf8");
  visitor.on("data", (text: string) => {
    const lines = `${begun}${text}`.split("\n");
    begun = lines.pop() as string;
    if (begun.length > LONGEST_LINE) visitor.destroy();
    for (const line of lines) if (line !== "" && !visitor.destroyed) onLine(line);
  });
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
