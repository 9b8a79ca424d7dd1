import * as z from "zod";
import { CALIBRATED, type Calibrated, STANDARDS } from "../../../shared/contract/calibration.ts";
import { CALIBRATION_DUE_MS, FLOW_AGREES } from "../../../shared/settings/limits.ts";
import type { Settings } from "../../../shared/settings/schema.ts";
import { storedAgeMs, storedCount, storedMs } from "../stored.ts";
import { type CalibrationPrints, calibrationPrints } from "./prints.ts";

const storedStandard = z
  .object({
    standard: z.enum(STANDARDS),
    lot: z.string().nullable(),
    temperatureC: z.number(),
    expectedMsPerCm: z.number(),
    readMsPerCm: z.number(),
  })
  .readonly();

/** One calibration as it is kept. */
const storedEntry = z
  .object({
    number: storedCount,
    what: z.enum(CALIBRATED),
    before: z.number(),
    after: z.number(),
    /** Of the entry that this one follows; null = it is the first. */
    beforeNumber: storedCount.nullable(),
    ageMs: storedAgeMs,
    by: z.string().nullable(),
    lot: z.string().nullable(),
    temperatureC: z.number().nullable(),
    standards: z.array(storedStandard).readonly(),
    /** Half-width of the doubt in `after`, in percent of it (conductivity) or in its unit. */
    doubt: z.number(),
    standing: z.enum(["in-force", "followed", "undone", "fallen"]),
  })
  .readonly();
export type Entry = z.infer<typeof storedEntry>;

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
  /** Age of the cell's calibration beyond what the settings say, for as long as none was made here. */
  readonly cellAgeMs: number;
}

/** What is kept a second time. */
export const storedCalibrationTestimony = z
  .object({
    /** Flow that the top-off pump was calibrated to, L/min; null = never calibrated. */
    flowLPerMin: z.number().positive().nullable(),
    /** The highest number that a calibration ever had; 0 = none. */
    calibrations: storedCount,
  })
  .readonly();
export type CalibrationTestimony = z.infer<typeof storedCalibrationTestimony>;

export const MOST_ENTRIES = 24;

export const NO_VALUES = Object.fromEntries(CALIBRATED.map((what) => [what, null])) as Values;

export const nothingCalibrated = (settings: Settings): CalibrationMemory => ({
  values: NO_VALUES,
  entries: [],
  numbers: 0,
  sinceMs: 0,
  prints: calibrationPrints(settings),
  cellAgeMs: 0,
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
  const cellAgeMs = Math.min(MOST_AGE_MS, memory.cellAgeMs + elapsedMs);
  // A box that was never calibrated has nothing else to age.
  const sinceMs = entries.length === 0 ? 0 : memory.sinceMs + elapsedMs;
  const older = { values, entries, numbers, sinceMs, prints, cellAgeMs };
  return sinceMs >= MINUTE_MS ? agedBy(older, sinceMs) : older;
}

/** Off-time that nobody knows makes a calibration due: it may only have become older. */
export function calibrationAfterRestart(memory: CalibrationMemory, offMs: number | null): CalibrationMemory {
  const aged = agedBy(memory, memory.sinceMs + (offMs ?? 0));
  if (offMs !== null) return { ...aged, cellAgeMs: Math.min(MOST_AGE_MS, memory.cellAgeMs + offMs) };
  const due = (ageMs: number) => Math.max(ageMs, CALIBRATION_DUE_MS);
  const entries = aged.entries.map((each) => ({ ...each, ageMs: due(each.ageMs) }));
  return { ...aged, entries, cellAgeMs: due(memory.cellAgeMs) };
}

/**
 * After a memory that is in doubt: everything is due, and the pump is as strong as it was ever known to be. A flow that
 * fell back to a lower figure of the settings would count too few litres.
 */
export function calibrationInDoubt(
  memory: CalibrationMemory,
  settings: Settings,
  testimony: CalibrationTestimony | null,
): CalibrationMemory {
  const under = calibrationUnder(memory, settings);
  const kept = { ...under, numbers: Math.max(under.numbers, testimony?.calibrations ?? 0) };
  const before = kept.values["top-off-flow"]?.value ?? settings.topOff.provenFlowLPerMin;
  const after = testimony?.flowLPerMin ?? 0;
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

/** Calibrations as they are stored; entries that cannot be read are none, and what they corrected is not corrected. */
export function storedCalibration(settings: Settings): z.ZodType<CalibrationMemory> {
  const nothing = nothingCalibrated(settings);
  const prints = z.object(Object.fromEntries(CALIBRATED.map((what) => [what, z.string().catch(nothing.prints[what])])));
  return z
    .object({
      entries: z.array(storedEntry.nullable().catch(null)),
      numbers: storedCount.catch(0),
      sinceMs: storedMs.catch(0),
      prints: prints.catch(nothing.prints) as unknown as z.ZodType<CalibrationPrints>,
      cellAgeMs: storedMs.catch(CALIBRATION_DUE_MS),
    })
    .catch({ ...nothing, entries: [], cellAgeMs: CALIBRATION_DUE_MS })
    .transform(({ entries: stored, numbers, ...kept }) => {
      const entries = stored.filter((entry) => entry !== null);
      const highest = Math.max(numbers, ...entries.map(({ number }) => number));
      return withValues({ ...kept, entries, numbers: highest, values: NO_VALUES });
    });
}
