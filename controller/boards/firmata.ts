import type { Firmata } from "firmata-io";
import type { ReadingFault } from "../../shared/contract/reading.ts";
import type { FirmataBoard as FirmataSettings } from "../../shared/settings/index.ts";
import { CONTACT_STALE_MS } from "../../shared/settings/limits.ts";
import { type FirmataLink, openFirmataLink } from "./firmata-link.ts";
import { FirmataPins } from "./firmata-pins.ts";
import { answersTo, QUERY_ANALOG_MAPPING, QUERY_CAPABILITIES, queryPin } from "./firmata-protocol.ts";
import { boardSentences, type Phase } from "./firmata-words.ts";
import { GuardSide } from "./guard-side.ts";
import type { Heard } from "./heard.ts";
import type { PinBoard, PinWiring } from "./pin-board.ts";
import { PinQuestions } from "./pin-questions.ts";
import { PinSamples } from "./pin-samples.ts";
import { makePortImage, type PortImage, portOf } from "./port-image.ts";
import { VersionAsks } from "./version-asks.ts";

export type { PinBoard, PinWiring } from "./pin-board.ts";

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

const NOT_GUARD =
  "it answers, but not as the guard firmware does; flash that, or call its firmware standard in the settings";

interface PinNews {
  readonly pin: number;
  readonly value: number;
}

