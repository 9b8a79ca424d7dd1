import type { TextLine as TextSettings } from "../../shared/settings/index.ts";
import type { Heard } from "./heard.ts";
import { createPause } from "./pause.ts";
import { openSerialLine, type SerialLine } from "./serial-line.ts";

/** An instrument that writes its values as text, when it is asked or by itself. */
export interface TextLine {
  readonly name: string;
  /** What stood in a group of the pattern in the last reply. */
  value(group: string): Heard<string>;
  describe(): readonly string[];
  close(): Promise<void>;
}

export async function openTextLine(name: string, settings: TextSettings, nowMs: () => number): Promise<TextLine> {
  const line = new TextInstrument(name, settings, nowMs);
  await line.open();
  return line;
}

/** Longer than any reply; beyond it the bytes are of another kind of instrument, or of another baud rate. */
const LONGEST_LINE = 200;

type Told =
  | { readonly groups: Readonly<Record<string, string | undefined>>; readonly fault: null }
  | { readonly groups: null; readonly fault: "not-yet" | "no-answer" | "garbled" | "disconnected" };

class TextInstrument implements TextLine {
  readonly name: string;
  readonly #settings: TextSettings;
  readonly #nowMs: () => number;
  readonly #pattern: RegExp;
  readonly #pause = createPause();
  #line!: SerialLine;
  #told: Told = { groups: null, fault: "not-yet" };
  #atMs: number;
  #sample = 0;
  #text = "";
  /** What came before the first end of a line may be the rest of something. */
  #isAligned = false;
  #unfit: string | null = null;
  /** Set while a question is open; told whether a line came that fits. */
  #onReply: ((fits: boolean) => void) | null = null;
  #rounds: Promise<void> = Promise.resolve();

  constructor(name: string, settings: TextSettings, nowMs: () => number) {
    this.name = name;
    this.#settings = settings;
    this.#nowMs = nowMs;
    this.#atMs = nowMs();
    this.#pattern = new RegExp(settings.pattern, "u");
  }

  async open(): Promise<void> {
    const { port, baud, parity, stopBits, request } = this.#settings;
    this.#line = await openSerialLine(
      { path: port, baudRate: baud, parity, stopBits },
      {
        onOpen: () => this.#start(),
        onClose: () => this.#tell({ groups: null, fault: "disconnected" }),
        onBytes: (bytes) => this.#take(bytes),
      },
    );
    if (!this.#line.isOpen) this.#tell({ groups: null, fault: "disconnected" });
    this.#rounds = request === null ? this.#listen() : this.#ask(request);
  }

  value(group: string): Heard<string> {
    const heard = { atMs: this.#atMs, sample: this.#sample };
    if (this.#told.fault !== null) return { value: null, fault: this.#told.fault, ...heard };
    const value = this.#told.groups[group];
    return value === undefined ? { value: null, fault: "garbled", ...heard } : { value, fault: null, ...heard };
  }

  describe(): readonly string[] {
    const line = `Line ${this.name} on ${this.#settings.port}`;
    if (!this.#line.isOpen) return [`${line}: ${this.#line.problem ?? "closed"}; trying again every second.`];
    return [`${line}: ${this.#state()}.`];
  }

  async close(): Promise<void> {
    this.#pause.end();
    this.#onReply?.(false);
    await this.#rounds;
    await this.#line.close();
  }

  #state(): string {
    switch (this.#told.fault) {
      case null:
        return "answers";
      case "garbled":
        return `says ${JSON.stringify(this.#unfit ?? "")}, which its pattern does not fit; check pattern and baud rate`;
      case "no-answer":
        return this.#settings.request === null
          ? "says nothing; check its baud rate and wires, and whether it wants to be asked"
          : "does not answer its request; check baud rate and wires, and how the request must end";
      default:
        return "not heard yet";
    }
  }

  #start(): void {
    this.#text = "";
    this.#isAligned = false;
    this.#tell({ groups: null, fault: "not-yet" });
  }

  #tell(told: Told): void {
    this.#told = told;
    if (told.fault !== null && told.fault !== "garbled") return;
    this.#atMs = this.#nowMs();
    this.#sample += 1;
  }

  #take(bytes: Buffer): void {
    this.#text += bytes.toString("latin1");
    const lines = this.#text.split(/[\r\n]+/);
    this.#text = (lines.pop() as string).slice(0, LONGEST_LINE + 1);
    for (const whole of lines) {
      if (this.#isAligned && whole !== "" && whole.length <= LONGEST_LINE) this.#takeLine(whole);
      this.#isAligned = true;
    }
  }

  #takeLine(whole: string): void {
    const groups = this.#pattern.exec(whole)?.groups;
    const isAsked = this.#settings.request !== null;
    if (groups) {
      // What comes when nobody has asked is the late reply to a question that was given up.
      if (isAsked && this.#onReply === null) return;
      this.#unfit = null;
      this.#tell({ groups: { ...groups }, fault: null });
      this.#onReply?.(true);
    } else {
      this.#unfit = whole.slice(0, 40);
      if (!isAsked) this.#tell({ groups: null, fault: "garbled" });
    }
  }

  /** Asks, waits for a line that fits, and pauses until the next question is due. Lines that do not fit are passed over. */
  async #ask(request: string): Promise<void> {
    const { pollMs, timeoutMs } = this.#settings;
    while (!this.#pause.isOver) {
      const beganMs = this.#nowMs();
      if (this.#line.isOpen && !(await this.#askOnce(request)) && this.#line.isOpen && !this.#pause.isOver) {
        this.#tell({ groups: null, fault: this.#unfit === null ? "no-answer" : "garbled" });
        await this.#pause.for(timeoutMs);
      }
      await this.#pause.for(Math.max(SHORTEST_PAUSE_MS, pollMs - (this.#nowMs() - beganMs)));
    }
  }

  async #askOnce(request: string): Promise<boolean> {
    this.#text = "";
    this.#unfit = null;
    // The reply is whole from its first byte on, since the question is what it begins with.
    this.#isAligned = true;
    const fits = new Promise<boolean>((resolve) => {
      this.#onReply = resolve;
    });
    this.#line.write(Buffer.from(request, "latin1"));
    const timer = setTimeout(() => this.#onReply?.(false), this.#settings.timeoutMs);
    const answer = await fits;
    clearTimeout(timer);
    this.#onReply = null;
    return answer;
  }

  async #listen(): Promise<void> {
    const { timeoutMs } = this.#settings;
    while (!this.#pause.isOver) {
      const before = this.#sample;
      await this.#pause.for(timeoutMs);
      if (this.#line.isOpen && this.#sample === before) this.#tell({ groups: null, fault: "no-answer" });
    }
  }
}

const SHORTEST_PAUSE_MS = 20;
