import type { OutputPart } from "../../shared/contract/parts.ts";

/**
 * The three messages that the guard firmware of the wiring notes adds to the Firmata protocol, under one of the numbers
 * that the protocol leaves to its users. Each ends with a CRC-7 (x⁷ + x³ + 1) over what stands between number and CRC.
 */
const OURS = 0x0e;
const KIND = { feed: 1, description: 2, report: 3 } as const;
const START = 0xf0;
const END = 0xf7;

export const SYSTEM_RESET = 0xff;
export const ASK_GUARD_DESCRIPTION = [START, OURS, KIND.description, END];
/** How far the scan's counter goes before it begins again. */
export const COUNTER_WRAPS_AT = 2 ** 21;

/** The guard message: the only one that keeps the outputs from falling. */
export function feedMessage(counter: number): number[] {
  const body = [KIND.feed, counter & 0x7f, (counter >> 7) & 0x7f, (counter >> 14) & 0x7f];
  return [START, OURS, ...body, crc7(body), END];
}

/** What the board says of itself twenty times a second, and at once when an input flips. */
export interface GuardReport {
  readonly counter: number;
  readonly state: "unarmed" | "armed" | "tripped";
  /** The pump has run longer than the firmware allows; only a loss of power forgets it. */
  readonly pumpLocked: boolean;
  /** The watchdog ended its run before this one. */
  readonly afterHang: boolean;
  /** Whether a pin that is a digital input reads high. */
  isHigh(pin: number): boolean;
}

/** What was fixed when the firmware was built. */
export interface GuardDescription {
  readonly tripMs: number;
  readonly pumpMostS: number;
  readonly outputs: readonly { readonly pin: number; readonly part: OutputPart; readonly restHigh: boolean }[];
}

/** Finds the firmware's own messages among all bytes of a board. What is cut short or spoilt is passed over. */
export function createGuardEar(on: {
  reported(report: GuardReport): void;
  described(description: GuardDescription): void;
}): (bytes: Iterable<number>) => void {
  let open: number[] | null = null;
  return (bytes) => {
    for (const byte of bytes) {
      if (byte === END && open !== null) hear(open, on);
      if (byte >= 0x80) open = byte === START ? [] : null;
      else if (open !== null && open.length < LONGEST) open.push(byte);
    }
  };
}

const LONGEST = 64;
const REPORT_BYTES = 10;
/** With four outputs, and with the two of a second heater. */
const DESCRIPTION_BYTES: readonly number[] = [19, 25];
const STATES = ["unarmed", "armed", "tripped"] as const;
const ROLES: Readonly<Record<number, OutputPart>> = {
  1: "top-off-pump",
  2: "water-guard",
  3: "heater-1",
  4: "heat-guard",
  5: "heater-2",
  6: "heat-guard-2",
};

function hear(message: readonly number[], on: Parameters<typeof createGuardEar>[0]): void {
  if (message[0] !== OURS || crc7(message.slice(1, -1)) !== message.at(-1)) return;
  const at = (index: number) => message[index] as number;
  if (at(1) === KIND.report && message.length === REPORT_BYTES) {
    const state = STATES[at(4) & 3];
    if (state === undefined) return;
    const levels = at(6) | (at(7) << 7) | (at(8) << 14);
    on.reported({
      counter: at(2) | (at(3) << 7),
      state,
      pumpLocked: (at(4) & 4) !== 0,
      afterHang: (at(4) & 8) !== 0,
      isHigh: (pin) => (levels & (1 << pin)) !== 0,
    });
  } else if (at(1) === KIND.description && DESCRIPTION_BYTES.includes(message.length)) {
    const places = [6, 9, 12, 15, 18, 21].filter((index) => index + 3 < message.length);
    const outputs = places.flatMap((index) => {
      const part = ROLES[at(index + 1)];
      return part === undefined ? [] : [{ pin: at(index), part, restHigh: at(index + 2) !== 0 }];
    });
    on.described({ tripMs: at(3) * 100, pumpMostS: at(4), outputs });
  }
}

function crc7(bytes: readonly number[]): number {
  let crc = 0;
  for (const byte of bytes) {
    for (let bit = 7; bit >= 0; bit -= 1) {
      const carry = (crc >> 6) & 1;
      crc = (crc << 1) & 0x7f;
      if (carry !== ((byte >> bit) & 1)) crc ^= 0x09;
    }
  }
  return crc;
}
