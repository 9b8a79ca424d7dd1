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
}

export const createContactSensor = (at: boolean): ContactSensor => ({
  at,
  ailment: "none",
  reported: at,
  samples: 0,
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
