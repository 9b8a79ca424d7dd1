import { evaporationBand, metresPerSecond } from "../../../shared/chemistry/index.ts";
import type { Doubtful, Forecast, LedgerClasses, LedgerStatus } from "../../../shared/contract/ledger.ts";
import type { Settings } from "../../../shared/settings/schema.ts";
import { celsius, fraction, practicalSalinityValue, squareMetres } from "../../../shared/units/index.ts";
import { daysLeft, untilBandIsLeft } from "../forecast.ts";
import { learnedHeat } from "../learned.ts";
import type { Believed } from "./believed.ts";
import { dryingSpeed, evaporationNow } from "./drying.ts";
import { litreShareOf, missingShare, pumpStrength, weakShare } from "./fills.ts";
import type { Hour, LedgerDurable, LedgerVolatile } from "./memory.ts";
import { risenOverPours } from "./rising.ts";
import { salinityOfWater } from "./salt.ts";
import type { LedgerSeen } from "./seen.ts";
import { dayRanAt, type Expected, litresPerDay } from "./window.ts";

/** What is shown of the ledger: made from its memory, never fed back into it. */

/** Days are not alike: tomorrow's litres against today's, one standard deviation. */
const TOMORROW = 0.1;
const RESERVOIR_DOUBT_L = 0.2;
const RESERVOIR_DOUBT_SHARE = 0.06;
const WEAKENING_DOUBT = 0.3;
const CLASS_SHARE = 0.25;
const DOUBT_TO_TELL = 0.2;
const SURE = 0.8;
const HOURS_A_DAY = 24;
/** Away from its mark for longer, nobody knows any more what is missing. */
const MARK_REMEMBERED_MS = 86_400_000;
const AIR_SPEED = metresPerSecond(0.1);
/** A room is seldom drier or damper (*common practice*). */
const HUMIDITY = [fraction(0.3), fraction(0.7)] as const;

export const NOTHING_KNOWN: LedgerStatus = {
  belief: "unknown",
  sureness: 0,
  because: "starting",
  settled: null,
  salinityAtFull: null,
  litresPerDay: null,
  excessLPerDay: null,
  salinityPerDay: null,
  risenOverPours: null,
  evaporationLPerDay: null,
  airLPerDay: null,
  pumpStrength: null,
  heat: { lossW: null, lossByHourW: [], lossWPerK: null, heaterW: null },
  forecasts: { salinityHours: null, temperatureHours: null, reservoirDays: null },
  classes: { evaporation: "unknown", unexplained: "unknown" },
};

export const expectedOf = (durable: LedgerDurable, settings: Settings): Expected => ({
  evaporationLPerDay: durable.evaporationLPerDay,
  evaporationDoubt:
    settings.topOff.fan === null
      ? durable.evaporationDoubt
      : Math.max(durable.evaporationDoubt, durable.withFan.evaporationDoubt),
  fanLPerDay: settings.topOff.fan === null ? 0 : durable.withFan.evaporationLPerDay - durable.evaporationLPerDay,
  perLitre: settings.targets.salinity / settings.tank.netVolumeL,
  fillL: durable.fillL,
  litreShare: litreShareOf(durable, settings),
});

export function isPumpWeak(durable: LedgerDurable, { fills }: LedgerVolatile): boolean {
  const strength = pumpStrength(fills, durable);
  return strength !== null && strength.value + strength.uncertainty < 1;
}

export function statusOf(
  believed: Believed,
  durable: LedgerDurable,
  volatile: LedgerVolatile,
  seen: LedgerSeen,
  settings: Settings,
): LedgerStatus {
  const { belief, sureness, because, settled, window } = believed;
  const { hours } = volatile;
  const away = volatile.runMs - (volatile.fills.fullAtMs ?? volatile.runMs);
  const missing = missingShare(volatile, durable, settings);
  const salinity =
    away > MARK_REMEMBERED_MS ? null : salinityOfWater(durable, volatile.recent, belief, settled, missing);
  const perDay =
    window === null || window.salinity === null ? null : rateOf(window.salinity, window.salinityDeviation, window.days);
  const strength = pumpStrength(volatile.fills, durable);
  const expected = expectedOf(durable, settings);
  const evaporation = evaporationNow(durable, seen.fan);
  const said = litresPerDay(hours, expected);
  const litres = said === null ? null : trueLitres(said, strength);
  return {
    belief,
    sureness,
    because,
    settled,
    salinityAtFull: salinity,
    litresPerDay: litres,
    excessLPerDay: window === null ? null : rateOf(window.litres, window.litresDeviation, window.days),
    salinityPerDay: perDay,
    risenOverPours: risenOverPours(hours),
    evaporationLPerDay: {
      value: evaporation.evaporationLPerDay,
      uncertainty:
        Math.hypot(2 * evaporation.evaporationDoubt, expected.litreShare.uncertainty) * evaporation.evaporationLPerDay,
    },
    airLPerDay: airBand(seen, settings),
    pumpStrength: strength,
    heat: learnedHeat(durable, hours, settings),
    forecasts: {
      salinityHours: salinityForecast(believed, salinity, perDay, settings),
      temperatureHours: temperatureForecast(hours, seen, settings),
      reservoirDays: reservoirForecast(seen, fromNowOn(litres, durable, volatile, seen), expected, settings),
    },
    classes: classesOf(believed, durable),
  };
}

