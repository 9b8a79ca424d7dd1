import type { Heard } from "./heard.ts";
import type { OutputPin } from "./port-image.ts";

/** What is wired to a board, by pin. */
export interface PinWiring {
  readonly contacts: readonly number[];
  /** Pins whose voltage is read. */
  readonly analogs: readonly number[];
  readonly outputs: readonly OutputPin[];
}

/** A board whose pins are contacts to ground, voltages and relays. */
export interface PinBoard {
  readonly name: string;
  /** Whether a contact's pin reads high, which is an open contact. */
  contact(pin: number): Heard<boolean>;
  /** Voltage of an analog pin as a share of the supply, 0 to 1. */
  analog(pin: number): Heard<number>;
  /** Its pins are as they should be, so outputs may be set. False means: every output is off, or told to be. */
  readonly isReady: boolean;
  /** It does not report, or not all that is wired to it. */
  isSilent(nowMs: number): boolean;
  /** Keeps its outputs from falling, where its firmware lets them fall. From the success path of a healthy scan only. */
  feed(): void;
  /** It was reset and nobody has been told yet. */
  readonly hasRestarted: boolean;
  forgetRestart(): void;
  /** Its firmware keeps the pump off by itself, until it loses its power. */
  readonly pumpLocked: boolean;
  /** Sets outputs, all in one go where they share a port. Does nothing while the board is not ready. */
  write(levels: readonly { readonly pin: number; readonly high: boolean }[]): void;
  describe(nowMs: number): readonly string[];
  /** Outputs at rest first, and waits until that is written. */
  close(): Promise<void>;
}

export const wiredPins = ({ contacts, analogs, outputs }: PinWiring): readonly number[] => [
  ...contacts,
  ...analogs,
  ...outputs.map(({ pin }) => pin),
];
