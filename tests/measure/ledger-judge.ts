import type { TankState } from "../../controller/rehearsal/plant/tank-state.ts";
import { salinityOf } from "../../controller/rehearsal/plant/water.ts";
import type { Doubtful, Forecast, LedgerStatus, ScanRecord } from "../../shared/contract/index.ts";
import { FORTNIGHT_H, type Fortnight, type FortnightKind, fortnightOf } from "./ledger-fortnights.ts";
import { liveFortnight } from "./ledger-life.ts";

/** Holds what the ledger said, hour by hour, against what was true. It shares nothing with the ledger. */

/** How often it was so, of how many times. */
export type Share = readonly [times: number, of: number];

export interface Judged {
  readonly kind: FortnightKind;
  readonly seed: number;
  readonly handTests: number;
  /** Hours in which the right belief was owed and held. */
  readonly right: Share;
  /** Of those, *unknown* while no water had come back to its mark for a day: balance cannot tell. */
  readonly cannotTell: number;
  /** The ± that was shown covered the truth. */
  readonly salinity: Share;
  readonly litres: Share;
  readonly evaporation: Share;
  readonly heatLoss: Share;
  /** Earliest and latest of forecasts held what came, as long as things went on as they were. */
  readonly reservoir: Share;
  readonly salinityBand: Share;
}

interface Hour {
  readonly hour: number;
  readonly status: LedgerStatus;
  readonly locked: boolean;
  readonly sinceFullH: number;
  readonly truth: Truth;
}

interface Truth {
  readonly salinityAtFull: number;
  readonly evaporatedL: number;
  readonly pouredL: number;
  readonly reservoirL: number;
  readonly lostJ: number;
}

const DAY_H = 24;
const FORECAST_EVERY_H = 6;

export function judgeFortnight(seed: number): Judged {
  const fortnight = fortnightOf(seed);
  const hours: Hour[] = [];
  let fullVolumeL = 0;
  let fullAtH = 0;
  const life = liveFortnight(fortnight, (hour, record, tank) => {
    // A clogged grid makes the box hold more at the same mark.
    if (record.topOff.pouredSinceFullL === 0 && record.contacts["working-float"].position === "on") {
      fullAtH = hour;
      fullVolumeL = tank.water.volumeL;
    }
    hours.push({
      hour,
      status: record.ledger,
      locked: isLocked(record),
      sinceFullH: hour - fullAtH,
      truth: truthOf(tank, fullVolumeL),
    });
  });
  const { right, cannotTell } = beliefs(hours, fortnight);
  const { targets, alarms } = life.settings;
  const band = [targets.salinity - alarms.salinityWithin, targets.salinity + alarms.salinityWithin] as const;
  return {
    kind: fortnight.kind,
    seed,
    handTests: life.handTests,
    right,
    cannotTell,
    salinity: covered(
      hours,
      ({ salinityAtFull }) => salinityAtFull,
      (hour) => hour.truth.salinityAtFull,
    ),
    litres: covered(
      hours,
      ({ litresPerDay }) => litresPerDay,
      overADay(hours, (truth) => truth.pouredL),
    ),
    evaporation: covered(
      hours,
      (shown) => shown.evaporationLPerDay,
      overADay(hours, (truth) => truth.evaporatedL),
    ),
    heatLoss: covered(
      hours,
      ({ heat }) => heat.lossW,
      overADay(hours, (truth) => truth.lostJ / 86_400),
    ),
    reservoir: foretold(hours, fortnight, ({ forecasts }) => inHours(forecasts.reservoirDays), runsDry),
    salinityBand: foretold(hours, fortnight, ({ forecasts }) => forecasts.salinityHours, leavesBand(band)),
  };
}

const isLocked = ({ topOff }: ScanRecord): boolean => topOff.latch !== null;

/** Salinity with the missing water put back as fresh water; heat that left for the room and as vapour, less the lamp. */
const truthOf = ({ water, accounts, plumbing }: TankState, fullVolumeL: number): Truth => ({
  salinityAtFull: (salinityOf(water) * water.volumeL) / fullVolumeL,
  evaporatedL: accounts.evaporatedL,
  pouredL: accounts.pouredL,
  reservoirL: plumbing.reservoirL,
  lostJ: accounts.roomJ + accounts.latentJ - accounts.lampJ,
});

