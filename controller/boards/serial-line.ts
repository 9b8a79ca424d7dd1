import type { SerialPort as SerialPortType } from "serialport";

/** A serial port that is opened again by itself after it was lost, for as long as it takes. */
export interface SerialLine {
  readonly isOpen: boolean;
  /** Why the port is not open, in words; null while it is. */
  readonly problem: string | null;
  /** Dropped where the port is not open: nothing said to a lost board may reach the one that comes back. */
  write(bytes: Uint8Array, written?: () => void): void;
  /** Waits until everything written has left, and closes for good. */
  close(): Promise<void>;
}

export interface SerialOptions {
  readonly path: string;
  readonly baudRate: number;
  readonly parity?: "none" | "even" | "odd";
  readonly stopBits?: 1 | 2;
}

export interface SerialHandlers {
  onOpen(): void;
  onClose(): void;
  onBytes(bytes: Buffer): void;
}

const RETRY_MS = 1000;
const VANISHED = "the port has vanished: look at its plug and its power";

/** Does not wait for the port: it may be plugged in later. */
export async function openSerialLine(options: SerialOptions, handlers: SerialHandlers): Promise<SerialLine> {
  // Loaded only where the settings name a board: the rehearsal needs no serial port.
  const { SerialPort } = await import("serialport");
  let port: SerialPortType | null = null;
  let problem: string | null = "not opened yet";
  let retry: NodeJS.Timeout | undefined;
  let closed = false;

  const lose = (lost: SerialPortType, why: string) => {
    if (port !== lost) return;
    const wasOpen = problem === null;
    port = null;
    problem = why;
    if (lost.isOpen) lost.close(ignoreFailure);
    if (!closed) retry = setTimeout(open, RETRY_MS);
    if (wasOpen) handlers.onClose();
  };
  const open = () => {
    // A new object each time: an old one would keep what could not be written, and write it to the board that returns.
    const fresh = new SerialPort({ ...options, autoOpen: false });
    port = fresh;
    fresh.on("error", (error) => lose(fresh, inWords(error)));
    fresh.on("close", () => lose(fresh, VANISHED));
    fresh.on("data", (bytes: Buffer) => {
      if (port === fresh) handlers.onBytes(bytes);
    });
    fresh.open((error) => {
      if (error) lose(fresh, inWords(error));
      else if (port === fresh) {
        problem = null;
        handlers.onOpen();
      }
    });
  };
  open();

  return {
    get isOpen() {
      return problem === null;
    },
    get problem() {
      return problem;
    },
    write(bytes, written) {
      if (problem === null) port?.write(bytes, () => written?.());
    },
    async close() {
      closed = true;
      clearTimeout(retry);
      const last = port;
      if (last === null) return;
      if (problem === null) await flushed(last);
      port = null;
      problem = "closed";
      await new Promise<void>((resolve) => {
        if (last.isOpen) last.close(() => resolve());
        else resolve();
      });
    },
  };
}

/** The port is given up anyway; what closing it might still complain about has nobody to act on it. */
const ignoreFailure = () => undefined;

const FLUSH_MS = 500;

/** Resolves when the bytes are out, or soon anyway: a port that vanishes in between never says so. */
function flushed(port: SerialPortType): Promise<void> {
  return new Promise((resolve) => {
    const timer = setTimeout(resolve, FLUSH_MS);
    port.drain(() => {
      clearTimeout(timer);
      resolve();
    });
  });
}

function inWords({ message }: Error): string {
  if (/no such file|ENOENT/i.test(message)) return "there is no such port: is it plugged in?";
  if (/permission|EACCES/i.test(message)) return "this user may not open the port: add it to the group dialout";
  if (/lock|busy|temporarily unavailable/i.test(message)) return "another program holds the port";
  // What a pulled plug says where a byte was on its way as it went: the same event as a plain close.
  if (/\b(EIO|ENXIO|ENODEV)\b|i\/o error|no such device/i.test(message)) return VANISHED;
  return `the port failed (${message})`;
}
