import type * as z from "zod";
import type { LedgerGap } from "../../../shared/contract/ledger.ts";
import { MIXED_AFTER_MS } from "../../../shared/settings/limits.ts";
import type { Settings } from "../../../shared/settings/schema.ts";
import { lossOf, withEvaporation, withLoss, withSpell } from "../learned.ts";
import { believe, LONGEST_H, NOTHING_BELIEVED } from "./belief.ts";
import { dryingSpeed, evaporationOf, withFanHour } from "./drying.ts";
import { evaporatedL, type Filled, firstFill, followFills, heldFills, missingShare } from "./fills.ts";
import {
  EMPTY_HOUR,
  type Hour,
  type LedgerDurable,
  type LedgerVolatile,
  type OpenHour,
  storedLedgerMemory,
} from "./memory.ts";
import { NEVER_MEASURED, withReservoir } from "./reservoir.ts";
import { evidenceOf, movedBy, olderTests, readingOf, unanchored, withHandTest, withReading } from "./salt.ts";
import type { LedgerSeen } from "./seen.ts";
import { expectedOf, isPumpWeak, NOTHING_KNOWN, statusOf } from "./status.ts";
import { lastReadOf, stepOf } from "./step.ts";
import { fanOver, litresPerDay } from "./window.ts";

export type { LedgerDurable, LedgerVolatile } from "./memory.ts";
export { NEVER_MEASURED, reservoirAnswer } from "./reservoir.ts";
export { LEDGER_EVERY_MS, type LedgerScene, type LedgerSeen, lookAt } from "./seen.ts";

const HOUR_MS = 3_600_000;
const DAY_MS = 86_400_000;
const READINGS_AN_HOUR_LEAST = 10;
const UNCALIBRATED_DEVIATION = 0.5;

interface Ledger {
  readonly durable: LedgerDurable;
  readonly volatile: LedgerVolatile;
}

/** Learned at commissioning (`evaporationDoubt` of a measured week) or never yet (a broad one). */
export const freshLedger = ({ topOff, tank }: Settings, evaporationDoubt: number): LedgerDurable => ({
  ...evaporationOf(topOff.evaporationLPerDay, evaporationDoubt),
  withFan: evaporationOf(fanLPerDay(topOff), evaporationDoubt),
  fillL: tank.floatHysteresisMm * tank.lastChamberM2,
  fillsLearned: 0,
  provenFlowLPerMin: topOff.provenFlowLPerMin,
  tests: [],
  contested: false,
  ...NEVER_MEASURED,
  offset: 0,
  offsetDeviation: UNCALIBRATED_DEVIATION,
  anchor: null,
  anchorAgeMs: 0,
  anchorMovedBy: 0,
  lastReading: null,
  lastReadingAgeMs: 0,
  calibrationDays: 0,
  lossWPerK: 0,
  lossDays: 0,
  risingKPerH: 0,
  risingSpells: 0,
  fallingKPerH: 0,
  fallingSpells: 0,
});

/** No decision hangs on what the ledger has learned: spoilt, it learns anew, and nothing is locked. */
export const storedLedger = (settings: Settings): z.ZodType<LedgerDurable> =>
  storedLedgerMemory.catch(freshLedger(settings, EVAPORATION_UNKNOWN));

/** A box without a fan has the figure as well, and never uses it. */
const fanLPerDay = (topOff: Settings["topOff"]): number => (topOff.fan ?? topOff).evaporationLPerDay;

export const EVAPORATION_MEASURED = 0.12;
export const EVAPORATION_UNKNOWN = 0.25;

export const freshLedgerVolatile = (): LedgerVolatile => ({
  runMs: 0,
  dryingMs: 0,
  hours: [],
  open: EMPTY_HOUR,
  hands: { wereIn: false, stirredMs: 0, salinityBefore: null, litresOpen: false },
  fills: firstFill(),
  recent: [],
  spell: null,
  sinceLearnedMs: 0,
  gap: "starting",
  believed: NOTHING_BELIEVED,
  status: NOTHING_KNOWN,
});

