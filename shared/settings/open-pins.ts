import { portOfPin } from "./wiring.ts";

/** Below it a board talks to the computer. */
const LEAST_PIN = 2;
/** Its pull-up has to work against the board's own lamp. */
export const LAMP_PIN = 13;
/** A0 to A5 of an Uno. */
const FIRST_ANALOG_PIN = 14;
const LAST_PIN = 19;

/**
 * Pins of this pin's port that nothing is wired to, digital ones first: standard firmware reports a port again and again
 * only by one of them that stays open. The guard firmware needs none. A board with no wire beyond the pins of an Uno is
 * taken for one.
 */
export function openPinsBeside(pin: number, wired: ReadonlySet<number>): readonly number[] {
  const first = 8 * portOfPin(pin);
  const isUno = Math.max(pin, ...wired) <= LAST_PIN;
  const isThere = (number: number) => number >= LEAST_PIN && (number <= LAST_PIN || !isUno);
  const isAnalog = (number: number) => number >= FIRST_ANALOG_PIN;
  return Array.from({ length: 8 }, (_, index) => first + index)
    .filter((number) => isThere(number) && number !== LAMP_PIN && !wired.has(number))
    .sort((a, b) => Number(isAnalog(a)) - Number(isAnalog(b)) || a - b);
}
