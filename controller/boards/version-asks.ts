import type { Firmata } from "firmata-io";
import {
  ANSWER_MS,
  QUERY_ANALOG_MAPPING,
  QUERY_CAPABILITIES,
  QUERY_FIRMWARE,
  REPORT_VERSION,
} from "./firmata-protocol.ts";

const FIRST_ASK_MS = 250;
const ASK_AGAIN_MS = 1000;

/**
 * Asks a board who it is until it says so, and knows an answer from what a board says by itself when it has started.
 * In bytes of our own: each call of the library's functions would leave a listener behind at a board that is mute.
 */
export class VersionAsks {
  readonly #send: (bytes: readonly number[]) => void;
  readonly #io: () => Firmata;
  readonly #nowMs: () => number;
  #open = 0;
  #lastAtMs = 0;
  #next: NodeJS.Timeout | undefined;

  constructor(io: () => Firmata, send: (bytes: readonly number[]) => void, nowMs: () => number) {
    this.#io = io;
    this.#send = send;
    this.#nowMs = nowMs;
  }

  /** The port was opened anew: nothing that was asked before is answered any more. */
  forget(): void {
    this.#open = 0;
    this.#lastAtMs = 0;
  }

  begin(): void {
    this.#next = setTimeout(() => this.#ask(), FIRST_ASK_MS);
  }

  stop(): void {
    clearTimeout(this.#next);
  }

  /** A version has come; true when it was asked for. */
  isAnswer(): boolean {
    const wasAsked = this.#open > 0 && this.#nowMs() - this.#lastAtMs < ANSWER_MS;
    this.#open = wasAsked ? this.#open - 1 : 0;
    return wasAsked;
  }

  #ask(): void {
    this.#open += 1;
    this.#lastAtMs = this.#nowMs();
    this.#send([REPORT_VERSION, ...QUERY_FIRMWARE]);
    // The library asks these once, after the version; where that was lost, its handshake would wait for ever.
    if (!this.#io().isReady) this.#send([...QUERY_CAPABILITIES, ...QUERY_ANALOG_MAPPING]);
    this.#next = setTimeout(() => this.#ask(), ASK_AGAIN_MS);
  }
}