/** One look. Bad things first: whatever breaks the thread empties the windows and says so. */
export function followLedger(before: Ledger, seen: LedgerSeen, settings: Settings): Ledger {
  let ledger = broken(recommissioned(before, settings), seen);
  ledger = followHands(ledger, seen);
  ledger = followWater(ledger, seen, settings);
  ledger = followHeater(ledger, seen, settings);
  ledger = followHour(ledger, seen, settings);
  ledger = { ...ledger, durable: withReservoir(ledger.durable, seen, settings.topOff.reservoirL) };
  if (seen.handTest !== null) {
    ledger = {
      ...ledger,
      durable: withHandTest(
        ledger.durable,
        ledger.volatile,
        seen.handTest,
        missingShare(ledger.volatile, ledger.durable, settings),
      ),
    };
  }
  return concluded(ledger, before, seen, settings);
}

/** Another commissioned evaporation, or another proven flow, is another box to learn. */
function recommissioned(ledger: Ledger, settings: Settings): Ledger {
  const { evaporationLPerDay, provenFlowLPerMin } = settings.topOff;
  const { durable, volatile } = refanned(ledger, fanLPerDay(settings.topOff));
  const same = durable.commissionedLPerDay === evaporationLPerDay && durable.provenFlowLPerMin === provenFlowLPerMin;
  if (same) return { durable, volatile };
  const { fillL, fillsLearned } = freshLedger(settings, EVAPORATION_UNKNOWN);
  return {
    durable: {
      ...durable,
      ...evaporationOf(evaporationLPerDay, EVAPORATION_MEASURED),
      provenFlowLPerMin,
      fillL,
      fillsLearned,
    },
    volatile,
  };
}

const refanned = ({ durable, volatile }: Ledger, commissionedLPerDay: number): Ledger =>
  durable.withFan.commissionedLPerDay === commissionedLPerDay
    ? { durable, volatile }
    : { durable: { ...durable, withFan: evaporationOf(commissionedLPerDay, EVAPORATION_MEASURED) }, volatile };

/** A start, a gap, a calibration, a probe that jumped. */
function broken({ durable, volatile }: Ledger, seen: LedgerSeen): Ledger {
  let now = olderTests(durable, seen.elapsedMs);
  if (seen.start !== null) {
    const { offMs } = seen.start;
    if (offMs === null)
      return {
        durable: unanchored(now, UNCALIBRATED_DEVIATION),
        volatile: anew(volatile, "restarted-after-unknown-time"),
      };
    now = olderTests(now, offMs);
  }
  const calibrated = seen.calibrationDays < now.calibrationDays - 0.5;
  if (now.calibrationDays !== seen.calibrationDays) now = { ...now, calibrationDays: seen.calibrationDays };
  if (calibrated) return { durable: unanchored(now, deviationOf(seen)), volatile: anew(volatile, "calibrated") };
  if (seen.gap) return { durable: now, volatile: anew(volatile, "gap") };
  return { durable: now, volatile };
}

const deviationOf = ({ salinity }: LedgerSeen): number =>
  salinity.uncertainty === null ? UNCALIBRATED_DEVIATION : salinity.uncertainty / 2;

const anew = (volatile: LedgerVolatile, gap: LedgerGap): LedgerVolatile => ({
  ...freshLedgerVolatile(),
  status: volatile.status,
  gap,
});

function followHands({ durable, volatile }: Ledger, seen: LedgerSeen): Ledger {
  const { hands, hours } = volatile;
  if (seen.hands) {
    if (hands.wereIn) return { durable, volatile };
    const last = hours.findLast((hour) => hour.salinity !== null);
    const open = hands.stirredMs > 0 || hands.salinityBefore !== null;
    const salinityBefore = open ? hands.salinityBefore : (last?.salinity ?? null);
    const next = { wereIn: true, stirredMs: MIXED_AFTER_MS, salinityBefore, litresOpen: true };
    // A told water change is no step of the probe.
    const told = { ...durable, lastReading: null };
    return { durable: told, volatile: { ...volatile, hands: next, recent: [], spell: null } };
  }
  if (!hands.wereIn && hands.stirredMs === 0) return { durable, volatile };
  const stirredMs = hands.wereIn ? MIXED_AFTER_MS : Math.max(0, hands.stirredMs - seen.elapsedMs);
  return { durable, volatile: { ...volatile, hands: { ...hands, wereIn: false, stirredMs } } };
}

