import type { Reading } from "../../shared/contract/reading.ts";
import type { Heard } from "../boards/index.ts";

/**
 * What a connection heard, as a reading of now. `value` may answer null where the report is no number: that is a fault
 * of its own, found here because only here the report becomes a value.
 */
export function reading<Raw, Value>(
  heard: Heard<Raw>,
  nowMs: number,
  value: (raw: Raw) => Value | null,
): Reading<Value> {
  const age = { ageMs: Math.max(0, Math.ceil(nowMs - heard.atMs)), sample: heard.sample };
  if (heard.fault !== null) return { value: null, fault: heard.fault, ...age };
  const found = value(heard.value);
  return found === null ? { value: null, fault: "not-a-number", ...age } : { value: found, fault: null, ...age };
}
