import type { OutputPart } from "../../shared/contract/parts.ts";

/** An output pin, what hangs on it, and the level at which its contact is open. */
export interface OutputPin {
  readonly pin: number;
  readonly part: OutputPart;
  readonly restHigh: boolean;
}

export const portOf = (pin: number): number => pin >> 3;
const bitOf = (pin: number): number => 1 << (pin & 7);

/**
 * The levels that this program wants on a board's pins. A digital write sends eight pins at once, so it must know all
 * of them; the Firmata library's own memory of them takes in what the inputs read, which would switch pull-ups off.
 */
export interface PortImage {
  /** Ports that carry something wired. */
  readonly ports: readonly number[];
  /** The byte to write to a port: outputs at their level, inputs with their pull-up on. */
  byteOf(port: number): number;
  isHigh(pin: number): boolean;
  set(pin: number, high: boolean): void;
  /** Every output to the level at which its contact is open. */
  rest(): void;
}

export function makePortImage(
  inputs: readonly number[],
  outputs: readonly Pick<OutputPin, "pin" | "restHigh">[],
): PortImage {
  const bytes = new Map<number, number>();
  const set = (pin: number, high: boolean) => {
    const before = bytes.get(portOf(pin)) ?? 0;
    bytes.set(portOf(pin), high ? before | bitOf(pin) : before & ~bitOf(pin));
  };
  const rest = () => {
    for (const { pin, restHigh } of outputs) set(pin, restHigh);
  };
  for (const pin of inputs) set(pin, true);
  rest();
  return {
    ports: [...bytes.keys()].sort((a, b) => a - b),
    byteOf: (port) => bytes.get(port) ?? 0,
    isHigh: (pin) => ((bytes.get(portOf(pin)) ?? 0) & bitOf(pin)) !== 0,
    set,
    rest,
  };
}
