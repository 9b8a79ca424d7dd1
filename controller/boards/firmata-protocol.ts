import type { Firmata } from "firmata-io";

/** Messages of the Firmata protocol that are sent as bytes of our own: what the library offers for them keeps listeners. */
export const REPORT_VERSION = 0xf9;
export const PIN_MODE = 0xf4;
export const REPORT_DIGITAL = 0xd0;
export const REPORT_ANALOG = 0xc0;
/** Mode of an input with pull-up in firmware that has one of its own. */
export const PULL_UP_MODE = 0x0b;

const sysex = (...bytes: number[]): number[] => [0xf0, ...bytes, 0xf7];
export const QUERY_FIRMWARE = sysex(0x79);
export const QUERY_CAPABILITIES = sysex(0x6b);
export const QUERY_ANALOG_MAPPING = sysex(0x69);
/** How often analog pins are told, milliseconds. */
export const samplingInterval = (ms: number): number[] => sysex(0x7a, ms & 0x7f, ms >> 7);
export const queryPin = (pin: number): number[] => sysex(0x6d, pin);

export const ANSWER_MS = 1000;

/** Sends, and resolves once every one of the library's events has come; false if that takes too long. */
export function answersTo(io: Firmata, events: readonly string[], send: () => void): Promise<boolean> {
  if (events.length === 0) return Promise.resolve(true);
  return new Promise((resolve) => {
    const listeners = new Map<string, () => void>();
    const stopListening = (event: string) => {
      io.off(event, listeners.get(event) as () => void);
      listeners.delete(event);
    };
    const timer = setTimeout(() => {
      for (const event of [...listeners.keys()]) stopListening(event);
      resolve(false);
    }, ANSWER_MS);
    for (const event of events) {
      listeners.set(event, () => {
        stopListening(event);
        if (listeners.size > 0) return;
        clearTimeout(timer);
        resolve(true);
      });
    }
    for (const [event, listener] of listeners) io.on(event, listener);
    send();
  });
}
