/** What the ledger of water and salt says: one belief, how sure, and what would settle it. */

/** Made once a minute; the scans between show the same. */
export interface LedgerStatus {
  readonly belief: Belief;
  /** 0–1: the share of all stories that this one has, by what was seen. 0 while nothing is believed. */
  readonly sureness: number;
  /** Why nothing is believed; null = something is. */
  readonly because: LedgerGap | null;
  /** Of `probe-drift-or-slow-salt-loss`: what hand tests have said since; null = not told apart. */
  readonly settled: "probe-drift" | "salt-loss" | null;
  /** Practical salinity with the water at its mark, of the water and not of the probe. */
  readonly salinityAtFull: Doubtful | null;
  /** Litres of fresh water that went in per day, as far as hours are known. */
  readonly litresPerDay: Doubtful | null;
  /** Litres per day beyond the evaporation that is expected; below zero = less. */
  readonly excessLPerDay: Doubtful | null;
  /** Change of the shown salinity at full mark, per day. */
  readonly salinityPerDay: Doubtful | null;
  /** How far salinity at full mark has risen over the last litre poured; null = not known. */
  readonly risenOverPours: number | null;
  /** Learned, within half and one and a half times the commissioned litres; null only before the first look. */
  readonly evaporationLPerDay: Doubtful | null;
  /** Litres per day that the formulas give for the room's air at 30 to 70 % humidity; null = no room thermometer. */
  readonly airLPerDay: readonly [number, number] | null;
  /** Flow of the top-off pump against what it had when learned, from the pump seconds between float events. */
  readonly pumpStrength: Doubtful | null;
  readonly heat: LearnedHeat;
  readonly forecasts: Forecasts;
  /** What the decisions are told: nothing finer than this enters them. */
  readonly classes: LedgerClasses;
}

export interface Doubtful {
  readonly value: number;
  /** Half-width at k = 2. */
  readonly uncertainty: number;
}

export type LedgerClass = "unknown" | "below" | "expected" | "above";

export interface LedgerClasses {
  /** Learned evaporation against the commissioned. */
  readonly evaporation: LedgerClass;
  /** Fresh water that nothing evaporated: `above` only when it is believed. */
  readonly unexplained: LedgerClass;
}

export interface LearnedHeat {
  /** Heat that leaves the water, lamp already taken off, mean of the last day. */
  readonly lossW: Doubtful | null;
  /** The same, hour by hour, newest last: 24 of them, null where an hour was not watched. */
  readonly lossByHourW: readonly (number | null)[];
  /** Per kelvin above the room; null without a room thermometer. */
  readonly lossWPerK: Doubtful | null;
  /** Power of the heater as the water shows it; null = not enough spells seen. */
  readonly heaterW: Doubtful | null;
}

/** A forecast and the earliest and latest that its doubt allows (19 times in 20). `latest` null = perhaps never. */
export interface Forecast {
  readonly expected: number;
  readonly earliest: number;
  readonly latest: number | null;
}

export interface Forecasts {
  /** Hours until salinity leaves its band at the present trend; null = it does not trend, or nothing is known. */
  readonly salinityHours: Forecast | null;
  readonly temperatureHours: Forecast | null;
  readonly reservoirDays: Forecast | null;
}

/** What each belief says to a keeper, and the check that would settle it. */
export const BELIEFS = {
  "evaporation-only": {
    says: "Fresh water goes in as it evaporates, and the salt stays.",
    check: "Nothing to check.",
  },
  "more-evaporation-or-weaker-pump": {
    says: "More water is pumped than expected, and the salinity stays: it evaporates faster, or the pump gives less than when it was proven.",
    check: "Run the top-off pump into a measuring jug for 10 s and compare with its proven flow.",
  },
  "fresh-water-or-salt-leaving": {
    says: "Fresh water goes in that nothing evaporated, and the salinity falls: salt water leaves, or the tank holds more than it should.",
    check:
      "Look for wet places, an overflowing skimmer cup, a clogged chamber or grid, and a tube that runs while the pump is off. Then measure the salinity by hand.",
  },
  "probe-drift-or-slow-salt-loss": {
    says: "The shown salinity moves without any water to explain it: the probe drifts, or salt is slowly lost.",
    check:
      "Measure the salinity by hand. If it has stayed, clean and calibrate the probe; if it fell, look for salt creep and skimmed water.",
  },
  "reservoir-not-fresh": {
    says: "The salinity rises with the water that is poured: the reservoir holds salt, or the probe reads high.",
    check: "Measure the water in the reservoir and the water in the tank by hand, and enter both.",
  },
  unknown: {
    says: "The ledger cannot tell yet.",
    check: "Measure the salinity by hand once a week; it helps the ledger most.",
  },
} as const;

export type Belief = keyof typeof BELIEFS;

/** Why the ledger believes nothing. */
export const LEDGER_GAPS = {
  starting: "It has watched for less than half a day since it began anew.",
  gap: "Nobody watched for more than a minute, so the hours before no longer count.",
  "restarted-after-unknown-time": "The controller was off for an unknown time; the hours before no longer count.",
  "no-salinity": "There is no trustworthy salinity.",
  "probe-stepped":
    "The salinity jumped faster than pouring can change it: a probe exchanged or moved, or a water change that nobody told.",
  calibrated: "The probe was calibrated; what it said before no longer compares.",
  "hand-test-contradicts":
    "The last hand test and everything else disagree by more than both doubts. Repeat the hand test; the next one decides.",
  "not-at-mark": "The water has not stood at its mark for long, so nothing can be balanced.",
  "no-story-fits": "What was seen fits several stories about equally.",
} as const;

export type LedgerGap = keyof typeof LEDGER_GAPS;
