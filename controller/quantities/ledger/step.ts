import type { LedgerDurable } from "./memory.ts";
import { meanOf, READINGS } from "./salt.ts";

/** Salinity that jumps as water cannot: a probe exchanged or moved, or water changed without a word. */

/** Within ten minutes, or while nobody looked, beyond what was poured and what may have come to pass meanwhile. */
const JUMP = 0.4;
/** Evaporation that nobody made good, and a probe that fouls fast, while nobody looked. */
const UNSEEN_A_DAY = 1;
const POURED_MIXES = 10;
const MS_A_DAY = 86_400_000;

/** By how much it stepped; null = it did not. `pouredUnits` is what the water poured since the last look may dilute. */
export function stepOf(
  recent: readonly number[],
  before: readonly number[],
  durable: LedgerDurable,
  pouredUnits: number,
): number | null {
  if (recent.length < READINGS) return null;
  const older = meanOf(recent.slice(0, READINGS / 2));
  const newer = meanOf(recent.slice(READINGS / 2));
  // Found out half way, when some of the newer readings are still old ones: the newest has gone all the way.
  if (Math.abs(newer - older) > JUMP + POURED_MIXES * pouredUnits) return Math.abs(recent[READINGS - 1]! - older);
  if (before.length === READINGS || durable.lastReading === null) return null;
  const across = Math.abs(meanOf(recent) - durable.lastReading);
  return across > JUMP + (UNSEEN_A_DAY * durable.lastReadingAgeMs) / MS_A_DAY ? across : null;
}

/** What the readings have said lately; nothing before there are enough of them. */
export const lastReadOf = (recent: readonly number[], durable: LedgerDurable): LedgerDurable =>
  recent.length < READINGS ? durable : { ...durable, lastReading: meanOf(recent), lastReadingAgeMs: 0 };
