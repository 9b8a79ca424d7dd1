import type { Level } from "../../shared/contract/record.ts";
import type { ContactSignal } from "../../shared/contract/signal.ts";
import type { Settings } from "../../shared/settings/schema.ts";

/**
 * The level in the last chamber: an interval between the marks that the floats show, and inside it an estimate from
 * what must have evaporated since the working float last read full. No invented millimetre: where nothing bounds a
 * side, it is null.
 */
export function levelFrom(
  working: ContactSignal,
  high: ContactSignal,
  low: ContactSignal,
  dueUl: number,
  { tank }: Settings,
): Level {
  if (working.position === "unknown" && high.position !== "on") return UNKNOWN;
  if (working.position === "off" && high.position === "on") return CONTRADICTION;
  if (working.position === "on" && low.position === "off") return CONTRADICTION;
  const bottomMm = low.position === "on" ? tank.lowFloatMm : null;
  if (high.position === "on")
    return { fromMm: tank.highFloatMm, toMm: null, estimateMm: tank.highFloatMm, state: "high" };
  if (working.position === "off") {
    const topMm = low.position === "off" ? tank.lowFloatMm : 0;
    const estimateMm = clamp(-dueUl / 1e6 / tank.lastChamberM2, bottomMm ?? tank.lowFloatMm, topMm);
    return { fromMm: bottomMm, toMm: topMm, estimateMm, state: "low" };
  }
  const toMm = high.position === "off" ? tank.highFloatMm : null;
  const estimateMm = clamp(-dueUl / 1e6 / tank.lastChamberM2, -tank.floatHysteresisMm, 0);
  return { fromMm: -tank.floatHysteresisMm, toMm, estimateMm, state: "at-mark" };
}

const clamp = (value: number, least: number, most: number): number => Math.min(most, Math.max(least, value));

const UNKNOWN: Level = { fromMm: null, toMm: null, estimateMm: null, state: "unknown" };
const CONTRADICTION: Level = { fromMm: null, toMm: null, estimateMm: null, state: "contradiction" };
