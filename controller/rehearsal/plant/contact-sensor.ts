import type { ContactReading } from "../../../shared/contract/index.ts";
import type { Random } from "./random.ts";

/**
 * A float, the floor sensor, the mains or the return-pump sensor, on a supervised pair of wires: open and short are
 * told from wet and dry. `at` is what its own contact does, whatever the wire makes of it.
 */
export interface ContactSensor {
  at: boolean;
  ailment: "none" | "stuck-on" | "stuck-off" | "open" | "short" | "chatter" | "inverted";
  reported: boolean;
  samples: number;
  /** Held up by a hand, or wetted by a splash, for so long yet. */
  liftedS: number;
  /** Splashed again and again; null = not. */
  splash: Splash | null;
}

export interface Splash {
  /** How long it stays wet. */
  readonly wetS: number;
  nextInS: number;
}

export const createContactSensor = (at: boolean): ContactSensor => ({
  at,
  ailment: "none",
  reported: at,
  samples: 0,
  liftedS: 0,
  splash: null,
});

/** The board samples ten times a second, so its newest report is half a tenth old on average. */
const FRESH_MS = 50;

export function readContact(sensor: ContactSensor, random: Random, silentMs: number): ContactReading {
  if (silentMs > 0) return value(sensor, silentMs);
  sensor.samples += 1;
  switch (sensor.ailment) {
    case "open":
      return { value: null, fault: "open-circuit", ageMs: FRESH_MS, sample: sensor.samples };
    case "short":
      return { value: null, fault: "short-circuit", ageMs: FRESH_MS, sample: sensor.samples };
    case "chatter":
      sensor.reported = random.uniform() < 0.5;
      break;
    case "stuck-on":
      sensor.reported = true;
      break;
    case "stuck-off":
      sensor.reported = false;
      break;
    case "inverted":
      sensor.reported = !sensor.at;
      break;
    default:
      sensor.reported = sensor.at;
  }
  return value(sensor, FRESH_MS);
}

const value = (sensor: ContactSensor, ageMs: number): ContactReading => ({
  value: sensor.reported,
  fault: null,
  ageMs,
  sample: sensor.samples,
});

/** A float closes at its mark and opens a little lower. */
export interface FloatMarks {
  readonly wetAtMm: number;
  readonly dryAtMm: number;
}

export const floatTo = (sensor: ContactSensor, { wetAtMm, dryAtMm }: FloatMarks, levelMm: number): void =>
  turnBetween(sensor, wetAtMm, dryAtMm, levelMm);

/** Four splashes a day: a fish, a feeding, a lid that drips. */
const SPLASH_EVERY_S = 6 * 3600;

export const beginSplashes = (sensor: ContactSensor, wetS: number): void => {
  sensor.splash = { wetS, nextInS: 0 };
};

/** What lifts a float although the water does not: a hand or a splash. After its own law, which this overrules. */
export function liftFloat(sensor: ContactSensor, dtS: number): void {
  const { splash } = sensor;
  if (splash !== null) {
    splash.nextInS -= dtS;
    if (splash.nextInS <= 0) {
      splash.nextInS += SPLASH_EVERY_S;
      sensor.liftedS = Math.max(sensor.liftedS, splash.wetS);
    }
  }
  if (sensor.liftedS <= 0) return;
  sensor.liftedS -= dtS;
  sensor.at = true;
}

/** The float in the reservoir hangs by a number of litres. */
export interface ReservoirMarks {
  readonly wetAtL: number;
  readonly dryAtL: number;
}

export const reservoirFloatTo = (sensor: ContactSensor, { wetAtL, dryAtL }: ReservoirMarks, litres: number): void =>
  turnBetween(sensor, wetAtL, dryAtL, litres);

function turnBetween(sensor: ContactSensor, wetAt: number, dryAt: number, now: number): void {
  if (now >= wetAt) sensor.at = true;
  else if (now <= dryAt) sensor.at = false;
}
