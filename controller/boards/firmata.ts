import type { Firmata } from "firmata-io";
import type { FirmataBoard as FirmataSettings } from "../../shared/settings/index.ts";
import { CONTACT_STALE_MS } from "../../shared/settings/limits.ts";
import { type FirmataLink, openFirmataLink } from "./firmata-link.ts";
import {
  ANSWER_MS,
  answersTo,
  PIN_MODE,
  PULL_UP_MODE,
  QUERY_ANALOG_MAPPING,
  QUERY_CAPABILITIES,
  QUERY_FIRMWARE,
  queryPin,
  REPORT_ANALOG,
  REPORT_DIGITAL,
  REPORT_VERSION,
  samplingInterval,
} from "./firmata-protocol.ts";
import { GuardSide } from "./guard-side.ts";
import type { Heard } from "./heard.ts";
import { choosePacemakers, type Pacemaker } from "./pacemaker.ts";
import { makePortImage, type OutputPin, type PortImage, portOf } from "./port-image.ts";

/** What is wired to a board, by pin. */
export interface PinWiring {
  readonly contacts: readonly number[];
  /** Pins whose voltage is read. */
  readonly analogs: readonly number[];
  readonly outputs: readonly OutputPin[];
}

/** A board whose pins are contacts to ground, voltages and relays. */
export interface PinBoard {
  readonly name: string;
  /** Whether a contact's pin reads high, which is an open contact. */
  contact(pin: number): Heard<boolean>;
  /** Voltage of an analog pin as a share of the supply, 0 to 1. */
  analog(pin: number): Heard<number>;
  /** Its pins are as they should be, so outputs may be set. False means: every output is off, or told to be. */
  readonly isReady: boolean;
  /** It does not report, or not all that is wired to it. */
  isSilent(nowMs: number): boolean;
  /** Keeps its outputs from falling, where its firmware lets them fall. From the success path of a healthy scan only. */
  feed(): void;
  /** It was reset and nobody has been told yet. */
  readonly hasRestarted: boolean;
  forgetRestart(): void;
  /** Its firmware keeps the pump off by itself, until it loses its power. */
  readonly pumpLocked: boolean;
  /** Sets outputs, all in one go where they share a port. Does nothing while the board is not ready. */
  write(levels: readonly { readonly pin: number; readonly high: boolean }[]): void;
  describe(nowMs: number): readonly string[];
  /** Outputs at rest first, and waits until that is written. */
  close(): Promise<void>;
}

export async function openFirmataBoard(
  name: string,
  settings: FirmataSettings,
  wiring: PinWiring,
  nowMs: () => number,
): Promise<PinBoard> {
  const board = new FirmataBoard(name, settings, wiring, nowMs);
  await board.open();
  return board;
}

/** Ten samples a second; a contact that stands still is sampled as often as one that moves. */
const SAMPLE_MS = 100;
const FIRST_ASK_MS = 250;
const ASK_AGAIN_MS = 1000;
/** Rounds without an answer after which the board counts as mute. Answers take 3 ms; one stall of ours is one round. */
const UNANSWERED_ROUNDS = 5;
const MUTE_AFTER_OPEN_MS = 10_000;

/** Ten bits, where the board does not say. */
const USUAL_FULL_SCALE = 1023;

interface PinNews {
  readonly pin: number;
  readonly value: number;
}

/**
 * `closed` no port, `greeting` the port is open and the board has not said who it is, `settling` its pins are being set
 * and checked, `arming` they are as they should be and the guard firmware waits to be fed, `ready` outputs may be set.
 */
type Phase = "closed" | "greeting" | "settling" | "arming" | "ready";

class FirmataBoard implements PinBoard {
  readonly name: string;
  hasRestarted = false;
  readonly #settings: FirmataSettings;
  readonly #wiring: PinWiring;
  readonly #nowMs: () => number;
  readonly #image: PortImage;
  readonly #guard: GuardSide | null;
  readonly #reports = new Map<number, { value: boolean | number; atMs: number; sample: number }>();
  #link!: FirmataLink;
  #phase: Phase = "closed";
  #problem: string | null = null;
  #openedAtMs: number;
  #heardAtMs: number;
  #asks = { open: 0, lastAtMs: 0 };
  #nextAsk: NodeJS.Timeout | undefined;
  #rounds: NodeJS.Timeout | undefined;
  #round = 0;
  #pacemakers: readonly Pacemaker[] = [];
  #question: { readonly pin: number; readonly high: boolean } | null = null;
  #unanswered = 0;
  /** Since the port was opened; what a board then forgets, it forgot by a reset. */
  #wasReady = false;
  /** Counts the settlings, so that one that was overtaken can tell. */
  #settling = 0;

