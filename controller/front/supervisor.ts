import { type ChildProcess, fork } from "node:child_process";
import { setPriority } from "node:os";
import { fileURLToPath } from "node:url";
import type { FrontState } from "../../shared/contract/index.ts";
import type { PublishedOutcome } from "../publish/index.ts";
import type { Notebook } from "../record/index.ts";
import type { FromFront, Lane, Opening, Ports, Report, ToFront } from "./messages.ts";

/**
 * The front as the scan process has it: started, watched, ended and started again. Nothing here waits for it, and what
 * is on its way to it is bounded: of reports the newest, of answers the newest few, of notes what the notebook holds.
 */
export interface Front {
  report(report: Report): void;
  answer(answers: readonly PublishedOutcome[]): void;
  state(): FrontState;
  historyFailed(): boolean;
  /** Where page and broker can be reached; null = nowhere at the moment. */
  place(): Place | null;
  /** Lets it say goodbye and keep what it was given; whatever it does, this ends soon. */
  close(): Promise<void>;
}

export interface Place {
  readonly web: number;
  readonly mqtt: number;
}

export interface FrontParts {
  readonly opening: Omit<Opening, "ports">;
  /** The ports that the keeper asked for; null = any that suits. */
  readonly ports: { readonly web: number | null; readonly mqtt: number | null };
  readonly notebook: Pick<Notebook, "after" | "kept">;
  readonly onRequest: (kind: string, payload: string) => void;
  /** `again`: it was there before, and away since. */
  readonly onListening: (place: Place, again: boolean) => void;
  readonly say: (line: string) => void;
  /** What the front's process runs; another in a test. */
  readonly script?: string;
  readonly limits?: Partial<FrontLimits>;
}

export interface FrontLimits {
  /** Without a sign of life for longer, it hangs. */
  readonly silentMostMs: number;
  /** Until it can be reached it may take longer: everything is loaded first, on a machine that may have much to do. */
  readonly startMostMs: number;
  /** Twice what it needs with every page and connection that it lets in. */
  readonly residentMostBytes: number;
  /** Of all its messages in a second; some hundred are many. */
  readonly messagesMost: number;
  /** How long it may take for its last words. */
  readonly closeMostMs: number;
}

const LIMITS: FrontLimits = {
  silentMostMs: 10_000,
  startMostMs: 60_000,
  residentMostBytes: 220e6,
  messagesMost: 2_000,
  closeMostMs: 3_000,
};
/** Of its heap; what passes it is ended by its own runtime. */
const HEAP_MOST_MB = 96;
/** Once it serves people it gives way to whoever looks after the tank; on its way there it is to be quick. */
const PRIORITY = 5;
/** Waits before it is started again. A single fall costs nothing; one that falls again and again is left alone for longer. */
const BACK_OFF_MS = [0, 250, 500, 1_000, 2_000, 3_000, 10_000, 30_000, 60_000];
/** After this long without a fall, the next one is a first one. */
const STEADY_AFTER_MS = 60_000;
/** For so long after it came back it is told that it was away. */
const RESTARTED_FOR_MS = 600_000;
const TICK_MS = 1_000;
const ANSWERS_MOST = 64;
const NOTES_AT_ONCE = 500;
const LAST_WORDS_MOST = 4_000;
const FAULT_MOST = 200;

const SCRIPT = fileURLToPath(new URL("./start.mjs", import.meta.url));

export function openFront(parts: FrontParts): Front {
  const supervisor = new Supervisor(parts);
  supervisor.start();
  return supervisor;
}

/** One life of the front. */
interface Life {
  readonly child: ChildProcess;
  readonly begunMs: number;
  /** Lanes in which a message is on its way. */
  readonly busy: Set<Lane>;
  place: Place | null;
  historyFailed: boolean;
  /** Ticks since it was heard, not milliseconds: where this process itself stood still, nobody else is to blame. */
  silentTicks: number;
  messages: number;
  notesSent: number;
  why: string | null;
  stderr: string;
}

