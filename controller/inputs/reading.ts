import type { Reading, ReadingFault } from "../../shared/contract/reading.ts";
import type { Heard } from "../boards/index.ts";

/** A report that is no value, and what is wrong with it. */
export interface Unusable {
  readonly fault: ReadingFault;
}

export const unusable = (fault: ReadingFault): Unusable => ({ fault });

/**
 * What a connection heard, as a reading of now. `value` may answer null where the report is no number, or say what else
 * is wrong with it: such faults are found here because only here the report becomes a value.
 */
export function reading<Raw, Value extends number | boolean>(
  heard: Heard<Raw>,
  nowMs: number,
  value: (raw: Raw) => Value | Unusable | null,
): Reading<Value> {
  const age = { ageMs: Math.max(0, Math.ceil(nowMs - heard.atMs)), sample: heard.sample };
  if (heard.fault !== null) return { value: null, fault: heard.fault, ...age };
  const found = value(heard.value);
  if (found === null) return { value: null, fault: "not-a-number", ...age };
  if (typeof found === "object") return { value: null, fault: found.fault, ...age };
  return { value: found, fault: null, ...age };
}