/** One board through its phases: greeted, its pins set and checked, then asked and reported ten times a second. */
class FirmataBoard implements PinBoard {
  readonly name: string;
  hasRestarted = false;
  readonly #settings: FirmataSettings;
  readonly #wiring: PinWiring;
  readonly #nowMs: () => number;
  readonly #image: PortImage;
  readonly #guard: GuardSide | null;
  readonly #samples = new PinSamples();
  #link!: FirmataLink;
  #pins!: FirmataPins;
  #asks!: VersionAsks;
  #questions!: PinQuestions;
  #phase: Phase = "closed";
  #problem: string | null = null;
  #openedAtMs: number;
  #heardAtMs: number;
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
    const send = (bytes: readonly number[]) => this.#send(bytes);
    this.#pins = new FirmataPins(this.#io, this.#wiring, this.#image, send);
    this.#asks = new VersionAsks(() => this.#io, send, this.#nowMs);
    const isHigh = (pin: number) => this.#image.isHigh(pin);
    this.#questions = new PinQuestions(this.#pins.wired, { send, isHigh, mute: () => this.#leave("greeting") });
    if (this.#guard) this.#guard.onReport = () => this.#onGuardReport();
    else this.#io.on("digital-read", ({ pin, value }: PinNews) => this.#onContact(pin, value !== 0));
    this.#io.on("analog-read", ({ pin, value }: PinNews) => this.#onAnalog(pin, value));
    for (const pin of this.#pins.wired) this.#io.on(`pin-state-${pin}`, () => this.#onPinState(pin));
  }

  get isReady(): boolean {
    return this.#phase === "ready";
  }

  get pumpLocked(): boolean {
    return this.#guard?.report?.pumpLocked === true;
  }

  isSilent(nowMs: number): boolean {
    if (!this.isReady) return true;
    const { contacts, analogs } = this.#wiring;
    return nowMs - (this.#samples.oldestMs([...contacts, ...analogs]) ?? this.#heardAtMs) > CONTACT_STALE_MS;
  }

  feed(): void {
    if (this.#phase === "arming" || this.#phase === "ready") this.#send(this.#guard?.nextFeed() ?? []);
  }

  forgetRestart(): void {
    this.hasRestarted = false;
  }

  contact(pin: number): Heard<boolean> {
    return this.#samples.heard(pin, this.#openedAtMs, this.#fault) as Heard<boolean>;
  }

  analog(pin: number): Heard<number> {
    return this.#samples.heard(pin, this.#openedAtMs, this.#fault) as Heard<number>;
  }

  readonly #fault = (wasHeard: boolean): ReadingFault | null => {
    if (this.#phase === "ready") return null;
    if (this.#phase === "closed") return "disconnected";
    return this.#phase === "greeting" && wasHeard ? "no-answer" : "not-yet";
  };

  write(levels: readonly { readonly pin: number; readonly high: boolean }[]): void {
    if (!this.isReady) return;
    for (const { pin, high } of levels) this.#image.set(pin, high);
    this.#pins.sendPorts(new Set(levels.map(({ pin }) => portOf(pin))));
  }

  describe(nowMs: number): readonly string[] {
    return boardSentences({
      name: this.name,
      port: this.#settings.port,
      phase: this.#phase,
      problem: this.#problem,
      openForMs: nowMs - this.#openedAtMs,
      silent: this.isSilent(nowMs),
      link: this.#link,
      pacemakers: this.#pins.pacemakers,
      complaint: this.#guard?.complaint ?? null,
      closesAtStart: this.#guard === null && this.#wiring.outputs.some(({ restHigh }) => restHigh),
    });
  }

  async close(): Promise<void> {
    const wasReady = this.isReady;
    this.#leave("closed");
    // The answer to a question asked after the last write proves that the board has taken the write.
    const pin = this.#pins.wired[0];
    if (wasReady && pin !== undefined) await answersTo(this.#io, [`pin-state-${pin}`], () => this.#send(queryPin(pin)));
    await this.#link.close();
  }

  get #io(): Firmata {
    return this.#link.io;
  }

  #onOpened(): void {
    this.#openedAtMs = this.#nowMs();
    this.#asks.forget();
    this.#wasReady = false;
    this.#leave("greeting");
  }

  /** Away from `ready`, or between two phases that are not: every output is told to rest, heard or unheard. */
  #leave(phase: Exclude<Phase, "ready">): void {
    this.#phase = phase;
    this.#settling += 1;
    this.#questions.stop();
    this.#asks.stop();
    this.#image.rest();
    if (this.#io.isReady) this.#pins.sendPorts(this.#image.ports);
    this.#guard?.forget();
    if (phase === "greeting") this.#asks.begin();
  }

  /** A board says its version when it is asked, and by itself when it has started. */
  #onVersion(): void {
    if (!this.#io.isReady || this.#phase === "closed") return;
    const wasAsked = this.#asks.isAnswer();
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
    const pins = this.#pins;
    const answered = () => answersTo(this.#io, pins.answers, () => pins.askAll());
    pins.forget();
    const known = await this.#greet();
    if (overtaken()) return;
    this.#problem = known ? (pins.lack ?? this.#guard?.problem ?? null) : this.#halfKnown();
    if (!known || this.#problem) return this.#leave("greeting");

    if (this.#guard === null) pins.choosePacemakers();
    if (!(await answered())) return overtaken() ? undefined : this.#leave("greeting");
    if (overtaken()) return;
    // The guard firmware was reset by the greeting, whatever it remembers.
    if (this.#wasReady && (this.#guard !== null || pins.hasForgotten)) this.hasRestarted = true;
    pins.setModes();
    if (!(await answered())) return overtaken() ? undefined : this.#leave("greeting");
    if (overtaken()) return;
    const wrong = pins.wired.find((pin) => !pins.isAsWired(pin));
    this.#problem = wrong === undefined ? null : `pin ${wrong} does not take its mode`;
    if (wrong !== undefined) return this.#leave("greeting");
    if (this.#guard) this.#phase = "arming";
    else this.#begin();
  }

  /** What the board can do; of guard firmware also what it was built for, after a reset that forgets every trip. */
  #greet(): Promise<boolean> {
    const what = [...QUERY_CAPABILITIES, ...QUERY_ANALOG_MAPPING];
    const guard = this.#guard;
    if (guard === null) return answersTo(this.#io, ["analog-mapping-query"], () => this.#send(what));
    guard.onDescription = () => this.#io.emit("guard-description");
    const answers = ["analog-mapping-query", "guard-description"];
    return answersTo(this.#io, answers, () => this.#send([...guard.greeting(), ...what]));
  }

  /** Why a greeting failed, where something was answered. */
  #halfKnown(): string | null {
    const answers = this.#io.pins.length > 0;
    return answers && this.#guard !== null ? NOT_GUARD : null;
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
    this.#questions.begin();
  }

  #onContact(pin: number, high: boolean): void {
    if (this.#wiring.contacts.includes(pin)) this.#onSample(pin, high);
  }

  #onAnalog(channel: number, value: number): void {
    const pin = this.#pins.analogBehind(channel);
    if (pin !== null) this.#onSample(pin, this.#pins.shareOfSupply(value));
  }

  #onSample(pin: number, value: boolean | number): void {
    if (!this.isReady) return;
    this.#heardAtMs = this.#nowMs();
    this.#samples.take(pin, value, this.#heardAtMs);
  }

  #onPinState(pin: number): void {
    this.#heardAtMs = this.#nowMs();
    const question = this.isReady ? this.#questions.answered(pin) : null;
    if (question === null) return;
    if (this.#pins.isAsWired(pin, question.high)) this.#pins.pace(this.#questions.round);
    // A pump that the guard has locked stays off whatever it is told; that is no reason to take heat away.
    else if (this.#guard?.withholds(pin) !== true) this.#restart();
  }

  #send(bytes: readonly number[]): void {
    this.#link.line.write(Uint8Array.from(bytes));
  }
}
