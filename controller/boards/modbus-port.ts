import { EventEmitter } from "node:events";
import type { SerialLine } from "./serial-line.ts";

const EXCEPTION_BYTES = 5;
const AROUND_REGISTERS_BYTES = 5;
/** Longest frame of the protocol; what comes beyond it is noise. */
const LONGEST_FRAME = 256;

interface Wanted {
  readonly slave: number;
  readonly code: number;
  readonly registers: number;
}

/**
 * What modbus-serial talks through: one question at a time, and bytes that nobody asked for are thrown away. The
 * library's own port would keep the rest of a broken answer and misread every answer after it.
 */
export class ModbusPort extends EventEmitter {
  readonly #line: () => SerialLine;
  #answer = Buffer.alloc(0);
  #wanted: Wanted | null = null;
  #asked: Wanted | null = null;
  /** What has come behind the answer. */
  #beyond = Buffer.alloc(0);

  constructor(line: () => SerialLine) {
    super();
    this.#line = line;
  }

  get isOpen(): boolean {
    return this.#line().isOpen;
  }

  /** How many bytes have come since the last question. */
  get received(): number {
    return this.#answer.length;
  }

  /** Behind the answer came another one to the same question, whole: nobody knows whose the first one was. */
  get answeredTwice(): boolean {
    return this.#asked !== null && wholeFrame(this.#beyond, this.#asked) !== null;
  }

  /** The line opens and closes by itself; the library only needs to hear that it may start. */
  open(opened: (error: Error | null) => void): void {
    opened(null);
  }

  close(closed: () => void): void {
    closed();
  }

  write(question: Uint8Array): void {
    const bytes = Buffer.from(question);
    this.#answer = Buffer.alloc(0);
    this.#beyond = Buffer.alloc(0);
    this.#wanted = { slave: bytes.readUInt8(0), code: bytes.readUInt8(1), registers: bytes.readUInt16BE(4) };
    this.#asked = this.#wanted;
    this.#line().write(bytes);
  }

  /** Bytes from the line. */
  take(bytes: Uint8Array): void {
    if (this.#wanted === null) {
      this.#beyond = Buffer.concat([this.#beyond, bytes]).subarray(0, LONGEST_FRAME);
      return;
    }
    this.#answer = Buffer.concat([this.#answer, bytes]).subarray(0, LONGEST_FRAME);
    const frame = wholeFrame(this.#answer, this.#wanted);
    if (frame === null) return;
    this.#wanted = null;
    this.#beyond = this.#answer.subarray(frame.end);
    this.emit("data", this.#answer.subarray(frame.start, frame.end));
  }
}

/** From where the answer begins: a line that changes direction often puts a stray byte before it. */
function wholeFrame(answer: Buffer, { slave, code, registers }: Wanted): { start: number; end: number } | null {
  for (let start = 0; start + EXCEPTION_BYTES <= answer.length; start += 1) {
    if (answer[start] !== slave) continue;
    if (answer[start + 1] === (code | 0x80)) return { start, end: start + EXCEPTION_BYTES };
    if (answer[start + 1] !== code || answer[start + 2] !== 2 * registers) continue;
    const end = start + AROUND_REGISTERS_BYTES + 2 * registers;
    if (end <= answer.length) return { start, end };
  }
  return null;
}
