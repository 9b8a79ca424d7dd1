/**
 * The emulated board in a process of its own, so that a test's work does not slow the chip down, nor the chip the test.
 * Started by `emulated-board.ts`, which says what the messages mean.
 */
import { readFileSync } from "node:fs";
import { setPriority } from "node:os";
import { bootChip, type Chip, CLOCK_HZ, flashOf, type PinLevel } from "./chip.ts";
import { type Pty, plugPty } from "./pty.ts";

export type ToChip =
  | { readonly do: "contact"; readonly pin: number; readonly closed: boolean; readonly id: number }
  | { readonly do: "volts"; readonly pin: number; readonly volts: number; readonly id: number }
  | { readonly do: "inject"; readonly bytes: readonly number[]; readonly id: number }
  | {
      readonly do: "reset" | "unplug" | "plug" | "mute" | "unmute" | "hang" | "freeze" | "nothing";
      readonly id: number;
    };

export type FromChip =
  | {
      readonly say: "pin";
      readonly pin: number;
      readonly level: PinLevel;
      readonly atNs: string;
      readonly chipMs: number;
    }
  | { readonly say: "done"; readonly id: number; readonly atNs: string; readonly chipMs: number }
  | { readonly say: "ready" };

try {
  // A real chip is not slowed down by what else the computer does. Only root may say so to the scheduler.
  setPriority(-15);
} catch {
  // Then the emulated one is slower on a busy machine.
}

const [hexPath, ttyPath, closedPins, pulsedPins] = process.argv.slice(2) as [string, string, string, string];
const flash = flashOf(readFileSync(hexPath, "utf8"));
const closed = new Set<number>(JSON.parse(closedPins));

const say = (message: FromChip) => void (process.connected && process.send?.(message));
const nowNs = () => process.hrtime.bigint();

/** Contacts that are closed while their pin pulses: when it did last, and whether they are closed. */
const pulsed = new Map<number, { lastMs: number; pulses: number; closed: boolean }>();
for (const pin of JSON.parse(pulsedPins) as number[]) pulsed.set(pin, { lastMs: 0, pulses: 0, closed: false });
/** How long the charge of the pulse holds the contact: the time constant in the wiring notes, with room. */
const HOLD_MS = 50;

/** The chip's own clock, to within the 10 ms that it runs at a time: behind the wall's where the machine is busy. */
let ranCycles = 0;
const chipMs = () => (ranCycles / CLOCK_HZ) * 1000;

let chip: Chip;
let pty: Pty | null = null;
let muted = false;
const sent: number[] = [];

const volts = new Map<number, number>();

function boot(): void {
  chip = bootChip(flash, closed, (byte) => sent.push(byte), onPin);
  for (const [pin, level] of volts) chip.volts(pin, level);
}

function onPin(pin: number, level: PinLevel): void {
  const contact = pulsed.get(pin);
  if (contact === undefined) say({ say: "pin", pin, level, atNs: String(nowNs()), chipMs: chipMs() });
  else {
    // The first edge is that of coming out of reset; one alone moves no charge.
    contact.pulses += 1;
    contact.lastMs = chipMs();
    if (contact.pulses > 2) turn(pin, true);
  }
}

function turn(pin: number, closed: boolean): void {
  const contact = pulsed.get(pin);
  if (contact === undefined || contact.closed === closed) return;
  contact.closed = closed;
  say({ say: "pin", pin, level: closed ? "high" : "low", atNs: String(nowNs()), chipMs: chipMs() });
}

function letPulsesFade(): void {
  for (const [pin, contact] of pulsed) {
    if (chipMs() - contact.lastMs < HOLD_MS) continue;
    contact.pulses = 0;
    turn(pin, false);
  }
}

async function plug(): Promise<void> {
  pty = await plugPty(ttyPath, (bytes) => chip.receive(bytes));
}

async function obey(message: ToChip): Promise<void> {
  if (message.do === "contact") {
    if (message.closed) closed.add(message.pin);
    else closed.delete(message.pin);
    chip.contact(message.pin, message.closed);
  }
  if (message.do === "volts") {
    volts.set(message.pin, message.volts);
    chip.volts(message.pin, message.volts);
  }
  if (message.do === "inject") pty?.send(Uint8Array.from(message.bytes));
  if (message.do === "reset" || message.do === "hang" || message.do === "freeze") chip[message.do]();
  if (message.do === "mute" || message.do === "unmute") muted = message.do === "mute";
  if (message.do === "plug") {
    // A board on USB has no power while it is unplugged.
    boot();
    await plug();
  }
  if (message.do === "unplug") {
    await pty?.unplug();
    pty = null;
  }
  say({ say: "done", id: message.id, atNs: String(nowNs()), chipMs: chipMs() });
}

boot();
await plug();
process.on("message", (message) => void obey(message as ToChip));
process.on("disconnect", () => process.exit());
process.on("exit", () => void pty?.unplug());

const started = nowNs();
let doneCycles = 0;
// Paced to the clock. After a stall the chip catches up by at most 10 ms at a time.
setInterval(() => {
  const due = Math.floor((Number(nowNs() - started) / 1e9) * CLOCK_HZ) - doneCycles;
  const cycles = Math.min(due, CLOCK_HZ / 100);
  doneCycles += due > CLOCK_HZ ? due : cycles;
  chip.run(cycles);
  ranCycles += cycles;
  letPulsesFade();
  if (sent.length === 0) return;
  if (!muted) pty?.send(Uint8Array.from(sent));
  sent.length = 0;
}, 1);
say({ say: "ready" });
