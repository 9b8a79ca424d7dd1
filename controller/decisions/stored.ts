import * as z from "zod";
import { REASONS, type Reason } from "../../shared/contract/reasons.ts";

/**
 * What stored memory is made of, with its bounds. Far outside anything that a box can come to: what lies beyond them was
 * never written by this program. JSON has no NaN: it is stored as null, and a null is no number here.
 */
const MOST_MS = 10 * 365 * 86_400_000;
/** A million litres, in microlitres. */
const BEYOND_UL = 1e12;

export const storedMs = z.number().min(0).max(MOST_MS);
export const storedUl = z.number().min(0).lt(BEYOND_UL);
/** A budget may be overdrawn. */
export const storedBalanceUl = z.number().gt(-BEYOND_UL).lt(BEYOND_UL);
/** Ages are moved on together now and then: what is younger than the last time has an age below zero. */
export const storedAgeMs = z.number().gt(-3_600_000).max(MOST_MS);
export const storedShare = z.number().min(0).max(1);
export const storedCount = z.int().min(0);

export const storedReason = z.enum(Object.keys(REASONS) as Reason[]);

/** A trip that a person must clear. `occurrence` numbers them, so that a clear meant for one does not clear the next. */
export const storedLatch = z.object({ reason: storedReason, occurrence: storedCount }).readonly();
export type LatchMemory = z.infer<typeof storedLatch>;
