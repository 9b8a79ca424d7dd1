import type ModbusSerial from "modbus-serial";
import type { ModbusLine as ModbusSettings, Register } from "../../shared/settings/index.ts";
import type { Heard } from "./heard.ts";
import { ModbusPort } from "./modbus-port.ts";
import { openSerialLine, type SerialLine } from "./serial-line.ts";

/** Registers of one slave that are read at once. */
export interface Question {
  readonly slave: number;
  readonly table: Register["table"];
  readonly address: number;
  readonly count: 1 | 2;
}

export interface RegisterLine {
  readonly name: string;
  /** The registers' words, highest address last, as they came. */
  words(question: Question): Heard<readonly number[]>;
  describe(): readonly string[];
  close(): Promise<void>;
}

export async function openModbusLine(
  name: string,
  settings: ModbusSettings,
  questions: readonly Question[],
  nowMs: () => number,
): Promise<RegisterLine> {
  const line = new ModbusLine(name, settings, questions, nowMs);
  await line.open();
  return line;
}

type Told = Heard<readonly number[]> & { readonly complaint: string | null };

type Answer =
  | { readonly words: readonly number[]; readonly fault: null; readonly complaint: null }
  | { readonly words: null; readonly fault: "no-answer" | "garbled" | "refused"; readonly complaint: string };

const keyOf = ({ slave, table, address, count }: Question): string => `${slave} ${table} ${address} ${count}`;

class ModbusLine implements RegisterLine {
  readonly name: string;
  readonly #settings: ModbusSettings;
  readonly #slaves: ReadonlyMap<number, readonly Question[]>;
  readonly #nowMs: () => number;
  readonly #told = new Map<string, Told>();
  readonly #port = new ModbusPort(() => this.#line);
  #client!: InstanceType<typeof ModbusSerial.default>;
  #line!: SerialLine;
  #closed = false;
  #pause: { readonly timer: NodeJS.Timeout; readonly end: () => void } | null = null;
  #rounds: Promise<void> = Promise.resolve();

  constructor(name: string, settings: ModbusSettings, questions: readonly Question[], nowMs: () => number) {
    this.name = name;
    this.#settings = settings;
    this.#nowMs = nowMs;
    const different = [...new Map(questions.map((question) => [keyOf(question), question])).values()];
    this.#slaves = Map.groupBy(different, ({ slave }) => slave);
    const started = { value: null, fault: "not-yet", atMs: nowMs(), sample: 0, complaint: null } as const;
    for (const question of different) this.#told.set(keyOf(question), started);
  }

  async open(): Promise<void> {
    const { port, baud, parity, stopBits } = this.#settings;
    const { default: modbus } = await import("modbus-serial");
    this.#line = await openSerialLine(
      { path: port, baudRate: baud, parity, stopBits },
      {
        onOpen: () => this.#forAll("not-yet"),
        onClose: () => this.#forAll("disconnected"),
        onBytes: (bytes) => this.#port.take(bytes),
      },
    );
    if (!this.#line.isOpen) this.#forAll("disconnected");
    this.#client = new modbus.default(this.#port);
    this.#client.on("error", () => undefined);
    this.#client.setTimeout(this.#settings.timeoutMs);
    this.#client.open(() => undefined);
    this.#rounds = this.#poll();
  }

  words(question: Question): Heard<readonly number[]> {
    const told = this.#told.get(keyOf(question));
    if (told === undefined) throw new Error(`nobody asks line ${this.name} for ${keyOf(question)}`);
    return told;
  }

