import type { Belief, Doubtful } from "../../../shared/contract/ledger.ts";
import type { HandTest, LedgerDurable, LedgerVolatile } from "./memory.ts";
import { reservoirIsFresh } from "./reservoir.ts";
import { type Evidence, HAND_TEST_DEVIATION, type HandEvidence } from "./stories.ts";

/** What the salinity of the water is, when the probe says one thing and hand tests another. */

export const READINGS = 10;
const LEAST_READINGS = 5;
const MS_A_DAY = 86_400_000;
/** A clean probe may have moved by this in a day without anybody noticing. */
const CREEP_A_DAY = 0.015;
/** Of the water that must be missing while it is below its mark, one standard deviation. */
const MISSING_DOUBT = 0.4;
const TESTS_KEPT = 6;
const TEST_COUNTS_MS = 8 * MS_A_DAY;
const TEST_REMEMBERED_MS = 15 * MS_A_DAY;
/** Deviations beyond which a hand test and everything else cannot both be right, and never less than a whole unit. */
const APART = 3;
const APART_LEAST = 1;
const MOST_AGE_MS = 400 * MS_A_DAY;

export const withReading = (recent: readonly number[], value: number | null): readonly number[] =>
  value === null ? recent : [...recent.slice(1 - READINGS), value];

export const readingOf = (recent: readonly number[]): number | null =>
  recent.length < LEAST_READINGS ? null : meanOf(recent);

/** What believing costs: the share of an unexplained change that the water itself has made, and how sure that is. */
function shareOfWater(
  belief: Belief,
  settled: "probe-drift" | "salt-loss" | null,
  durable: LedgerDurable,
): { share: number; open: number } {
  const salty = belief === "reservoir-not-fresh" && reservoirIsFresh(durable) === false;
  if (salty || belief === "fresh-water-or-salt-leaving" || settled === "salt-loss") return { share: 1, open: 0.3 };
  if (settled === "probe-drift") return { share: 0, open: 0.3 };
  return { share: 0.5, open: 0.5 };
}

/** Salinity of the water with its mark reached, and its doubt: probe, offset, and what may have been drift since. */
export function salinityOfWater(
  durable: LedgerDurable,
  recent: readonly number[],
  belief: Belief,
  settled: "probe-drift" | "salt-loss" | null,
  missingShare: number,
): Doubtful | null {
  const reading = readingOf(recent);
  if (reading === null) return null;
  const atMark = reading * (1 - missingShare);
  const change = durable.anchor === null ? 0 : atMark - durable.anchor - durable.anchorMovedBy;
  const { share, open } = shareOfWater(belief, settled, durable);
  const creep = (CREEP_A_DAY * durable.anchorAgeMs) / MS_A_DAY;
  return {
    value: atMark - durable.offset - (1 - share) * change,
    uncertainty:
      2 * Math.hypot(durable.offsetDeviation, creep, MISSING_DOUBT * missingShare * reading) + open * Math.abs(change),
  };
}

/** A hand test: evidence about the probe's offset, or, where it cannot be, a reason to ask for another. */
export function withHandTest(
  durable: LedgerDurable,
  volatile: LedgerVolatile,
  measured: number,
  missingShare: number,
): LedgerDurable {
  const { belief, settled } = volatile.believed;
  const shown = salinityOfWater(durable, volatile.recent, belief, settled, missingShare);
  const reading = readingOf(volatile.recent);
  const probe = reading === null ? null : reading * (1 - missingShare);
  const salinity = measured * (1 - missingShare);
  const test: HandTest = { ageMs: 0, salinity, probe, movedBy: 0 };
  if (shown === null || probe === null) return { ...durable, tests: kept(durable.tests, test), contested: false };
  const deviation = shown.uncertainty / 2;
  const apart = Math.max(APART_LEAST, APART * Math.hypot(deviation, HAND_TEST_DEVIATION));
  const fits = Math.abs(salinity - shown.value) <= apart;
  const disputed = durable.contested ? durable.tests[durable.tests.length - 1] : undefined;
  if (fits) {
    // The one before was wrong: as if it had never been.
    const tests = disputed === undefined ? durable.tests : durable.tests.slice(0, -1);
    return anchored(
      { ...durable, tests: kept(tests, test), contested: false },
      probe,
      shown.value,
      deviation,
      salinity,
    );
  }
  const second = disputed !== undefined && Math.abs(salinity - disputed.salinity - disputed.movedBy) <= APART_LEAST;
  if (!second) {
    const tests = disputed === undefined ? durable.tests : durable.tests.slice(0, -1);
    return { ...durable, tests: kept(tests, test), contested: true };
  }
  // Two hand tests agree against the probe: they are believed, and the probe's past is worth nothing.
  const tests = kept(durable.tests, test);
  return anchored({ ...durable, tests, contested: false }, probe, salinity, HAND_TEST_DEVIATION, salinity);
}

function anchored(
  durable: LedgerDurable,
  probe: number,
  shown: number,
  deviation: number,
  byHand: number,
): LedgerDurable {
  const before = deviation ** 2;
  const weight = before / (before + HAND_TEST_DEVIATION ** 2);
  const truth = shown + weight * (byHand - shown);
  return {
    ...durable,
    offset: probe - truth,
    offsetDeviation: Math.sqrt(before * (1 - weight)),
    anchor: probe,
    anchorAgeMs: 0,
    anchorMovedBy: 0,
  };
}

/** The probe is not the one it was: nothing that it said before can be compared. */
export const unanchored = (durable: LedgerDurable, deviation: number): LedgerDurable => ({
  ...durable,
  offset: 0,
  offsetDeviation: deviation,
  anchor: null,
  anchorAgeMs: 0,
  anchorMovedBy: 0,
  lastReading: null,
  contested: false,
  tests: durable.tests.map((test) => ({ ...test, probe: null })),
});

/** Water was changed: probe and water moved together, and that is no drift. */
export const movedBy = (durable: LedgerDurable, step: number): LedgerDurable => ({
  ...durable,
  anchorMovedBy: durable.anchorMovedBy + step,
  tests: durable.tests.map((test) => ({ ...test, movedBy: test.movedBy + step })),
});

export const olderTests = (durable: LedgerDurable, ms: number): LedgerDurable => ({
  ...durable,
  anchorAgeMs: Math.min(MOST_AGE_MS, durable.anchorAgeMs + ms),
  lastReadingAgeMs: Math.min(MOST_AGE_MS, durable.lastReadingAgeMs + ms),
  tests: durable.tests.map((test) => ({ ...test, ageMs: Math.min(MOST_AGE_MS, test.ageMs + ms) })),
});

/** What was measured by hand, as far as it still speaks about these days. */
export const evidenceOf = (durable: LedgerDurable): Evidence => ({
  tests: testsOf(durable),
  reservoirIsFresh: reservoirIsFresh(durable),
});

/** None while the last of them is disputed. */
function testsOf({ tests, contested }: LedgerDurable): readonly HandEvidence[] {
  if (contested || (tests[tests.length - 1]?.ageMs ?? TEST_COUNTS_MS) >= TEST_COUNTS_MS) return [];
  return tests.flatMap(({ salinity, probe, movedBy: moved, ageMs }) =>
    probe === null || ageMs > TEST_REMEMBERED_MS ? [] : [{ byHand: salinity + moved, byProbe: probe + moved }],
  );
}

const kept = (tests: readonly HandTest[], test: HandTest): readonly HandTest[] => [
  ...tests.slice(1 - TESTS_KEPT),
  test,
];

export const meanOf = (values: readonly number[]): number =>
  values.reduce((sum, value) => sum + value, 0) / values.length;
