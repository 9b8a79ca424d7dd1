import { SerialPort } from "serialport";

/** The host's end of the line, for a test that speaks the protocol by itself. */
export interface Host {
  send(bytes: readonly number[]): void;
  close(): Promise<void>;
}

export async function plugHost(path: string): Promise<Host> {
  const port = new SerialPort({ path, baudRate: 57_600, autoOpen: false });
  await new Promise<void>((resolve, reject) => port.open((error) => (error ? reject(error) : resolve())));
  // What the board says must be taken, or the line fills up.
  port.resume();
  return {
    send: (bytes) => void port.write(Buffer.from(bytes)),
    close: () => new Promise((resolve) => port.close(() => resolve())),
  };
}