  describe(): readonly string[] {
    const line = `Line ${this.name} on ${this.#settings.port}`;
    if (!this.#line.isOpen) return [`${line}: ${this.#line.problem ?? "closed"}; trying again every second.`];
    if (this.#slaves.size === 0) return [`${line}: open, but no input of the settings is read from it.`];
    return [...this.#slaves].map(([slave, questions]) => {
      const told = questions.map((question) => this.#told.get(keyOf(question)) as Told);
      const bad = told.find(({ fault }) => fault !== null);
      return `${line}, slave ${slave}: ${bad ? (bad.complaint ?? "not asked yet") : "answers"}.`;
    });
  }

  async close(): Promise<void> {
    this.#closed = true;
    this.#pause?.end();
    await this.#rounds;
    await this.#line.close();
  }

  /** One question after another: every slave in turn, then a pause until the next round is due. */
  async #poll(): Promise<void> {
    while (!this.#closed) {
      const beganMs = this.#nowMs();
      for (const questions of this.#slaves.values()) await this.#askSlave(questions);
      const spentMs = this.#nowMs() - beganMs;
      await this.#wait(Math.max(SHORTEST_PAUSE_MS, this.#settings.pollMs - spentMs));
    }
  }

  async #askSlave(questions: readonly Question[]): Promise<void> {
    for (const [index, question] of questions.entries()) {
      if (this.#closed || !this.#line.isOpen) return;
      let answer = await this.#ask(question);
      // One spoilt answer on a long line is no fault yet: a slave that was well a moment ago is asked again.
      const wasWell = this.#told.get(keyOf(question))?.fault === null;
      if (wasWell && answer.fault !== null && answer.fault !== "refused") answer = await this.#ask(question);
      this.#tell(question, answer);
      if (answer.fault !== "no-answer") continue;
      // The slave's other registers wait for the next round, which begins with the same question.
      for (const other of questions.slice(index + 1)) this.#tell(other, answer);
      return;
    }
  }

  async #ask({ slave, table, address, count }: Question): Promise<Answer> {
    const answer = await new Promise<Answer>((resolve) => {
      const done = (error: (Error & { modbusCode?: number }) | null, result?: { data: number[] }) => {
        if (!error && result) resolve({ words: result.data, fault: null, complaint: null });
        else if (error?.modbusCode !== undefined) {
          resolve({ words: null, fault: "refused", complaint: `refuses to read its registers (${error.message})` });
        } else {
          const fault = this.#port.received > 0 ? "garbled" : "no-answer";
          resolve({ words: null, fault, complaint: COMPLAINTS[fault] });
        }
      };
      if (table === "input") this.#client.writeFC4(slave, address, count, done);
      else this.#client.writeFC3(slave, address, count, done);
    });
    if (answer.fault === null) {
      await this.#wait(quietMs(count, this.#settings.baud));
      if (this.#port.answeredTwice) return TWICE;
    }
    // An answer that comes late must not be taken for the answer to the next question: let it pass by first.
    if (answer.fault === "garbled" || answer.fault === "no-answer") await this.#wait(this.#settings.timeoutMs);
    return answer;
  }

  #tell(question: Question, { words, fault, complaint }: Answer): void {
    if (!this.#line.isOpen) return;
    const key = keyOf(question);
    const before = this.#told.get(key) as Told;
    const heard = { atMs: this.#nowMs(), sample: before.sample + 1 };
    if (fault === null) this.#told.set(key, { value: words, fault, ...heard, complaint });
    else if (fault === "no-answer") {
      this.#told.set(key, { value: null, fault, atMs: before.atMs, sample: before.sample, complaint });
    } else this.#told.set(key, { value: null, fault: "garbled", ...heard, complaint });
  }

  #forAll(fault: "not-yet" | "disconnected"): void {
    for (const [key, { atMs, sample }] of this.#told) {
      this.#told.set(key, { value: null, fault, atMs, sample, complaint: null });
    }
  }

  #wait(forMs: number): Promise<void> {
    if (this.#closed) return Promise.resolve();
    return new Promise((resolve) => {
      const end = () => {
        clearTimeout(timer);
        this.#pause = null;
        resolve();
      };
      const timer = setTimeout(end, forMs);
      this.#pause = { timer, end };
    });
  }
}

const SHORTEST_PAUSE_MS = 20;
const BITS_PER_CHARACTER = 11;

/** How long a second answer to the same question may take; before that the next question could be answered by it. */
const quietMs = (registers: number, baud: number): number =>
  5 + (1.5 * (5 + 2 * registers) * BITS_PER_CHARACTER * 1000) / baud;

const TWICE: Answer = {
  words: null,
  fault: "garbled",
  complaint: "two answers came to one question: two slaves have this address; unplug one and give the other a new one",
};
const COMPLAINTS = {
  "no-answer": "does not answer; check its address, baud rate and wires",
  garbled:
    "answers with broken bytes; check baud rate, parity, the line's ends, and that no two slaves have this address",
};