class Supervisor implements Front {
  readonly #parts: FrontParts;
  readonly #limits: FrontLimits;
  readonly #timer: NodeJS.Timeout;
  #life: Life | null = null;
  #ports: Ports;
  #report: Report | null = null;
  #answers: PublishedOutcome[] = [];
  #falls = 0;
  #hasFallen = false;
  #wasThere = false;
  #backAtMs = Number.NEGATIVE_INFINITY;
  #restart: NodeJS.Timeout | null = null;
  #closing = false;
  #onGone: (() => void) | null = null;

  constructor(parts: FrontParts) {
    this.#parts = parts;
    this.#limits = { ...LIMITS, ...parts.limits };
    const { web, mqtt } = parts.ports;
    this.#ports = { web: { asked: web, before: null }, mqtt: { asked: mqtt, before: null } };
    this.#timer = setInterval(() => this.#tick(), TICK_MS);
  }

  report(report: Report): void {
    this.#report = report;
    this.#pump();
  }

  answer(answers: readonly PublishedOutcome[]): void {
    this.#answers = [...this.#answers, ...answers].slice(-ANSWERS_MOST);
    this.#pump();
  }

  state(): FrontState {
    if (this.#life === null || this.#life.place === null) return this.#hasFallen ? "away" : "starting";
    return performance.now() - this.#backAtMs < RESTARTED_FOR_MS ? "restarted" : "running";
  }

  historyFailed(): boolean {
    return this.#life?.historyFailed ?? false;
  }

  place(): Place | null {
    return this.#life?.place ?? null;
  }

  async close(): Promise<void> {
    this.#closing = true;
    clearInterval(this.#timer);
    if (this.#restart !== null) clearTimeout(this.#restart);
    const life = this.#life;
    if (life === null) return;
    const gone = new Promise<void>((resolve) => {
      this.#onGone = resolve;
    });
    // The last notes do not wait for those before them to be taken.
    life.busy.clear();
    this.#pump();
    this.#send(life, { say: "close" });
    const patience = setTimeout(() => life.child.kill("SIGKILL"), this.#limits.closeMostMs);
    await gone;
    clearTimeout(patience);
  }

  start(): void {
    const { opening, script = SCRIPT } = this.#parts;
    // No word of it ever waits for a terminal; the last ones say why it fell. A service manager hears only the scan.
    const { NOTIFY_SOCKET: _, ...env } = process.env;
    const child = fork(script, [], {
      serialization: "advanced",
      execArgv: ["--max-semi-space-size=1", `--max-old-space-size=${HEAP_MOST_MB}`, "--disable-sigusr1"],
      stdio: ["ignore", "ignore", "pipe", "ipc"],
      env,
    });
    const life: Life = {
      child,
      begunMs: performance.now(),
      busy: new Set(),
      place: null,
      historyFailed: false,
      silentTicks: 0,
      messages: 0,
      notesSent: 0,
      why: null,
      stderr: "",
    };
    this.#life = life;
    child.stderr?.setEncoding("utf8").on("data", (text: string) => {
      life.stderr = `${life.stderr}${text}`.slice(-LAST_WORDS_MOST);
    });
    child.on("message", (message) => this.#hear(life, message as FromFront));
    child.on("error", (error) => this.#fallen(life, error.message));
    child.on("exit", (code, signal) => this.#fallen(life, signal === null ? `code ${code}` : `signal ${signal}`));
    this.#send(life, { say: "open", opening: { ...opening, ports: this.#ports } });
  }

  #hear(life: Life, message: FromFront): void {
    if (life !== this.#life) return;
    life.silentTicks = 0;
    life.messages += 1;
    switch (message.say) {
      case "took":
        life.busy.delete(message.lane);
        this.#pump();
        break;
      case "listening":
        this.#listening(life, { web: message.web, mqtt: message.mqtt });
        break;
      case "alive":
        life.historyFailed = message.historyFailed;
        if (message.residentBytes > this.#limits.residentMostBytes) this.#end(life, "it used too much memory");
        break;
      case "notice":
        this.#parts.say(message.words);
        break;
      case "kept":
        this.#parts.notebook.kept(message.upTo);
        break;
      case "request":
        if (!this.#closing) this.#parts.onRequest(message.kind, message.payload);
        break;
      case "failing":
        life.why = message.why;
    }
  }

  #listening(life: Life, place: Place): void {
    life.place = place;
    giveWay(life.child.pid);
    // A page that is open looks for it where it was.
    const { web, mqtt } = this.#ports;
    this.#ports = { web: { ...web, before: place.web }, mqtt: { ...mqtt, before: place.mqtt } };
    if (this.#hasFallen) this.#backAtMs = performance.now();
    this.#parts.onListening(place, this.#wasThere);
    this.#wasThere = true;
    this.#pump();
  }

  #tick(): void {
    const life = this.#life;
    if (life === null) return;
    if (this.#falls > 0 && performance.now() - life.begunMs > STEADY_AFTER_MS) this.#falls = 0;
    life.silentTicks += 1;
    const mostMs = life.place === null ? this.#limits.startMostMs : this.#limits.silentMostMs;
    if (life.silentTicks * TICK_MS > mostMs) this.#end(life, "it gave no sign of life");
    if (life.messages > this.#limits.messagesMost) this.#end(life, "it said too much");
    life.messages = 0;
    this.#pump();
  }

  #end(life: Life, why: string): void {
    life.why ??= why;
    life.child.kill("SIGKILL");
  }

  #fallen(life: Life, how: string): void {
    if (life !== this.#life) return;
    this.#life = null;
    // A process that never began cannot be killed, and one that only closed its pipe must be.
    life.child.kill("SIGKILL");
    this.#onGone?.();
    if (this.#closing) return;
    this.#hasFallen = true;
    const waitMs = BACK_OFF_MS[Math.min(this.#falls, BACK_OFF_MS.length - 1)] as number;
    this.#falls += 1;
    const why = life.why ?? faultIn(life.stderr) ?? how;
    this.#parts.say(
      `The page and the messages ended (${why}) and are started again${waitMs > 5_000 ? ` in ${waitMs / 1000} s` : ""}. ` +
        "The tank is looked after as ever.",
    );
    this.#restart = setTimeout(() => this.start(), waitMs);
  }

  /** Sends what waits, as far as what was sent before was taken. */
  #pump(): void {
    const life = this.#life;
    if (life === null) return;
    if (this.#report !== null && !life.busy.has("report")) {
      const report = this.#report;
      this.#report = null;
      this.#sendIn("report", life, { say: "report", report });
    }
    if (this.#answers.length > 0 && !life.busy.has("answers")) {
      const answers = this.#answers;
      this.#answers = [];
      this.#sendIn("answers", life, { say: "answers", answers });
    }
    if (life.busy.has("notes")) return;
    const notes = this.#parts.notebook.after(life.notesSent, NOTES_AT_ONCE);
    const last = notes.at(-1);
    if (last === undefined) return;
    life.notesSent = last.number;
    this.#sendIn("notes", life, { say: "notes", notes });
  }

  #sendIn(lane: Lane, life: Life, message: ToFront): void {
    life.busy.add(lane);
    this.#send(life, message);
  }

  #send({ child }: Life, message: ToFront): void {
    // One that is gone is told of by its exit.
    if (child.connected) child.send(message, () => undefined);
  }
}

/** The line of its last words that names an error; null = none does. */
const faultIn = (lastWords: string): string | null =>
  lastWords
    .split("\n")
    .find((line) => /error/i.test(line))
    ?.trim()
    .slice(0, FAULT_MOST) ?? null;

function giveWay(pid: number | undefined): void {
  try {
    if (pid !== undefined) setPriority(pid, PRIORITY);
  } catch {
    // It has ended already, which is told by its exit.
  }
}