function beliefs(hours: readonly Hour[], { kind, right, owed }: Fortnight): Pick<Judged, "right" | "cannotTell"> {
  let held = 0;
  let of = 0;
  let cannotTell = 0;
  for (const { hour, status, sinceFullH } of hours) {
    if (hour < owed[0] || hour > owed[1]) continue;
    of += 1;
    const blind = status.belief === "unknown" && sinceFullH >= DAY_H;
    if (blind) cannotTell += 1;
    const wrongHalf = kind === "drift" && status.settled === "salt-loss";
    if (blind || (status.belief === right && !wrongHalf)) held += 1;
  }
  return { right: [held, of], cannotTell };
}

function covered(
  hours: readonly Hour[],
  shown: (status: LedgerStatus) => Doubtful | null,
  truth: (hour: Hour) => number | null,
): Share {
  let inside = 0;
  let of = 0;
  for (const hour of hours) {
    const doubtful = shown(hour.status);
    const true_ = truth(hour);
    if (doubtful === null || true_ === null) continue;
    of += 1;
    if (Math.abs(doubtful.value - true_) <= doubtful.uncertainty) inside += 1;
  }
  return [inside, of];
}

const overADay =
  (hours: readonly Hour[], amount: (truth: Truth) => number) =>
  ({ hour, truth }: Hour): number | null => {
    const before = hours[hour - 1 - DAY_H];
    return before === undefined ? null : amount(truth) - amount(before.truth);
  };

/** When it came, in hours from `from`; null = not within the fortnight. */
type Came = (hours: readonly Hour[], from: number) => number | null;

const runsDry: Came = (hours, from) => {
  const { pouredL, reservoirL } = hours[from]!.truth;
  const found = hours.findIndex(({ truth }, index) => index > from && truth.pouredL - pouredL >= reservoirL);
  return found < 0 ? null : found - from;
};

const leavesBand =
  ([low, high]: readonly [number, number]): Came =>
  (hours, from) => {
    const found = hours.findIndex(
      ({ truth }, index) => index >= from && (truth.salinityAtFull < low || truth.salinityAtFull > high),
    );
    return found < 0 ? null : found - from;
  };

/** A forecast is about things going on as they are: where something began, ended or stopped the water, it is no forecast. */
function foretold(
  hours: readonly Hour[],
  fortnight: Fortnight,
  forecast: (status: LedgerStatus) => Forecast | null,
  came: Came,
): Share {
  let held = 0;
  let of = 0;
  for (let from = 0; from < hours.length; from += FORECAST_EVERY_H) {
    const told = forecast(hours[from]!.status);
    if (told === null) continue;
    const after = came(hours, from);
    const until = after === null ? hours.length - 1 : from + after;
    if (!wentOn(hours, fortnight, from, until)) continue;
    const left = FORTNIGHT_H - hours[from]!.hour;
    const open = told.latest === null || told.latest > left;
    // Nothing came and nothing had to: neither right nor wrong.
    if (after === null && open) continue;
    of += 1;
    if (after !== null && after >= told.earliest && (told.latest === null || after <= told.latest)) held += 1;
  }
  return [held, of];
}

function wentOn(hours: readonly Hour[], { onsetH, changeH, owed }: Fortnight, from: number, until: number): boolean {
  const began = hours[from]!.hour;
  const ended = hours[until]!.hour;
  const within = (hour: number | null) => hour !== null && hour >= began - DAY_H && hour <= ended;
  if (within(onsetH) || within(changeH) || (owed[1] < FORTNIGHT_H && within(owed[0]))) return false;
  return hours.slice(from, until + 1).every(({ locked, sinceFullH }) => !locked && sinceFullH < DAY_H);
}

const inHours = (days: Forecast | null): Forecast | null =>
  days === null
    ? null
    : {
        expected: days.expected * DAY_H,
        earliest: days.earliest * DAY_H,
        latest: days.latest === null ? null : days.latest * DAY_H,
      };
