import type { LedgerGap, LedgerStatus } from "../../../shared/contract/ledger.ts";
import type { FanSeen } from "../fan.ts";
import type { Believed } from "./belief.ts";

/** One hour of what was seen. All figures are differences to the same beginning, so that they can be compared. */
export interface Hour {
  /** End of the hour, counted from the beginning of the ledger. */
  readonly endMs: number;
  /** Mean salinity with the water at its mark; null = fewer than ten readings in the hour. */
  readonly salinity: number | null;
  /** Litres poured, at the proven flow, up to the last time the water rose to its mark, and when that was. */
  readonly pouredL: number;
  readonly fullAtMs: number;
  /** The same moment in the time of evaporation. */
  readonly fullAtDryingMs: number;
  /** What the fan did all this hour; unknown too where it did both. */
  readonly fan: FanSeen;
  /** Heat that left the water in this hour; null = hands, gaps, no temperature. */
  readonly lossW: number | null;
  /** Mean kelvin above the room; null = no room thermometer. */
  readonly aboveRoomK: number | null;
  readonly meanC: number | null;
}

/** The hour that is under way. */
export interface OpenHour {
  readonly ms: number;
  readonly salinitySum: number;
  readonly readings: number;
  /** Put into the water by heaters. */
  readonly heaterJ: number;
  readonly firstC: number | null;
  readonly lastC: number | null;
  readonly sumC: number;
  readonly temperatures: number;
  readonly aboveRoomSumK: number;
  readonly roomReadings: number;
  readonly watched: boolean;
  /** Null = nobody has looked yet. */
  readonly fan: FanSeen | null;
}

/** A hand test, with what the probe said then and how far both have really been moved since by water changes. */
export interface HandTest {
  readonly ageMs: number;
  readonly salinity: number;
  /** Null = there was no trustworthy probe, or it was exchanged or calibrated since. */
  readonly probe: number | null;
  readonly movedBy: number;
}

export interface LearnedEvaporation {
  readonly evaporationLPerDay: number;
  /** Share of it by which it may be wrong, one standard deviation. */
  readonly evaporationDoubt: number;
  /** What evaporation was learned beside: another commissioned figure begins anew. */
  readonly commissionedLPerDay: number;
}

/** What is worth keeping over a restart: slow to learn, and no worse for an hour in the dark. Evaporation is the one
 *  without a fan. */
export interface LedgerDurable extends LearnedEvaporation {
  /** With the fan on. Each is learned from days that were all of its own kind, so that neither teaches the other. */
  readonly withFan: LearnedEvaporation;
  /** Litres per fill at the proven flow when the pump was last proven, and how many fills made it. */
  readonly fillL: number;
  readonly fillsLearned: number;
  readonly provenFlowLPerMin: number;
  readonly tests: readonly HandTest[];
  /** The last hand test disagrees with everything else and waits for another. */
  readonly contested: boolean;
  /** Measured in the reservoir as it is filled now; null = not measured. And the litres poured in all by then. */
  readonly reservoirSalinity: number | null;
  readonly reservoirTestedAtL: number;
  /** How far the probe is off: reading − truth, and the deviation of that, when it was last known. */
  readonly offset: number;
  readonly offsetDeviation: number;
  /** Probe reading then; null = not read since. What has changed since may be the water or the probe. */
  readonly anchor: number | null;
  readonly anchorAgeMs: number;
  /** Of the change since, how much was water for sure: water changes. */
  readonly anchorMovedBy: number;
  /** The mean of the last ten minutes, and how long ago: a probe exchanged while nobody looked says something else. */
  readonly lastReading: number | null;
  readonly lastReadingAgeMs: number;
  readonly calibrationDays: number;
  readonly lossWPerK: number;
  readonly lossDays: number;
  /** Slope of the water while the heater is on and off [K/h], and spells seen of each. */
  readonly risingKPerH: number;
  readonly risingSpells: number;
  readonly fallingKPerH: number;
  readonly fallingSpells: number;
}

/** Windows start empty with the process. */
export interface LedgerVolatile {
  readonly runMs: number;
  /** The time of evaporation: as long as it takes the same litres to go without a fan. Without one it is `runMs`. */
  readonly dryingMs: number;
  readonly hours: readonly Hour[];
  readonly open: OpenHour;
  readonly hands: Hands;
  readonly fills: Fills;
  /** The last readings of salinity, one a minute, newest last. */
  readonly recent: readonly number[];
  readonly spell: Spell | null;
  readonly sinceLearnedMs: number;
  /** Why the hours before do not count. */
  readonly gap: LedgerGap;
  readonly believed: Believed;
  readonly status: LedgerStatus;
}

/** Hands in the tank change water without a word about litres: what came before is moved to fit what comes after. */
export interface Hands {
  readonly wereIn: boolean;
  /** Time until the water is mixed and quiet again. */
  readonly stirredMs: number;
  /** The last salinity before; null = nothing to compare. */
  readonly salinityBefore: number | null;
  /** The first fill after hands makes good for whatever litres they moved. */
  readonly litresOpen: boolean;
}

export interface Fills {
  readonly lastTotalL: number | null;
  /** Poured since the water last rose to its mark. */
  readonly pendingL: number;
  /** Low since then: water that waits for a pour falls below the lower mark, and its fill is no ordinary one. */
  readonly lowMs: number;
  /** Series of litres at the moments of full water, and when the last was; null = not full since the start. */
  readonly pouredL: number;
  readonly fullAtMs: number | null;
  readonly fullAtDryingMs: number;
  /** Litres of the last fills, newest last. */
  readonly recentL: readonly number[];
}

/** The heater on, or off, without a break. */
export interface Spell {
  /** Watts of the heaters that are on. */
  readonly heaterW: number;
  readonly ms: number;
  readonly firstC: number;
}

export const EMPTY_HOUR: OpenHour = {
  ms: 0,
  salinitySum: 0,
  readings: 0,
  heaterJ: 0,
  firstC: null,
  lastC: null,
  sumC: 0,
  temperatures: 0,
  aboveRoomSumK: 0,
  roomReadings: 0,
  watched: true,
  fan: null,
};