function followWater({ durable, volatile: before }: Ledger, seen: LedgerSeen, settings: Settings): Ledger {
  const dryingMs = before.dryingMs + seen.elapsedMs * dryingSpeed(durable, seen.fan);
  const volatile = { ...before, runMs: before.runMs + seen.elapsedMs, dryingMs };
  const still = seen.judged && !seen.hands && volatile.hands.stirredMs === 0;
  const filled: Filled =
    seen.judged && !seen.hands ? followFills(volatile, durable, seen, settings) : heldFills(volatile, durable, seen);
  const value =
    still && seen.salinity.quality !== "bad" && seen.salinity.doubt !== "bubbles" ? seen.salinity.value : null;
  const recent = withReading(volatile.recent, value);
  const pouredL = seen.pouredTotalL - (volatile.fills.lastTotalL ?? seen.pouredTotalL);
  const { perLitre } = expectedOf(durable, settings);
  const next = { ...volatile, recent, fills: filled.fills, hands: filled.hands };
  const step = stepOf(recent, volatile.recent, filled.durable, perLitre * pouredL);
  if (step !== null) {
    // The probe or the water: until a hand test has spoken, the doubt covers what either would mean.
    const deviation = Math.hypot(deviationOf(seen), step / 2);
    return { durable: unanchored(filled.durable, deviation), volatile: anew(next, "probe-stepped") };
  }
  const reading = readingOf(recent);
  const anchor = filled.durable.anchor ?? reading;
  const read = lastReadOf(recent, filled.durable);
  const known = anchor === read.anchor ? read : { ...read, anchor };
  return { durable: known, volatile: { ...next, open: withSalinity(volatile.open, value) } };
}

const withSalinity = (open: OpenHour, value: number | null): OpenHour =>
  value === null ? open : { ...open, salinitySum: open.salinitySum + value, readings: open.readings + 1 };

function followHeater({ durable, volatile }: Ledger, seen: LedgerSeen, settings: Settings): Ledger {
  const { spell, open } = volatile;
  const { temperatureC, heaterW, elapsedMs } = seen;
  if (temperatureC === null || seen.hands || !seen.judged) {
    return { durable, volatile: { ...volatile, spell: null, open: { ...open, watched: false } } };
  }
  const above = seen.roomC === null ? null : temperatureC - seen.roomC;
  const next: OpenHour = {
    ...open,
    heaterJ: open.heaterJ + (heaterW * elapsedMs) / 1000,
    firstC: open.firstC ?? temperatureC,
    lastC: temperatureC,
    sumC: open.sumC + temperatureC,
    temperatures: open.temperatures + 1,
    aboveRoomSumK: open.aboveRoomSumK + (above ?? 0),
    roomReadings: open.roomReadings + (above === null ? 0 : 1),
  };
  if (spell === null) {
    // The first spell began at a time that nobody saw.
    return {
      durable,
      volatile: { ...volatile, open: next, spell: { heaterW, ms: -HOUR_MS * 1e3, firstC: temperatureC } },
    };
  }
  if (spell.heaterW === heaterW) {
    return { durable, volatile: { ...volatile, open: next, spell: { ...spell, ms: spell.ms + elapsedMs } } };
  }
  const begun = { heaterW, ms: 0, firstC: temperatureC };
  return {
    durable: withSpell(durable, spell, temperatureC, settings),
    volatile: { ...volatile, open: next, spell: begun },
  };
}

