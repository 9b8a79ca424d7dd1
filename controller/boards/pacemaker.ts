import { LAMP_PIN } from "../../shared/settings/open-pins.ts";
import { portOf } from "./port-image.ts";

/** A free pin whose coming and going among the inputs makes the firmware report the whole port. */
export interface Pacemaker {
  readonly port: number;
  readonly pin: number;
  /** A mode that the pin cannot take: the firmware drops it from the inputs and leaves the wire alone. */
  readonly away: number;
}

interface PinAbilities {
  readonly supportedModes: readonly number[];
  readonly analogChannel?: number;
}

const MODE = { input: 0, analog: 2, pwm: 3, servo: 4 } as const;
const NOT_ANALOG = 127;

/**
 * Standard firmware (2.3) reports a port only when what it reads there differs from what it said last, so a contact
 * that stands still would never be sampled again. An open pin with its pull-up reads high: counted among the inputs in
 * one round and not in the next, it makes every round a difference, and each report carries fresh readings of all pins.
 */
export function choosePacemakers(
  ports: readonly number[],
  wired: ReadonlySet<number>,
  pins: readonly PinAbilities[],
): Pacemaker[] {
  return ports.flatMap((port) => {
    const free = pins
      .map((abilities, pin) => ({ ...abilities, pin }))
      .filter(({ pin }) => portOf(pin) === port && pin >= 2 && pin !== LAMP_PIN && !wired.has(pin))
      .filter(({ supportedModes }) => supportedModes.includes(MODE.input))
      .sort((a, b) => Number(isAnalog(a)) - Number(isAnalog(b)) || a.pin - b.pin)
      .flatMap(({ pin, supportedModes }) => {
        const away = [MODE.analog, MODE.pwm, MODE.servo].find((mode) => !supportedModes.includes(mode));
        return away === undefined ? [] : [{ port, pin, away }];
      });
    return free.slice(0, 1);
  });
}

const isAnalog = ({ analogChannel = NOT_ANALOG }: PinAbilities): boolean => analogChannel !== NOT_ANALOG;
