import { CALIBRATED, type Calibrated, SESSIONS, type Session } from "../../shared/contract/calibration.ts";
import { type Fields, fieldsOf, listOf, numberOf, parsed, sentenceOf, wordOf } from "./fields.ts";

/** What corrects the readings, as far as the page could understand what it was told. */
export interface ShownCalibration {
  readonly inForce: readonly ShownValue[];
  readonly session: ShownSession | null;
  /** Newest first. */
  readonly entries: readonly ShownEntry[];
}

export interface ShownValue {
  readonly what: Calibrated;
  readonly value: number;
  readonly unit: string;
  /** Null = as in the settings. */
  readonly number: number | null;
  readonly ageMs: number | null;
}

export interface ShownSession {
  readonly session: Session;
  readonly reads: number | null;
  readonly temperatureC: number | null;
  readonly watchedMs: number;
  readonly neededMs: number;
  readonly isSteady: boolean;
  readonly isDry: boolean;
  readonly taken: readonly { readonly readMsPerCm: number; readonly expectedMsPerCm: number }[];
  readonly next: string;
}

export interface ShownEntry {
  readonly number: number;
  readonly what: Calibrated;
  readonly before: number;
  readonly after: number;
  readonly unit: string;
  readonly ageMs: number;
  readonly by: string;
  readonly lot: string;
  readonly standing: "in-force" | "followed" | "undone" | "fallen";
}

const MOST_ENTRIES = 24;
const MOST_TAKEN = 8;

/** Null = nothing that can be understood was told. */
export function readCalibration(text: string): ShownCalibration | null {
  const status = parsed(text);
  const inForce = fieldsOf(status?.inForce);
  if (status === null || inForce === null) return null;
  return {
    inForce: CALIBRATED.flatMap((what) => readValue(what, fieldsOf(inForce[what]))),
    session: readSession(fieldsOf(status.session)),
    entries: listOf(status.entries, MOST_ENTRIES)
      .flatMap((raw) => readEntry(fieldsOf(raw)))
      .reverse(),
  };
}

function readValue(what: Calibrated, raw: Fields | null): ShownValue[] {
  const value = numberOf(raw?.value);
  if (value === null) return [];
  return [{ what, value, unit: sentenceOf(raw?.unit), number: numberOf(raw?.number), ageMs: numberOf(raw?.ageMs) }];
}

function readSession(raw: Fields | null): ShownSession | null {
  const session = wordOf(raw?.session, SESSIONS);
  if (raw === null || session === null) return null;
  return {
    session,
    reads: numberOf(raw.reads),
    temperatureC: numberOf(raw.temperatureC),
    watchedMs: numberOf(raw.watchedMs) ?? 0,
    neededMs: numberOf(raw.neededMs) ?? 0,
    isSteady: raw.steady === true,
    isDry: raw.dry === true,
    taken: listOf(raw.taken, MOST_TAKEN).flatMap((one) => {
      const readMsPerCm = numberOf(fieldsOf(one)?.readMsPerCm);
      const expectedMsPerCm = numberOf(fieldsOf(one)?.expectedMsPerCm);
      return readMsPerCm === null || expectedMsPerCm === null ? [] : [{ readMsPerCm, expectedMsPerCm }];
    }),
    next: sentenceOf(raw.next),
  };
}

function readEntry(raw: Fields | null): ShownEntry[] {
  const what = wordOf(raw?.what, CALIBRATED);
  const standing = wordOf(raw?.standing, ["in-force", "followed", "undone", "fallen"]);
  const [number, before, after, ageMs] = [raw?.number, raw?.before, raw?.after, raw?.ageMs].map(numberOf);
  if (raw === null || what === null || standing === null) return [];
  if (number == null || before == null || after == null || ageMs == null) return [];
  const unit = sentenceOf(raw.unit);
  return [{ number, what, before, after, unit, ageMs, by: sentenceOf(raw.by), lot: sentenceOf(raw.lot), standing }];
}