/** The hour is full: it joins the others, and what hands have moved is made good. */
function followHour({ durable, volatile }: Ledger, seen: LedgerSeen, settings: Settings): Ledger {
  const open = withFanHour({ ...volatile.open, ms: volatile.open.ms + seen.elapsedMs }, seen.fan);
  if (open.ms < HOUR_MS) return { durable, volatile: { ...volatile, open } };
  const { fills, hands } = volatile;
  // Water that never came back to its mark: what went in since is a lower bound, and where it is already too much it
  // says so. Less than expected says nothing: something may stand in the way of a pour.
  if (fills.fullAtMs === null) return { durable, volatile: { ...volatile, open: EMPTY_HOUR } };
  const missing = missingShare(volatile, durable, settings);
  const hour: Hour = {
    endMs: volatile.runMs,
    salinity: open.readings < READINGS_AN_HOUR_LEAST ? null : (open.salinitySum / open.readings) * (1 - missing),
    ...atMark(volatile, durable),
    fan: open.fan ?? "unknown",
    lossW: lossOf(open, settings),
    aboveRoomK: open.roomReadings === 0 ? null : open.aboveRoomSumK / open.roomReadings,
    meanC: open.temperatures === 0 ? null : open.sumC / open.temperatures,
  };
  const step = hands.salinityBefore === null || hour.salinity === null ? null : hour.salinity - hands.salinityBefore;
  const compared = step === null ? volatile.hours : volatile.hours.map((each) => shifted(each, step));
  const hours = [...compared.slice(1 - LONGEST_H), hour];
  const sinceLearnedMs = volatile.sinceLearnedMs + open.ms;
  const next: LedgerVolatile = {
    ...volatile,
    hours,
    open: EMPTY_HOUR,
    sinceLearnedMs,
    hands: step === null ? hands : { ...hands, salinityBefore: null },
  };
  return learned({ durable: step === null ? durable : movedBy(durable, step), volatile: next }, seen, settings);
}

const shifted = (hour: Hour, step: number): Hour =>
  hour.salinity === null ? hour : { ...hour, salinity: hour.salinity + step };

type AtMark = Pick<Hour, "pouredL" | "fullAtMs" | "fullAtDryingMs">;

function atMark({ fills, runMs, dryingMs }: LedgerVolatile, durable: LedgerDurable): AtMark {
  const { pouredL, pendingL, fullAtMs, fullAtDryingMs } = fills;
  const now = { pouredL: pouredL + pendingL, fullAtMs: runMs, fullAtDryingMs: dryingMs };
  if (fullAtMs === null) return { ...now, pouredL };
  const low = pendingL > evaporatedL(durable, dryingMs - fullAtDryingMs) + durable.fillL;
  return low ? now : { pouredL, fullAtMs, fullAtDryingMs };
}

/** Once a day, if the day was quiet: what evaporates, and what warmth costs. A day on which a fan blew and stood still, or
 *  on which nobody knows what it did, teaches nothing about either. */
function learned({ durable, volatile }: Ledger, seen: LedgerSeen, settings: Settings): Ledger {
  if (volatile.sinceLearnedMs < DAY_MS) return { durable, volatile };
  const next = { ...volatile, sinceLearnedMs: 0 };
  const warm = withLoss(durable, volatile.hours);
  const { belief } = volatile.status;
  const explained =
    belief === "evaporation-only" || (belief === "more-evaporation-or-weaker-pump" && !isPumpWeak(durable, volatile));
  const day = litresPerDay(volatile.hours, expectedOf(durable, settings));
  const fan = fanOver(volatile.hours);
  if (!explained || seen.frozen || seen.hands || day === null || fan === "unknown") {
    return { durable: warm, volatile: next };
  }
  if (fan === "off") return { durable: withEvaporation(warm, day.value), volatile: next };
  return { durable: { ...warm, withFan: withEvaporation(warm.withFan, day.value) }, volatile: next };
}

/** The stories are told anew once an hour and after a hand test; what is shown of them moves every minute. */
function concluded({ durable, volatile }: Ledger, before: Ledger, seen: LedgerSeen, settings: Settings): Ledger {
  const nothingSaid = seen.handTest === null && durable.reservoirSalinity === before.durable.reservoirSalinity;
  const unchanged = volatile.hours === before.volatile.hours && nothingSaid && volatile.runMs > seen.elapsedMs;
  const believed = unchanged
    ? volatile.believed
    : believe(volatile.hours, expectedOf(durable, settings), evidenceOf(durable), durable.contested, volatile.gap);
  return {
    durable,
    volatile: { ...volatile, believed, status: statusOf(believed, durable, volatile, seen, settings) },
  };
}
