import { EventEmitter } from "node:events";
import type { Firmata } from "firmata-io";
import { openSerialLine, type SerialHandlers, type SerialLine, type SerialOptions } from "./serial-line.ts";

/** A board as johnny-five sees it, on a serial line of ours. */
export interface FirmataLink {
  readonly io: Firmata;
  readonly line: SerialLine;
  /** What the board or the library last complained about; null while all is well. */
  readonly complaint: string | null;
  close(): Promise<void>;
}

/** Longer than any answer of the protocol; beyond it the bytes are noise that happened to look like a beginning. */
const LONGEST_MESSAGE = 4096;

export async function openFirmataLink(
  serial: SerialOptions,
  on: { opened(): void; closed(): void; versionReported(): void; ready(): void; bytes(bytes: Buffer): void },
): Promise<FirmataLink> {
  const [johnnyFive, firmata] = await Promise.all([import("johnny-five"), import("firmata-io")]);
  const transport = new EventEmitter();
  let complaint: string | null = null;

  const handlers: SerialHandlers = {
    onOpen() {
      io.buffer.length = 0;
      complaint = null;
      transport.emit("open");
      on.opened();
    },
    onClose: on.closed,
    onBytes(bytes) {
      if (io.buffer.length > LONGEST_MESSAGE) io.buffer.length = 0;
      try {
        transport.emit("data", bytes);
        on.bytes(bytes);
      } catch (error) {
        // The library trusts pin numbers that it reads; noise on the wire may name pins that do not exist.
        io.buffer.length = 0;
        complaint = `it sent something that makes no sense (${(error as Error).message})`;
      }
    },
  };
  const write = (bytes: Buffer, written?: () => void) => {
    if (line.isOpen) line.write(bytes, written);
    else written?.();
  };
  const io = new firmata.default.Firmata(Object.assign(transport, { write }), { reportVersionTimeout: 2 ** 30 });
  // The board is asked for its version by `FirmataBoard`, again and again, and not once by the library.
  clearTimeout(io.reportVersionTimeoutId);
  const complain = (error: unknown) => {
    complaint = (error as Error)?.message?.split("\n")[0] ?? String(error);
  };
  io.on("error", complain);
  io.on("reportversion", on.versionReported);
  // `sigint`, which its types lack, would end the process without its exit handlers; `repl` would take stdin.
  const options = { io, repl: false, debug: false, sigint: false };
  const board = new johnnyFive.default.Board(options);
  board.on("error", complain);
  board.on("ready", on.ready);

  const line = await openSerialLine(serial, handlers);
  return {
    io,
    line,
    get complaint() {
      return complaint;
    },
    async close() {
      await line.close();
      clearTimeout((board as unknown as { timer?: NodeJS.Timeout }).timer);
    },
  };
}
