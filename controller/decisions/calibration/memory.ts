import { CALIBRATED, type Calibrated, type StandardTaken } from "../../../shared/contract/calibration.ts";
import type { Witness } from "../../../shared/contract/witness.ts";
import { CALIBRATION_DUE_MS, FLOW_AGREES } from "../../../shared/settings/limits.ts";
import type { Settings } from "../../../shared/settings/schema.ts";
import { type CalibrationPrints, calibrationPrints } from "./prints.ts";

/** One calibration as it is kept. */
export interface Entry {
  readonly number: number;
  readonly what: Calibrated;
  readonly before: number;
  readonly after: number;
  /** Of the entry that this one follows; null = it is the first. */
  readonly beforeNumber: number | null;
  readonly ageMs: number;
  readonly by: string | null;
  readonly lot: string | null;
  readonly temperatureC: number | null;
  readonly standards: readonly StandardTaken[];
  /** Half-width of the doubt in `after`, in percent of it (conductivity) or in its unit. */
  readonly doubt: number;
  readonly standing: "in-force" | "followed" | "undone" | "fallen";
}

/** What is in force, by the kind; null = nothing was calibrated. Another object only when one of them changes. */
export type Values = Readonly<Record<Calibrated, Value | null>>;
export interface Value {
  readonly value: number;
  readonly doubt: number;
  readonly number: number;
}

/** Durable. */
export interface CalibrationMemory {
  readonly values: Values;
  readonly entries: readonly Entry[];
  /** The highest number ever given. */
  readonly numbers: number;
  /** Time that is not in the ages yet. */
  readonly sinceMs: number;
  readonly prints: CalibrationPrints;
}

export const MOST_ENTRIES = 24;

export const NO_VALUES = Object.fromEntries(CALIBRATED.map((what) => [what, null])) as Values;

export const nothingCalibrated = (settings: Settings): CalibrationMemory => ({
  values: NO_VALUES,
  entries: [],
  numbers: 0,
  sinceMs: 0,
  prints: calibrationPrints(settings),
});

/** A box that has been kept well for long: two thermometers that were once set to a reference. */
export const wellCalibrated = (settings: Settings): CalibrationMemory =>
  (["thermometer-1", "thermometer-2"] as const).reduce(
    (memory, what) =>
      calibrated(memory, {
        what,
        before: 0,
        after: 0,
        by: null,
        lot: null,
        temperatureC: null,
        standards: [],
        doubt: AFTER_REFERENCE_K,
      }),
    nothingCalibrated(settings),
  );

/** What is left of a thermometer's doubt after a reference beside it: half-width at k = 2, common practice. */
export const AFTER_REFERENCE_K = 0.2;

export type NewEntry = Omit<Entry, "number" | "beforeNumber" | "ageMs" | "standing">;

/** With one more calibration in force. The oldest that nothing hangs on is forgotten when the list is full. */
export function calibrated(memory: CalibrationMemory, entry: NewEntry): CalibrationMemory {
  const number = memory.numbers + 1;
  const beforeNumber = memory.values[entry.what]?.number ?? null;
  const followed = memory.entries.map((each) =>
    each.number === beforeNumber ? { ...each, standing: "followed" as const } : each,
  );
  // Its age counts from now: the time that is not in the ages yet is not its own.
  const added: Entry = { ...entry, number, beforeNumber, ageMs: -memory.sinceMs, standing: "in-force" };
  return withValues({ ...memory, entries: trimmed([...followed, added]), numbers: number });
}

function trimmed(entries: readonly Entry[]): readonly Entry[] {
  if (entries.length <= MOST_ENTRIES) return entries;
  const standing = entries.filter((each) => each.standing === "in-force");
  const needed = new Set(standing.flatMap((each) => [each.number, each.beforeNumber]));
  const oldest = entries.findIndex((each) => !needed.has(each.number));
  return entries.filter((_, index) => index !== oldest);
}

