import { evaporationLPerHM2 } from "../../controller/rehearsal/plant/evaporation.ts";
import type { Belief } from "../../shared/contract/ledger.ts";

/** Seeded fortnights on the simulated tank, as a keeper lives them, with one thing that goes wrong or none. */

export const FORTNIGHT_KINDS = ["quiet", "drift", "leak", "clog", "salty-reservoir", "worn-pump"] as const;
export type FortnightKind = (typeof FORTNIGHT_KINDS)[number];

export interface Fortnight {
  readonly kind: FortnightKind;
  readonly seed: number;
  readonly scenario: object;
  /** Null = nothing goes wrong. */
  readonly onsetH: number | null;
  /** A water change, or none. */
  readonly changeH: number | null;
  readonly right: Belief;
  /** Hours between which that belief is owed; what is sudden is over after a while, what lasts is owed to the end. */
  readonly owed: readonly [fromH: number, untilH: number];
  /** When the keeper measures the salinity by hand, besides when an alarm asks for it. */
  readonly testsH: readonly number[];
}

export const FORTNIGHT_H = 336;
/** Between onset and the first hour at which a belief is owed. */
const LASTING_H = 48;
const SUDDEN_H = 14;
const SUDDEN_OVER_H = 34;
const REFILL_EVERY_H = 72;
const WEEK_H = 168;
const WATER_C = 25.2;
/** The plant's own stirring of the air, and the surface of the default tank. */
const STIRRED = 1.2;
const SURFACE_M2 = 0.35;

const RIGHT: Readonly<Record<FortnightKind, Belief>> = {
  quiet: "evaporation-only",
  drift: "probe-drift-or-slow-salt-loss",
  leak: "fresh-water-or-salt-leaving",
  clog: "fresh-water-or-salt-leaving",
  "salty-reservoir": "reservoir-not-fresh",
  "worn-pump": "more-evaporation-or-weaker-pump",
};

export function fortnightOf(seed: number): Fortnight {
  const kind = FORTNIGHT_KINDS[seed % FORTNIGHT_KINDS.length]!;
  const random = uniform(seed);
  const between = (low: number, high: number) => low + (high - low) * random();
  const room = { temperatureC: between(20.5, 23.5), swingC: between(0.5, 2.5), humidityPct: between(42, 58) };
  const litres = evaporationOf(room.temperatureC, room.humidityPct);
  // Measured by the keeper in the first weeks, as well as one can.
  const evaporationLPerDay = round(litres * between(0.92, 1.08));
  const onsetH = kind === "quiet" ? null : round(between(48, 144));
  const testsH = hoursFrom(between(2, 12), WEEK_H);
  const refills = hoursFrom(between(20, 60), REFILL_EVERY_H);
  const hands: object[] = [...refills.map((atH) => ({ do: "refill", atH }))];
  const changeH = random() < 0.35 ? round(between(30, 300)) : null;
  if (changeH !== null) {
    hands.push({ do: "water-change", atH: changeH, litres: 14, salinity: round(between(34.6, 35.4)) });
  }
  const faults = onsetH === null ? [] : faultsOf(kind, onsetH, refills, between);
  const sudden = kind === "clog";
  return {
    kind,
    seed,
    scenario: {
      name: `${kind} fortnight ${seed}`,
      hours: FORTNIGHT_H,
      settings: { topOff: { evaporationLPerDay } },
      room,
      faults,
      hands,
    },
    onsetH,
    changeH,
    testsH,
    right: RIGHT[kind],
    owed:
      onsetH === null
        ? [24, FORTNIGHT_H]
        : sudden
          ? [onsetH + SUDDEN_H, onsetH + SUDDEN_OVER_H]
          : [onsetH + LASTING_H, FORTNIGHT_H],
  };
}

function faultsOf(
  kind: FortnightKind,
  atH: number,
  refills: readonly number[],
  between: (low: number, high: number) => number,
): object[] {
  switch (kind) {
    case "quiet":
      return [];
    case "drift":
      return [{ atH, kind: "conductivity-fouling", value: round(between(0.3, 1) * (between(0, 1) < 0.75 ? -1 : 1)) }];
    case "leak":
      return [{ atH, kind: "tank-leak", value: round(between(0.02, 0.06)) }];
    case "clog":
      return [{ atH, kind: "chamber-clogged", value: round(between(0.55, 0.75)) }];
    case "salty-reservoir": {
      // Filled from the wrong can, and from the same can again at every refill.
      const value = round(between(15, 35));
      const again = refills
        .filter((hour) => hour > atH)
        .map((hour) => ({ atH: hour + 0.01, kind: "reservoir-salty", value }));
      return [{ atH, kind: "reservoir-salty", value }, ...again];
    }
    case "worn-pump":
      return [{ atH, kind: "pump-worn", value: round(between(0.3, 0.7)) }];
  }
}

const evaporationOf = (celsius: number, humidityPct: number): number =>
  evaporationLPerHM2(WATER_C, 35, { celsius, humidity: humidityPct / 100 }) * STIRRED * SURFACE_M2 * 24;

function hoursFrom(firstH: number, everyH: number): number[] {
  const hours: number[] = [];
  for (let atH = round(firstH); atH < FORTNIGHT_H; atH += everyH) hours.push(atH);
  return hours;
}

const round = (value: number): number => Math.round(value * 1000) / 1000;

/** Mulberry: a small generator of 32 bits, so that a fortnight needs nothing but its seed. */
export function uniform(seed: number): () => number {
  let state = (seed * 0x9e3779b9) >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 15), 1 | state);
    mixed = (mixed + Math.imul(mixed ^ (mixed >>> 7), 61 | mixed)) ^ mixed;
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 2 ** 32;
  };
}
