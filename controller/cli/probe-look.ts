import { join } from "node:path";
import { listThermometers, readScratchpad } from "../boards/one-wire.ts";
import type { ListedPort } from "../boards/port-list.ts";
import { talkTo } from "../boards/port-talk.ts";
import { oneWireReading } from "../inputs/thermometer.ts";

/** What was found at one place, and how it would stand in a settings file. */
export interface Found {
  readonly sentence: string;
  readonly boards: Readonly<Record<string, unknown>>;
  readonly inputs: Readonly<Record<string, unknown>>;
}

const nothing = (sentence: string): Found => ({ sentence, boards: {}, inputs: {} });

const FIRMATA_BAUD = 57_600;
const ASK_VERSION = [0xf9, 0xf0, 0x79, 0xf7];
/** A board that starts anew when its port is opened needs this long to speak. */
const FIRMATA_MS = 4000;
const TEXT_BAUD = 9600;
const TEXT_MS = 2500;

/** Opens a port, asks whether a Firmata board is there, and listens for text; nothing is switched. */
export async function lookAtPort({ path, lastingPath, maker }: ListedPort, index: number): Promise<Found> {
  const at = maker === null ? path : `${path} (${maker})`;
  const greeting = { path, baudRate: FIRMATA_BAUD, say: ASK_VERSION, sayEveryMs: 300, forMs: FIRMATA_MS };
  const board = await talkTo({ ...greeting, isEnough: (heard) => firmwareIn(heard) !== null });
  if (board.heard === null) return nothing(`${at}: ${board.problem}${board.problem.endsWith("?") ? "" : "."}`);
  const firmware = firmwareIn(board.heard);
  if (firmware !== null) {
    const isGuard = firmware.startsWith("guard firmware");
    const firmwareSetting = isGuard ? { firmware: "guard" } : {};
    const name = index === 0 ? "io" : `io-${index + 1}`;
    return {
      sentence: `${at}: a Firmata board with ${firmware}.`,
      boards: { [name]: { kind: "firmata", port: lastingPath, ...firmwareSetting } },
      inputs: {},
    };
  }
  const talk = await talkTo({
    path,
    baudRate: TEXT_BAUD,
    say: [],
    sayEveryMs: TEXT_MS,
    forMs: TEXT_MS,
    isEnough: (heard) => lineIn(heard) !== null,
  });
  const line = talk.heard === null ? null : lineIn(talk.heard);
  if (line === null) {
    return nothing(
      `${at}: nothing spoke by itself. Modbus slaves and instruments that want to be asked are silent until the ` +
        "settings name them.",
    );
  }
  return {
    sentence: `${at}: says ${JSON.stringify(line)} at ${TEXT_BAUD} baud.`,
    boards: { [`text-${index + 1}`]: { kind: "text", port: lastingPath, pattern: patternFor(line) } },
    inputs: {},
  };
}

/** The name in the answer to the question for the firmware, with its version. */
export function firmwareIn(heard: Buffer): string | null {
  const start = heard.indexOf(Buffer.from([0xf0, 0x79]));
  const end = heard.indexOf(0xf7, start);
  if (start < 0 || end < start + 4) return null;
  const [major, minor, ...letters] = heard.subarray(start + 2, end);
  const name = letters.flatMap((low, at) => (at % 2 === 0 ? [low | ((letters[at + 1] ?? 0) << 7)] : []));
  return `${Buffer.from(name).toString("latin1")} ${major}.${minor}`;
}

/** The second whole line, as the first may have begun before anybody listened; only where it is text. */
export function lineIn(heard: Buffer): string | null {
  const [, line, rest] = heard.toString("latin1").split(/[\r\n]+/);
  if (line === undefined || rest === undefined) return null;
  return /^[\x20-\x7e]{1,80}$/.test(line) ? line : null;
}

/** A pattern that fits this whole line, with a group for each number. */
export function patternFor(line: string): string {
  let groups = 0;
  const parts = line.split(/([+-]?\d+(?:\.\d+)?)/);
  const pattern = parts.map((part, index) => {
    if (index % 2 === 0) return part.replace(/[\\^$.*+?()[\]{}|/]/g, "\\$&");
    groups += 1;
    return `(?<value${groups}>[+-]?\\d+${part.includes(".") ? "\\.\\d+" : ""})`;
  });
  return `^${pattern.join("")}$`;
}

/** Every DS18B20 that the kernel shows, with what it reads. */
export async function lookAtBus(folder: string): Promise<readonly Found[]> {
  const devices = await listThermometers(folder);
  return Promise.all(
    devices.map(async (device, index) => {
      const { bytes, fault } = await readScratchpad(join(folder, device, "w1_slave"));
      const heard = bytes === null ? { value: null, fault } : { value: bytes, fault: null };
      const { value, fault: found } = oneWireReading({ ...heard, atMs: 0, sample: 1 } as never, 0);
      const says = value === null ? `no temperature (${found})` : `${value.toFixed(2)} °C`;
      const parts = ["thermometer-1", "thermometer-2", "room-thermometer"];
      const part = parts[index];
      return {
        sentence: `1-Wire ${device}: ${says}. Warm it in your hand to know which it is.`,
        boards: { bus: { kind: "one-wire" } },
        inputs: part === undefined ? {} : { [part]: { board: "bus", device } },
      };
    }),
  );
}
