import { queryPin } from "./firmata-protocol.ts";

/** Ten rounds a second; a contact that stands still is sampled as often as one that moves. */
export const SAMPLE_MS = 100;
/** Rounds without an answer after which the board counts as mute. Answers take 3 ms; one stall of ours is one round. */
const UNANSWERED_ROUNDS = 5;

/** A pin that was asked how it stands, and the level it had been told when it was asked. */
export interface PinQuestion {
  readonly pin: number;
  readonly high: boolean;
}

/** Asks a board how its pins stand, one pin a round, each in its turn and never two at a time. */
export class PinQuestions {
  readonly #pins: readonly number[];
  readonly #on: { send(bytes: readonly number[]): void; isHigh(pin: number): boolean; mute(): void };
  #timer: NodeJS.Timeout | undefined;
  #round = 0;
  #unanswered = 0;
  #question: PinQuestion | null = null;

  constructor(
    pins: readonly number[],
    on: { send(bytes: readonly number[]): void; isHigh(pin: number): boolean; mute(): void },
  ) {
    this.#pins = pins;
    this.#on = on;
  }

  /** Counts the rounds. */
  get round(): number {
    return this.#round;
  }

  begin(): void {
    this.#unanswered = 0;
    this.#timer = setInterval(() => this.#ask(), SAMPLE_MS);
    this.#ask();
  }

  stop(): void {
    clearInterval(this.#timer);
    this.#question = null;
  }

  /** The question to which an answer about this pin belongs; null where none was open. */
  answered(pin: number): PinQuestion | null {
    const question = this.#question;
    if (question?.pin !== pin) return null;
    this.#question = null;
    return question;
  }

  #ask(): void {
    this.#unanswered = this.#question === null ? 0 : this.#unanswered + 1;
    if (this.#unanswered >= UNANSWERED_ROUNDS) {
      this.#on.mute();
      return;
    }
    this.#round += 1;
    const pin = this.#pins[this.#round % this.#pins.length];
    if (pin === undefined || this.#question !== null) return;
    this.#question = { pin, high: this.#on.isHigh(pin) };
    this.#on.send(queryPin(pin));
  }
}