  constructor(name: string, settings: FirmataSettings, wiring: PinWiring, nowMs: () => number) {
    this.name = name;
    this.#settings = settings;
    this.#wiring = wiring;
    this.#nowMs = nowMs;
    this.#image = makePortImage(wiring.contacts, wiring.outputs);
    this.#guard = settings.firmware === "guard" ? new GuardSide(wiring.outputs) : null;
    this.#openedAtMs = nowMs();
    this.#heardAtMs = nowMs();
  }

  async open(): Promise<void> {
    this.#link = await openFirmataLink(
      { path: this.#settings.port, baudRate: this.#settings.baud },
      {
        opened: () => this.#onOpened(),
        closed: () => this.#leave("closed"),
        versionReported: () => this.#onVersion(),
        ready: () => void this.#settle(),
        bytes: (bytes) => this.#guard?.hear(bytes),
      },
    );
    if (this.#guard) this.#guard.onReport = () => this.#onGuardReport();
    else this.#io.on("digital-read", ({ pin, value }: PinNews) => this.#onContact(pin, value !== 0));
    this.#io.on("analog-read", ({ pin, value }: PinNews) => this.#onAnalog(pin, value));
    for (const pin of this.#wiredPins) this.#io.on(`pin-state-${pin}`, () => this.#onPinState(pin));
  }

  get isReady(): boolean {
    return this.#phase === "ready";
  }

  get pumpLocked(): boolean {
    return this.#guard?.report?.pumpLocked === true;
  }

  isSilent(nowMs: number): boolean {
    if (!this.isReady) return true;
    const sampled = [...this.#wiring.contacts, ...this.#wiring.analogs];
    const oldest = Math.min(...sampled.map((pin) => this.#reports.get(pin)?.atMs ?? -Infinity));
    return nowMs - (sampled.length > 0 ? oldest : this.#heardAtMs) > CONTACT_STALE_MS;
  }

  feed(): void {
    if (this.#phase === "arming" || this.#phase === "ready") this.#send(this.#guard?.nextFeed() ?? []);
  }

  forgetRestart(): void {
    this.hasRestarted = false;
  }

  contact(pin: number): Heard<boolean> {
    return this.#heard(pin) as Heard<boolean>;
  }

  analog(pin: number): Heard<number> {
    return this.#heard(pin) as Heard<number>;
  }

  #heard(pin: number): Heard<boolean | number> {
    const report = this.#reports.get(pin);
    const { atMs, sample } = report ?? { atMs: this.#openedAtMs, sample: 0 };
    if (this.#phase === "ready" && report) return { value: report.value, fault: null, atMs, sample };
    if (this.#phase === "closed") return { value: null, fault: "disconnected", atMs, sample };
    return { value: null, fault: this.#phase === "greeting" && sample > 0 ? "no-answer" : "not-yet", atMs, sample };
  }

  write(levels: readonly { readonly pin: number; readonly high: boolean }[]): void {
    if (!this.isReady) return;
    for (const { pin, high } of levels) this.#image.set(pin, high);
    this.#sendPorts(new Set(levels.map(({ pin }) => portOf(pin))));
  }

  describe(nowMs: number): readonly string[] {
    const board = `Board ${this.name} on ${this.#settings.port}`;
    const sentences = [`${board}: ${this.#state(nowMs)}.`];
    if (this.#pacemakers.length > 0) {
      const pins = this.#pacemakers.map(({ pin }) => `pin ${pin}`).join(" and ");
      sentences.push(`${board}: leave ${pins} unconnected; the reports of the inputs are paced there.`);
    }
    if (this.#guard?.complaint) sentences.push(`${board}: ${this.#guard.complaint}.`);
    if (this.#guard === null && this.#wiring.outputs.some(({ restHigh }) => restHigh)) {
      sentences.push(
        `${board}: standard firmware holds its pins low while it starts, which closes every relay that is energised ` +
          "by a low level. Use relays that a high level energises.",
      );
    }
    return sentences;
  }

  async close(): Promise<void> {
    const wasReady = this.isReady;
    this.#leave("closed");
    // The answer to a question asked after the last write proves that the board has taken the write.
    const pin = this.#wiredPins[0];
    if (wasReady && pin !== undefined) await answersTo(this.#io, [`pin-state-${pin}`], () => this.#send(queryPin(pin)));
    await this.#link.close();
  }

  get #io(): Firmata {
    return this.#link.io;
  }

  get #wiredPins(): readonly number[] {
    const { contacts, analogs, outputs } = this.#wiring;
    return [...contacts, ...analogs, ...outputs.map(({ pin }) => pin)];
  }

  #state(nowMs: number): string {
    const { line, complaint } = this.#link;
    if (this.#phase === "closed") return `${line.problem ?? "closed"}; trying again every second`;
    if (this.#problem) return this.#problem;
    if (this.#phase === "greeting") {
      const mute = nowMs - this.#openedAtMs > MUTE_AFTER_OPEN_MS;
      return mute
        ? `the port is open but nothing answers as a Firmata board would${complaint ? ` (${complaint})` : ""}`
        : "the port is open; waiting for the board";
    }
    if (this.#phase === "settling") return "setting its pins";
    if (this.#phase === "arming") return "its pins are set; the guard waits to be fed by two scans";
    if (this.isSilent(nowMs)) return "it answers but does not report its inputs; leave one pin of each port free";
    const { name, version } = this.#io.firmware;
    return `ready (${name ?? "unknown firmware"} ${version ? `${version.major}.${version.minor}` : ""})`;
  }

  #onOpened(): void {
    this.#openedAtMs = this.#nowMs();
    this.#asks = { open: 0, lastAtMs: 0 };
    this.#wasReady = false;
    this.#leave("greeting");
  }

  /** Away from `ready`, or between two phases that are not: every output is told to rest, heard or unheard. */
  #leave(phase: Exclude<Phase, "ready">): void {
    this.#phase = phase;
    this.#settling += 1;
    this.#question = null;
    clearInterval(this.#rounds);
    clearTimeout(this.#nextAsk);
    this.#image.rest();
    if (this.#io?.isReady) this.#sendPorts(this.#image.ports);
    this.#guard?.forget();
    if (phase === "greeting") this.#nextAsk = setTimeout(() => this.#ask(), FIRST_ASK_MS);
  }

  /** In bytes of our own: each call of the library's functions would leave a listener behind at a board that is mute. */
  #ask(): void {
    this.#asks = { open: this.#asks.open + 1, lastAtMs: this.#nowMs() };
    this.#send([REPORT_VERSION, ...QUERY_FIRMWARE]);
    // The library asks these once, after the version; where that was lost, its handshake would wait for ever.
    if (!this.#io.isReady) this.#send([...QUERY_CAPABILITIES, ...QUERY_ANALOG_MAPPING]);
    this.#nextAsk = setTimeout(() => this.#ask(), ASK_AGAIN_MS);
  }

  /** A board says its version when it is asked, and by itself when it has started. */
  #onVersion(): void {
    if (!this.#io.isReady || this.#phase === "closed") return;
    const wasAsked = this.#asks.open > 0 && this.#nowMs() - this.#asks.lastAtMs < ANSWER_MS;
    this.#asks = { ...this.#asks, open: wasAsked ? this.#asks.open - 1 : 0 };
    if (this.#phase === "greeting" || !wasAsked) this.#restart();
  }

  #restart(): void {
    if (this.#phase === "ready") this.hasRestarted = true;
    void this.#settle();
  }

  /** Sets every pin as wired, outputs at rest, and checks by asking back; then the reports begin. */
  async #settle(): Promise<void> {
    this.#leave("settling");
    const turn = this.#settling;
    const overtaken = () => turn !== this.#settling;
    const io = this.#io;
    io.pins.length = 0;
    io.analogPins.length = 0;
    const known = await this.#greet();
    if (overtaken()) return;
    this.#problem = known ? (this.#missingPin() ?? this.#guard?.problem ?? null) : null;
    if (!known || this.#problem) return this.#leave("greeting");

    this.#pacemakers = this.#guard
      ? []
      : choosePacemakers([...new Set(this.#wiring.contacts.map(portOf))], new Set(this.#wiredPins), io.pins);
    for (const { pin } of this.#pacemakers) this.#image.set(pin, true);
    const ask = () => this.#send(this.#wiredPins.flatMap(queryPin));
    const answers = this.#wiredPins.map((pin) => `pin-state-${pin}`);
    if (!(await answersTo(io, answers, ask))) return overtaken() ? undefined : this.#leave("greeting");
    if (overtaken()) return;
    const { contacts, analogs } = this.#wiring;
    const forgot = [...contacts, ...analogs].some((pin) => !this.#isAsWired(pin, this.#image.isHigh(pin)));
    // The guard firmware was reset by the greeting, whatever it remembers.
    if (this.#wasReady && (this.#guard !== null || forgot)) this.hasRestarted = true;
    this.#setModes();
    if (!(await answersTo(io, answers, ask))) return overtaken() ? undefined : this.#leave("greeting");
    if (overtaken()) return;
    const wrong = this.#wiredPins.find((pin) => !this.#isAsWired(pin, this.#image.isHigh(pin)));
    this.#problem = wrong === undefined ? null : `pin ${wrong} does not take its mode`;
    if (wrong !== undefined) return this.#leave("greeting");
    if (this.#guard) this.#phase = "arming";
    else this.#begin();
  }

  /** What the board can do; of guard firmware also what it was built for, after a reset that forgets every trip. */
  #greet(): Promise<boolean> {
    const what = [...QUERY_CAPABILITIES, ...QUERY_ANALOG_MAPPING];
    if (this.#guard === null) return answersTo(this.#io, ["analog-mapping-query"], () => this.#send(what));
    this.#guard.onDescription = () => this.#io.emit("guard-description");
    const all = answersTo(this.#io, ["analog-mapping-query", "guard-description"], () =>
      this.#send([...this.#guard!.greeting(), ...what]),
    );
    return all.then((known) => {
      if (!known && this.#io.pins.length > 0) this.#problem = "it answers, but not as the guard firmware does";
      return known;
    });
  }

  #onGuardReport(): void {
    const report = this.#guard?.report;
    if (!report) return;
    if (this.#phase === "arming" && report.state === "armed") this.#begin();
    if (!this.isReady) return;
    if (report.state !== "armed") {
      this.#restart();
      return;
    }
    for (const pin of this.#wiring.contacts) this.#onContact(pin, report.isHigh(pin));
  }

  #begin(): void {
    this.#phase = "ready";
    this.#wasReady = true;
    this.#heardAtMs = this.#nowMs();
    this.#unanswered = 0;
    this.#rounds = setInterval(() => this.#sampleRound(), SAMPLE_MS);
    this.#sampleRound();
  }

  /**
   * Levels first, modes after, levels again: a pin that is an output already, as all are when standard firmware has
   * started, gets its level at once and without a mode message, which would drive it low.
   */
  #setModes(): void {
    const { MODES, pins } = this.#io;
    this.#sendPorts(this.#image.ports);
    for (const pin of this.#wiring.contacts) {
      // Where the firmware knows pull-ups as a mode, the pin need not float in between.
      const knowsPullUp = pins[pin]?.supportedModes.includes(PULL_UP_MODE) === true;
      this.#io.pinMode(pin, knowsPullUp ? PULL_UP_MODE : MODES.INPUT);
    }
    for (const pin of this.#wiring.analogs) {
      this.#send([PIN_MODE, pin, MODES.ANALOG, REPORT_ANALOG | (pins[pin]?.analogChannel ?? 0), 1]);
    }
    if (this.#wiring.analogs.length > 0) this.#send(samplingInterval(SAMPLE_MS));
    for (const { pin } of this.#wiring.outputs) {
      if (pins[pin]?.mode === MODES.OUTPUT) continue;
      // As an input it takes the level as its pull-up, and keeps it where the firmware lets it.
      this.#io.pinMode(pin, MODES.INPUT);
      this.#sendPorts([portOf(pin)]);
      this.#io.pinMode(pin, MODES.OUTPUT);
      this.#sendPorts([portOf(pin)]);
    }
    this.#sendPorts(this.#image.ports);
  }

  /** Asks one pin how it stands, each in its turn. */
  #sampleRound(): void {
    const pins = this.#wiredPins;
    this.#unanswered = this.#question === null ? 0 : this.#unanswered + 1;
    if (this.#unanswered >= UNANSWERED_ROUNDS) {
      this.#leave("greeting");
      return;
    }
    this.#round += 1;
    const pin = pins[this.#round % pins.length];
    if (pin === undefined || this.#question !== null) return;
    this.#question = { pin, high: this.#image.isHigh(pin) };
    this.#send(queryPin(pin));
  }

  /**
   * Makes every port with contacts report. Only after an answer: a board that is just starting keeps what it is sent,
   * and would obey port writes from before its reset as soon as it is up.
   */
  #pace(): void {
    const away = this.#round % 2 === 0;
    for (const port of new Set(this.#wiring.contacts.map(portOf))) this.#send([REPORT_DIGITAL | port, 1]);
    for (const { port, pin, away: awayMode } of this.#pacemakers) {
      this.#send([PIN_MODE, pin, away ? awayMode : this.#io.MODES.INPUT]);
      if (!away) this.#sendPorts([port]);
    }
  }

  #onContact(pin: number, high: boolean): void {
    if (this.#wiring.contacts.includes(pin)) this.#onSample(pin, high);
  }

  #onAnalog(channel: number, value: number): void {
    const pin = this.#wiring.analogs.find((wired) => this.#io.pins[wired]?.analogChannel === channel);
    if (pin !== undefined) this.#onSample(pin, value / (this.#io.RESOLUTION.ADC ?? USUAL_FULL_SCALE));
  }

  #onSample(pin: number, value: boolean | number): void {
    if (!this.isReady) return;
    const nowMs = this.#nowMs();
    this.#heardAtMs = nowMs;
    this.#reports.set(pin, { value, atMs: nowMs, sample: (this.#reports.get(pin)?.sample ?? 0) + 1 });
  }

  #onPinState(pin: number): void {
    this.#heardAtMs = this.#nowMs();
    const question = this.#question;
    if (!this.isReady || question?.pin !== pin) return;
    this.#question = null;
    if (this.#isAsWired(pin, question.high)) this.#pace();
    // A pump that the guard has locked stays off whatever it is told; that is no reason to take heat away.
    else if (this.#guard?.withholds(pin) !== true) this.#restart();
  }

  #isAsWired(pin: number, high: boolean): boolean {
    const { MODES, pins } = this.#io;
    const { mode, state } = pins[pin] ?? {};
    if (this.#wiring.analogs.includes(pin)) return mode === MODES.ANALOG;
    if (this.#wiring.contacts.includes(pin)) return mode === PULL_UP_MODE || (mode === MODES.INPUT && state === 1);
    return mode === MODES.OUTPUT && state === Number(high);
  }

  #missingPin(): string | null {
    const { MODES, pins } = this.#io;
    const can = (pin: number, mode: number) => pins[pin]?.supportedModes.includes(mode) === true;
    const contact = this.#wiring.contacts.find((pin) => !can(pin, MODES.INPUT));
    if (contact !== undefined) return `it has no input on pin ${contact}`;
    const analog = this.#wiring.analogs.find((pin) => !can(pin, MODES.ANALOG));
    if (analog !== undefined) return `it cannot read a voltage on pin ${analog}`;
    const output = this.#wiring.outputs.find(({ pin }) => !can(pin, MODES.OUTPUT));
    return output === undefined ? null : `it has no output on pin ${output.pin}`;
  }

  #send(bytes: readonly number[]): void {
    this.#link.line.write(Uint8Array.from(bytes));
  }

  #sendPorts(ports: Iterable<number>): void {
    for (const port of ports) {
      this.#io.ports[port] = this.#image.byteOf(port);
      this.#io.writeDigitalPort(port);
    }
  }
}
