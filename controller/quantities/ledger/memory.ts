import * as z from "zod";
import type { LedgerGap, LedgerStatus } from "../../../shared/contract/ledger.ts";
import type { FanSeen } from "../fan.ts";
import type { Believed } from "./believed.ts";

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

/** Far outside anything that water, a probe or a box can come to: what lies beyond was never written by this program. */
const salinity = z.number().min(0).max(100);
const difference = z.number().min(-100).max(100);
const litresPerDay = z.number().min(0).max(1_000);
const ageMs = z
  .number()
  .min(0)
  .max(10 * 365 * 86_400_000);
const count = z.int().min(0);

/** A hand test, with what the probe said then and how far both have really been moved since by water changes. */
const storedHandTest = z
  .object({
    ageMs,
    salinity,
    /** Null = there was no trustworthy probe, or it was exchanged or calibrated since. */
    probe: salinity.nullable(),
    movedBy: difference,
  })
  .readonly();
export type HandTest = z.infer<typeof storedHandTest>;

const learnedEvaporation = {
  evaporationLPerDay: litresPerDay,
  /** Share of it by which it may be wrong, one standard deviation. */
  evaporationDoubt: z.number().min(0).max(10),
  /** What evaporation was learned beside: another commissioned figure begins anew. */
  commissionedLPerDay: litresPerDay,
};
const storedEvaporation = z.object(learnedEvaporation).readonly();
export type LearnedEvaporation = z.infer<typeof storedEvaporation>;

/** What is worth keeping over a restart: slow to learn, and no worse for an hour in the dark. Evaporation is the one
 *  without a fan. */
export const storedLedgerMemory = z
  .object({
    ...learnedEvaporation,
    /** With the fan on. Each is learned from days that were all of its own kind, so that neither teaches the other. */
    withFan: storedEvaporation,
    /** Litres per fill at the proven flow when the pump was last proven, and how many fills made it. */
    fillL: z.number().min(0).max(1_000),
    fillsLearned: count,
    provenFlowLPerMin: z.number().min(0).max(1_000),
    tests: z.array(storedHandTest).readonly(),
    /** The last hand test disagrees with everything else and waits for another. */
    contested: z.boolean(),
    /** Measured in the reservoir as it is filled now; null = not measured. And the litres poured in all by then. */
    reservoirSalinity: salinity.nullable(),
    reservoirTestedAtL: z.number().min(0).max(1e6),
    /** How far the probe is off: reading − truth, and the deviation of that, when it was last known. */
    offset: difference,
    offsetDeviation: z.number().min(0).max(100),
    /** Probe reading then; null = not read since. What has changed since may be the water or the probe. */
    anchor: salinity.nullable(),
    anchorAgeMs: ageMs,
    /** Of the change since, how much was water for sure: water changes. */
    anchorMovedBy: difference,
    /** The mean of the last ten minutes, and how long ago: a probe exchanged while nobody looked says something else. */
    lastReading: salinity.nullable(),
    lastReadingAgeMs: ageMs,
    calibrationDays: z.number().min(0).max(1e5),
    lossWPerK: z.number().min(-1e6).max(1e6),
    lossDays: count,
    /** Slope of the water while the heater is on and off [K/h], and spells seen of each. */
    risingKPerH: difference,
    risingSpells: count,
    fallingKPerH: difference,
    fallingSpells: count,
  })
  .readonly();
export type LedgerDurable = z.infer<typeof storedLedgerMemory>;

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