export function undone(memory: CalibrationMemory, entry: Entry): CalibrationMemory {
  const entries = memory.entries.map((each) => {
    if (each.number === entry.number) return { ...each, standing: "undone" as const };
    return each.number === entry.beforeNumber ? { ...each, standing: "in-force" as const } : each;
  });
  return withValues({ ...memory, entries });
}

/** The settings are others than those that were calibrated under: what no longer matches falls. */
export function calibrationUnder(memory: CalibrationMemory, settings: Settings): CalibrationMemory {
  const prints = calibrationPrints(settings);
  if (memory.prints === prints) return memory;
  const entries = memory.entries.map((each) =>
    memory.prints[each.what] !== prints[each.what] && each.standing !== "undone"
      ? { ...each, standing: "fallen" as const }
      : each,
  );
  return withValues({ ...memory, entries, prints });
}

/** The values in force, made from the entries. */
export function withValues(memory: CalibrationMemory): CalibrationMemory {
  const values: Record<Calibrated, Value | null> = { ...NO_VALUES };
  if (memory.entries.every(({ standing }) => standing !== "in-force")) return { ...memory, values: NO_VALUES };
  for (const { standing, what, after, doubt, number } of memory.entries) {
    if (standing === "in-force") values[what] = { value: after, doubt, number };
  }
  return { ...memory, values };
}

const MINUTE_MS = 60_000;
const MOST_AGE_MS = 10 * 365 * 86_400_000;

export function olderCalibration(memory: CalibrationMemory, elapsedMs: number): CalibrationMemory {
  const { values, entries, numbers, prints } = memory;
  // A box that was never calibrated has nothing to age.
  if (entries.length === 0) return memory.sinceMs === 0 ? memory : { ...memory, sinceMs: 0 };
  const sinceMs = memory.sinceMs + elapsedMs;
  return sinceMs >= MINUTE_MS ? agedBy(memory, sinceMs) : { values, entries, numbers, sinceMs, prints };
}

/** Off-time that nobody knows makes a calibration due: it may only have become older. */
export function calibrationAfterRestart(memory: CalibrationMemory, offMs: number | null): CalibrationMemory {
  const aged = agedBy(memory, memory.sinceMs + (offMs ?? 0));
  if (offMs !== null) return aged;
  const entries = aged.entries.map((each) => ({ ...each, ageMs: Math.max(each.ageMs, CALIBRATION_DUE_MS) }));
  return { ...aged, entries };
}

/**
 * After a memory that is in doubt: everything is due, and the pump is as strong as it was ever known to be. A flow that
 * fell back to a lower figure of the settings would count too few litres.
 */
export function calibrationInDoubt(
  memory: CalibrationMemory,
  settings: Settings,
  witness: Pick<Witness, "flowLPerMin" | "calibrations"> | null,
): CalibrationMemory {
  const under = calibrationUnder(memory, settings);
  const kept = { ...under, numbers: Math.max(under.numbers, witness?.calibrations ?? 0) };
  const before = kept.values["top-off-flow"]?.value ?? settings.topOff.provenFlowLPerMin;
  const after = witness?.flowLPerMin ?? 0;
  const entry = {
    what: "top-off-flow",
    before,
    after,
    by: null,
    lot: null,
    temperatureC: null,
    standards: [],
  } as const;
  const known = after > before ? calibrated(kept, { ...entry, doubt: after * FLOW_AGREES }) : kept;
  return calibrationAfterRestart(known, null);
}

const agedBy = (memory: CalibrationMemory, ms: number): CalibrationMemory => ({
  ...memory,
  entries: memory.entries.map((each) => ({ ...each, ageMs: Math.min(MOST_AGE_MS, each.ageMs + ms) })),
  sinceMs: 0,
});

/** Age of what is in force; null where nothing was calibrated. */
export function calibrationAgeMs(memory: CalibrationMemory, what: Calibrated): number | null {
  const number = memory.values[what]?.number;
  if (number === undefined) return null;
  const entry = memory.entries.find((each) => each.number === number);
  return entry === undefined ? null : entry.ageMs + memory.sinceMs;
}
