import { type ChildProcess, spawn } from "node:child_process";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { createInterface } from "node:readline";
import { type Pty, plugPty } from "./pty.ts";
import type { Tool } from "./tools.ts";

/** What `describeWith` needs to know before a test uses these slaves. */
export const MODBUS_SLAVE_TOOLS: readonly Tool[] = ["python3", "pymodbus"];

/**
 * What becomes of an answer on its way: it arrives whole, loses its second half, arrives with one bit changed, gives
 * way to noise, never comes, or comes after `lateMs`. Of two slaves with one address, that answer something else, the
 * answers come `twice`, one behind the other, or `collided`, both at once: on a wire that two pull at, low wins.
 */
export type Cable =
  | "whole"
  | "truncated"
  | "corrupted"
  | "noise"
  | "silent"
  | "twice"
  | "collided"
  | { readonly lateMs: number };

/** Foreign Modbus RTU slaves behind a real tty, with a cable that can be spoilt. */
export interface ModbusSlaves {
  /** Path to open as a serial port; stays the same over unplugging and plugging in. */
  readonly path: string;
  set(slave: number, table: "input" | "holding", address: number, words: readonly number[]): Promise<void>;
  cable(state: Cable): void;
  /** Questions that have arrived so far. */
  readonly asked: number;
  unplug(): Promise<void>;
  plug(): Promise<void>;
  stop(): Promise<void>;
}

/** Two words, high word first, of a number as an IEEE 754 single. */
export function floatWords(value: number): [number, number] {
  const view = new DataView(new ArrayBuffer(4));
  view.setFloat32(0, value);
  return [view.getUint16(0), view.getUint16(2)];
}

export async function startModbusSlaves(...addresses: readonly number[]): Promise<ModbusSlaves> {
  const folder = mkdtempSync(join(tmpdir(), "evenbrine-modbus-"));
  const path = join(folder, "tty");
  let cable: Cable = "whole";
  let asked = 0;
  let outer: Pty | null = null;

  const answers = burstsOf((answer) => {
    const mangled = mangle(answer, cable);
    const send = () => void (mangled && outer?.send(mangled));
    if (typeof cable === "object") setTimeout(send, cable.lateMs);
    else send();
  });
  const inner = await plugPty(join(folder, "slave"), answers);
  const plug = async () => {
    outer = await plugPty(path, (question) => {
      asked += 1;
      inner.send(question);
    });
  };
  await plug();
  const server = await serve([inner.path, ...addresses.map(String)]);
  return {
    path,
    set: (slave, table, address, words) => server.order({ slave, table, address, words }),
    cable(state) {
      cable = state;
    },
    get asked() {
      return asked;
    },
    async unplug() {
      await outer?.unplug();
      outer = null;
    },
    plug,
    async stop() {
      await server.stop();
      await outer?.unplug();
      await inner.unplug();
      rmSync(folder, { recursive: true, force: true });
    },
  };
}

function mangle(answer: Buffer, cable: Cable): Buffer | null {
  if (cable === "silent") return null;
  if (cable === "truncated") return answer.subarray(0, Math.floor(answer.length / 2));
  if (cable === "noise") return Buffer.from(Array.from({ length: 23 }, (_, index) => (index * 89 + 7) & 0xff));
  if (cable === "twice") return Buffer.concat([answer, ofTheOther(answer)]);
  if (cable === "collided") {
    const other = ofTheOther(answer);
    return Buffer.from(answer.map((byte, index) => byte & (other[index] as number)));
  }
  if (cable !== "corrupted") return answer;
  const middle = answer.length >> 1;
  return Buffer.from(answer.map((byte, index) => (index === middle ? byte ^ 0x10 : byte)));
}

/** What a second slave with the same address says: another value, with the right check sum. */
function ofTheOther(answer: Buffer): Buffer {
  const other = Buffer.from(answer);
  const last = other.length - 3;
  other.writeUInt8(other.readUInt8(last) ^ 0x2d, last);
  other.writeUInt16LE(crc16(other.subarray(0, -2)), other.length - 2);
  return other;
}

/** MODBUS over Serial Line V1.02, §6.2.2. */
const crc16 = (bytes: Buffer): number =>
  bytes.reduce((crc, byte) => {
    let value = crc ^ byte;
    for (let bit = 0; bit < 8; bit += 1) value = value & 1 ? (value >> 1) ^ 0xa001 : value >> 1;
    return value;
  }, 0xffff);

/** Silence of this length ends an answer: far longer than the 3.5 characters of the standard, as these are no real wires. */
const QUIET_MS = 8;

function burstsOf(onBurst: (bytes: Buffer) => void): (bytes: Buffer) => void {
  let held = Buffer.alloc(0);
  let timer: NodeJS.Timeout | undefined;
  return (bytes) => {
    held = Buffer.concat([held, bytes]);
    clearTimeout(timer);
    timer = setTimeout(() => {
      onBurst(held);
      held = Buffer.alloc(0);
    }, QUIET_MS);
  };
}

async function serve(words: readonly string[]) {
  const script = join(import.meta.dirname, "modbus_slave.py");
  const server = spawn("/usr/bin/python3", ["-u", script, ...words], { stdio: ["pipe", "pipe", "inherit"] });
  const lines = createInterface({ input: server.stdout });
  const said = (): Promise<void> =>
    new Promise((resolve, reject) => {
      const ended = () => reject(new Error("the Modbus slaves have ended"));
      server.once("exit", ended);
      lines.once("line", () => {
        server.off("exit", ended);
        resolve();
      });
    });
  await said();
  let last = Promise.resolve();
  return {
    order(what: object): Promise<void> {
      last = last.then(() => {
        const done = said();
        server.stdin.write(`${JSON.stringify(what)}\n`);
        return done;
      });
      return last;
    },
    stop: () => ended(server),
  };
}

function ended(server: ChildProcess): Promise<void> {
  return new Promise((resolve) => {
    server.removeAllListeners("exit");
    server.once("exit", () => resolve());
    server.kill("SIGKILL");
  });
}
