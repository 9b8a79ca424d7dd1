import type { Firmata } from "firmata-io";
import {
  PIN_MODE,
  PULL_UP_MODE,
  queryPin,
  REPORT_ANALOG,
  REPORT_DIGITAL,
  samplingInterval,
} from "./firmata-protocol.ts";
import { choosePacemakers, type Pacemaker } from "./pacemaker.ts";
import { type PinWiring, wiredPins } from "./pin-board.ts";
import { SAMPLE_MS } from "./pin-questions.ts";
import { type PortImage, portOf } from "./port-image.ts";

/** Ten bits, where the board does not say. */
const USUAL_FULL_SCALE = 1023;

/** The pins of a board at the other end of the line: what they can do, how they stand, and how they are set. */
export class FirmataPins {
  readonly wired: readonly number[];
  #pacemakers: readonly Pacemaker[] = [];
  readonly #io: Firmata;
  readonly #wiring: PinWiring;
  readonly #image: PortImage;
  readonly #send: (bytes: readonly number[]) => void;

  constructor(io: Firmata, wiring: PinWiring, image: PortImage, send: (bytes: readonly number[]) => void) {
    this.#io = io;
    this.#wiring = wiring;
    this.#image = image;
    this.#send = send;
    this.wired = wiredPins(wiring);
  }

  /** What the board said of its pins is asked anew. */
  forget(): void {
    this.#io.pins.length = 0;
    this.#io.analogPins.length = 0;
  }

  /** The library's events that come once every pin has answered. */
  get answers(): readonly string[] {
    return this.wired.map((pin) => `pin-state-${pin}`);
  }

  askAll(): void {
    this.#send(this.wired.flatMap(queryPin));
  }

  /** What the settings want of a pin that this board cannot do; null = it can do everything. */
  get lack(): string | null {
    const { MODES, pins } = this.#io;
    const can = (pin: number, mode: number) => pins[pin]?.supportedModes.includes(mode) === true;
    const contact = this.#wiring.contacts.find((pin) => !can(pin, MODES.INPUT));
    if (contact !== undefined) return `it has no input on pin ${contact}`;
    const analog = this.#wiring.analogs.find((pin) => !can(pin, MODES.ANALOG));
    if (analog !== undefined) return `it cannot read a voltage on pin ${analog}`;
    const output = this.#wiring.outputs.find(({ pin }) => !can(pin, MODES.OUTPUT));
    return output === undefined ? null : `it has no output on pin ${output.pin}`;
  }

  isAsWired(pin: number, high = this.#image.isHigh(pin)): boolean {
    const { MODES, pins } = this.#io;
    const { mode, state } = pins[pin] ?? {};
    if (this.#wiring.analogs.includes(pin)) return mode === MODES.ANALOG;
    if (this.#wiring.contacts.includes(pin)) return mode === PULL_UP_MODE || (mode === MODES.INPUT && state === 1);
    return mode === MODES.OUTPUT && state === Number(high);
  }

  /** By its last answers an input has lost its mode, as after a reset. */
  get hasForgotten(): boolean {
    const { contacts, analogs } = this.#wiring;
    return [...contacts, ...analogs].some((pin) => !this.isAsWired(pin));
  }

  /**
   * Levels first, modes after, levels again: a pin that is an output already, as all are when standard firmware has
   * started, gets its level at once and without a mode message, which would drive it low.
   */
  setModes(): void {
    const { MODES, pins } = this.#io;
    this.sendPorts(this.#image.ports);
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
      this.sendPorts([portOf(pin)]);
      this.#io.pinMode(pin, MODES.OUTPUT);
      this.sendPorts([portOf(pin)]);
    }
    this.sendPorts(this.#image.ports);
  }

  sendPorts(ports: Iterable<number>): void {
    for (const port of ports) {
      this.#io.ports[port] = this.#image.byteOf(port);
      this.#io.writeDigitalPort(port);
    }
  }

  /** Pins that must stay unconnected. */
  get pacemakers(): readonly Pacemaker[] {
    return this.#pacemakers;
  }

  choosePacemakers(): void {
    const ports = new Set(this.#wiring.contacts.map(portOf));
    this.#pacemakers = choosePacemakers([...ports], new Set(this.wired), this.#io.pins);
    for (const { pin } of this.#pacemakers) this.#image.set(pin, true);
  }

  /**
   * Makes every port with contacts report. Only after an answer: a board that is just starting keeps what it is sent,
   * and would obey port writes from before its reset as soon as it is up.
   */
  pace(round: number): void {
    const away = round % 2 === 0;
    for (const port of new Set(this.#wiring.contacts.map(portOf))) this.#send([REPORT_DIGITAL | port, 1]);
    for (const { port, pin, away: awayMode } of this.#pacemakers) {
      this.#send([PIN_MODE, pin, away ? awayMode : this.#io.MODES.INPUT]);
      if (!away) this.sendPorts([port]);
    }
  }

  /** The wired pin behind an analog channel; null = none. */
  analogBehind(channel: number): number | null {
    return this.#wiring.analogs.find((wired) => this.#io.pins[wired]?.analogChannel === channel) ?? null;
  }

  shareOfSupply(value: number): number {
    return value / (this.#io.RESOLUTION.ADC ?? USUAL_FULL_SCALE);
  }
}
