import type { Commands } from "../../shared/contract/index.ts";
import { CONTACT_PARTS, OUTPUT_PARTS } from "../../shared/contract/index.ts";
import type { ContactSensor } from "./plant/contact-sensor.ts";
import type { TankState } from "./plant/tank-state.ts";

/** `even`: a scan in every period. `adaptive`: one a second while nothing happens, to get through a year. */
export const SCAN_PACES = ["even", "adaptive"] as const;
export type ScanPace = (typeof SCAN_PACES)[number];

/** Says when the next scan is due. */
export interface Pace {
  /** Something came from outside: a fault, a hand, a start. */
  disturb(): void;
  /** Looked at in every period. */
  due(nowMs: number): boolean;
  scanned(nowMs: number, commands: Commands): void;
}

/** Outputs that kept still and floats that did not move for this long. */
const STEADY_MS = 60_000;
export const SLOW_SCAN_MS = 1_000;

export function createPace(kind: ScanPace, tank: TankState, scanMs: number): Pace {
  if (kind === "even" || scanMs >= SLOW_SCAN_MS) return EVEN;
  const sensors = CONTACT_PARTS.map((part) => tank.sensors[part]);
  let sinceMs = 0;
  let scannedMs = Number.NEGATIVE_INFINITY;
  let contacts = -1;
  let outputs = -1;
  let disturbed = true;
  return {
    disturb: () => {
      disturbed = true;
    },
    due: (nowMs) => {
      const bits = contactBits(sensors);
      if (bits !== contacts || disturbed) {
        contacts = bits;
        disturbed = false;
        sinceMs = nowMs;
      }
      if (nowMs - sinceMs < STEADY_MS) return true;
      // On whole seconds, when the probes have just been asked: what is seen is as new as in a scan of every period.
      const newSecond = Math.floor(nowMs / SLOW_SCAN_MS) > Math.floor(scannedMs / SLOW_SCAN_MS);
      return newSecond || nowMs - scannedMs + scanMs > SLOW_SCAN_MS;
    },
    scanned: (nowMs, commands) => {
      const bits = outputBits(commands);
      if (bits !== outputs) sinceMs = nowMs;
      outputs = bits;
      scannedMs = nowMs;
    },
  };
}

const EVEN: Pace = { disturb: () => undefined, due: () => true, scanned: () => undefined };

/** What floats and sensors do and what they last said, one bit each. */
function contactBits(sensors: readonly ContactSensor[]): number {
  let bits = 0;
  for (const sensor of sensors) {
    bits = (bits << 2) | (sensor.at ? 2 : 0) | (sensor.reported ? 1 : 0);
  }
  return bits;
}

function outputBits(commands: Commands): number {
  let bits = 0;
  for (const part of OUTPUT_PARTS) bits = (bits << 1) | (commands[part] ? 1 : 0);
  return bits;
}
