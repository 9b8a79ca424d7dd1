import { type HeatStatus, REASONS, type Reason, type ScanRecord } from "../../shared/contract/index.ts";
import type { Report, TripRow } from "./report.ts";
import { createSpans, type Span } from "./spans.ts";

/** Follows what opened an output, and what stays open until a person clears it. */
export interface TripWatch {
  see(record: ScanRecord, atH: number): void;
  trips(): TripRow[];
  lockouts(): Report["lockouts"][number][];
}

/** Waits and choices that forbid a pour or heat without anything being wrong. */
const NO_TRIP: ReadonlySet<Reason> = new Set([
  "starting",
  "top-off-starting",
  "pump-being-proven",
  "heat-starting",
  "hold",
  "hold-with-heat",
  "hold-question",
  "return-pump-settling",
  "not-proven",
  "waiting-for-disk",
]);

/** Reasons for which heat is off, or on a leash, because something is wrong. */
const HEAT_TRIPS: ReadonlySet<Reason> = new Set([
  "no-temperature",
  "heat-cut-out",
  "heater-no-effect",
  "heating-while-off",
  "heater-welded",
  "heater-seen-on",
  "one-contact-heating",
  "heater-uncovered",
  "no-flow",
  "board-silent",
]);

/** Ten minutes: longer than any pause of careful heating. */
const SAME_TRIP_H = 1 / 6;

interface Trip {
  readonly reason: Reason;
  readonly part: TripRow["part"];
  latched: boolean;
}

/** What was last locked, with its key: a lock stands for days of scans. */
interface Lock {
  readonly reason: Reason;
  readonly occurrence: number;
  readonly key: string;
}

export function watchTrips(): TripWatch {
  let nowH = 0;
  const trips = createSpans<Trip>(() => nowH, SAME_TRIP_H);
  const lockouts = createSpans<{ reason: Reason }>(() => nowH);
  const locks: Partial<Record<TripRow["part"], Lock>> = {};
  const see = (record: ScanRecord, atH: number) => {
    nowH = atH;
    const { topOff, heaters } = record;
    for (const reason of topOff.blockers) {
      if (!NO_TRIP.has(reason)) stands(trips, reason, "top-off-pump", topOff.latch?.reason === reason);
    }
    if (topOff.latch !== null) lock(topOff.latch.reason, topOff.latch.occurrence, "top-off-pump");
    for (const heater of heaters) seeHeater(heater);
    trips.close(atH);
    lockouts.close(atH);
  };
  const seeHeater = ({ heater, why, latch }: HeatStatus) => {
    if (HEAT_TRIPS.has(why)) stands(trips, why, heater, latch?.reason === why);
    if (latch !== null) lock(latch.reason, latch.occurrence, heater);
  };
  const lock = (reason: Reason, occurrence: number, part: TripRow["part"]) => {
    stands(trips, reason, part, true);
    const known = locks[part];
    const same = known?.reason === reason && known.occurrence === occurrence;
    const standing = same ? known : { reason, occurrence, key: `${part} ${occurrence} ${reason}` };
    locks[part] = standing;
    lockouts.stands(standing.key, () => ({ reason }));
  };
  return {
    see,
    trips: () => trips.all.map(({ reason, part, latched, ...span }) => ({ reason, part, latched, ...times(span) })),
    lockouts: () => lockouts.all.map(({ reason, ...span }) => ({ reason, ...times(span) })),
  };
}

const times = ({ atH, clearedAtH }: Span): Span => ({ atH, clearedAtH });

/** Made once: a year has ten million scans in which something stands. */
const keysOf = (part: TripRow["part"]): Record<Reason, string> =>
  Object.fromEntries(Object.keys(REASONS).map((reason) => [reason, `${part} ${reason}`])) as Record<Reason, string>;
const KEYS = {
  "top-off-pump": keysOf("top-off-pump"),
  "heater-1": keysOf("heater-1"),
  "heater-2": keysOf("heater-2"),
};

type TripSpans = ReturnType<typeof createSpans<Trip>>;

/** A trip that latches while it stands is one trip, not two. */
function stands(trips: TripSpans, reason: Reason, part: TripRow["part"], latched: boolean): void {
  const entry = trips.stands(KEYS[part][reason], () => ({ reason, part, latched }));
  entry.latched ||= latched;
}