/** The litres of the last day as they are with the fan as it is now; that it may be again as it was stays in the doubt. */
function fromNowOn(
  litres: Doubtful | null,
  durable: LedgerDurable,
  { hours }: LedgerVolatile,
  { fan }: LedgerSeen,
): Doubtful | null {
  const change = dryingSpeed(durable, fan) / dayRanAt(hours);
  if (litres === null || change === 1) return litres;
  const value = litres.value * change;
  return { value, uncertainty: Math.hypot(litres.uncertainty * change, value - litres.value) };
}

const rateOf = (change: number, deviation: number, days: number): Doubtful => ({
  value: change / days,
  uncertainty: (2 * deviation) / days,
});

/** How weak it is comes from the last fills, and the litres from a day: while it weakens, neither fits the other. */
function trueLitres(said: Doubtful, strength: Doubtful | null): Doubtful {
  const share = weakShare(strength);
  const value = said.value * share;
  return { value, uncertainty: said.uncertainty * share + WEAKENING_DOUBT * (1 - share) * said.value };
}

/** Of the days without a fan alone: no reading of a temperature chooses what the water is told. */
function classesOf({ belief, sureness }: Believed, durable: LedgerDurable): LedgerClasses {
  const share = durable.evaporationLPerDay / durable.commissionedLPerDay;
  const known = durable.evaporationDoubt <= DOUBT_TO_TELL;
  const evaporation = share < 1 - CLASS_SHARE ? "below" : share > 1 + CLASS_SHARE ? "above" : "expected";
  const sure = sureness >= SURE;
  const above = belief === "fresh-water-or-salt-leaving";
  return {
    evaporation: known ? evaporation : "unknown",
    unexplained: !sure ? "unknown" : above ? "above" : belief === "evaporation-only" ? "expected" : "unknown",
  };
}

/** Of air that nobody blows at. */
function airBand(seen: LedgerSeen, { tank, targets }: Settings): readonly [number, number] | null {
  const { temperatureC, roomC, fan } = seen;
  if (temperatureC === null || roomC === null || fan !== "off") return null;
  const open = (humidity: (typeof HUMIDITY)[number]) =>
    evaporationBand({
      surface: squareMetres(tank.surfaceM2),
      waterC: celsius(temperatureC),
      SP: practicalSalinityValue(targets.salinity),
      airC: celsius(roomC),
      humidity,
      airSpeed: AIR_SPEED,
    });
  const dry = open(HUMIDITY[0]);
  const damp = open(HUMIDITY[1]);
  return dry === null || damp === null ? null : [Math.max(0, damp.lowest), dry.highest];
}

/** The water's own trend: what is believed to be the probe's is not the water's. */
function salinityForecast(
  { belief, settled }: Believed,
  salinity: Doubtful | null,
  perDay: Doubtful | null,
  { targets, alarms }: Settings,
): Forecast | null {
  if (salinity === null || perDay === null || belief === "unknown" || settled === "probe-drift") return null;
  if (belief === "evaporation-only" || belief === "more-evaporation-or-weaker-pump") return null;
  const band = [targets.salinity - alarms.salinityWithin, targets.salinity + alarms.salinityWithin] as const;
  // Undecided between probe and water, it may also stand still.
  const undecided = belief === "probe-drift-or-slow-salt-loss" && settled === null;
  const rate = undecided ? { ...perDay, uncertainty: Math.max(perDay.uncertainty, Math.abs(perDay.value)) } : perDay;
  return inHours(untilBandIsLeft(salinity, rate, band));
}

const HOURS_OF_TREND = 4;
const TREND_LEAST_K_PER_H = 0.1;
const TREND_DOUBT_SHARE = 0.3;
const TREND_DOUBT_K_PER_H = 0.04;
const TEMPERATURE_DOUBT_K = 0.2;

/** From the means of whole hours, so that the heater's own rhythm is no trend. */
function temperatureForecast(
  hours: readonly Hour[],
  { temperatureC }: LedgerSeen,
  { alarms }: Settings,
): Forecast | null {
  const first = hours[hours.length - HOURS_OF_TREND]?.meanC ?? null;
  const last = hours[hours.length - 1]?.meanC ?? null;
  if (first === null || last === null || temperatureC === null) return null;
  const value = (last - first) / (HOURS_OF_TREND - 1);
  if (Math.abs(value) < TREND_LEAST_K_PER_H) return null;
  const rate = { value, uncertainty: TREND_DOUBT_K_PER_H + TREND_DOUBT_SHARE * Math.abs(value) };
  return untilBandIsLeft({ value: temperatureC, uncertainty: TEMPERATURE_DOUBT_K }, rate, alarms.temperatureBandC);
}

/** What the reservoir has given since it was full is known only as the pump says it; so is what is left. */
function reservoirForecast(
  { reservoirL }: LedgerSeen,
  perDay: Doubtful | null,
  { litreShare }: Expected,
  { topOff }: Settings,
): Forecast | null {
  if (reservoirL === null || perDay === null) return null;
  const givenL = Math.max(0, topOff.reservoirL - reservoirL);
  const litres = {
    value: reservoirL + (1 - litreShare.value) * givenL,
    uncertainty: RESERVOIR_DOUBT_L + RESERVOIR_DOUBT_SHARE * reservoirL + litreShare.uncertainty * givenL,
  };
  return daysLeft(litres, { ...perDay, uncertainty: Math.hypot(perDay.uncertainty, 2 * TOMORROW * perDay.value) });
}

const inHours = (days: Forecast | null): Forecast | null =>
  days === null
    ? null
    : {
        expected: days.expected * HOURS_A_DAY,
        earliest: days.earliest * HOURS_A_DAY,
        latest: days.latest === null ? null : days.latest * HOURS_A_DAY,
      };
