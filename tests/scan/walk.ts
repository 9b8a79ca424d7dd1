import fc from "fast-check";
import type { StoredMemory } from "../../controller/scan/memory.ts";
import type { Request } from "../../shared/contract/index.ts";
import { CONTACT_PARTS } from "../../shared/contract/index.ts";
import { rehearsalSettings, type Settings } from "../../shared/settings/index.ts";
import { Box, HEALTHY, type Sight } from "./box.ts";

/**
 * Random walks of the whole scan. Waits are a hundredth and budgets small, so that a few hundred scans come through
 * every state; nothing else differs from a box above water.
 */
const usual = rehearsalSettings();
export const SMALL: Settings = {
  ...usual,
  bench: { waitsDividedBy: 100, shorterWaitsAccepted: null },
  topOff: { ...usual.topOff, provenFlowLPerMin: 3, dailyBudgetL: 0.9, allowedDilution: 0.25 },
};

export interface Event {
  readonly sight: Sight;
  /** Thermometers step as water never does; else they come there in small steps, as nothing holds against them. */
  readonly jumps: boolean;
  readonly elapsedMs: number;
  readonly scans: number;
  readonly asked: DistributedOmit<Request, "id"> | null;
  readonly killed: {
    readonly found: "sound" | "missing" | "older";
    readonly offMs: number | null;
    readonly ago: number;
  } | null;
}

type DistributedOmit<Whole, Key extends PropertyKey> = Whole extends unknown ? Omit<Whole, Key> : never;

const FINE: Sight = { ...HEALTHY, "working-float": "dry" };
const celsius = fc.oneof(fc.constantFrom(24, 24.6, 25, 25.4, 28.4, 29), fc.double({ min: 18, max: 31, noNaN: true }));
const bad = fc.constantFrom("nothing", "old", "garbled", "open-circuit", "not-yet") as fc.Arbitrary<"nothing">;

const contactSight = fc
  .record({ part: fc.constantFrom(...CONTACT_PARTS), says: fc.oneof(fc.constantFrom("wet", "dry"), bad) })
  .map(({ part, says }) => ({ [part]: says }) as Sight);

const thermometerSight = fc
  .record({ part: fc.constantFrom("thermometer-1", "thermometer-2"), says: fc.oneof(celsius, bad) })
  .map(({ part, says }) => ({ [part]: says }) as Sight);

const probeSight = fc.record({
  conductivity: fc.oneof(fc.constantFrom(53.065, 50, 58), bad, fc.constant(Number.NaN)),
  probeTemperature: fc.oneof(celsius, fc.constant(null)),
});

const sightArbitrary: fc.Arbitrary<Sight> = fc.oneof(
  { weight: 12, arbitrary: fc.constant(FINE) },
  { weight: 2, arbitrary: fc.constant({ "working-float": "wet" } as Sight) },
  { weight: 3, arbitrary: celsius.map((water) => ({ ...FINE, "thermometer-1": water, "thermometer-2": water })) },
  // Cold, and nobody doubts it.
  {
    weight: 2,
    arbitrary: fc.constant<Sight>({ ...FINE, "thermometer-1": 22.6, "thermometer-2": 22.6, probeTemperature: 22.6 }),
  },
  // The third vote against a hot one, and a lost one beside a hot third.
  { weight: 1, arbitrary: fc.constant<Sight>({ "thermometer-1": 24, "thermometer-2": 29, probeTemperature: 24 }) },
  { weight: 1, arbitrary: fc.constant<Sight>({ "thermometer-1": 24, "thermometer-2": 27, probeTemperature: 24 }) },
  // The two contradict each other, the colder one says danger, and the third says that it is too warm for heat.
  { weight: 1, arbitrary: fc.constant<Sight>({ "thermometer-1": 25, "thermometer-2": 18, probeTemperature: 27.6 }) },
  { weight: 4, arbitrary: contactSight },
  { weight: 3, arbitrary: thermometerSight },
  { weight: 2, arbitrary: probeSight },
  { weight: 1, arbitrary: fc.constantFrom<Sight>({ board: "silent" }, { board: "restarted" }) },
  { weight: 1, arbitrary: fc.constantFrom<Sight>({ disk: "slow" }, { disk: "failed" }) },
  { weight: 1, arbitrary: fc.constantFrom<Sight>({ pumpPowered: true }, { heaterPowered: true }) },
  { weight: 2, arbitrary: fc.constant({}) },
);

export const askedArbitrary: fc.Arbitrary<DistributedOmit<Request, "id">> = fc.oneof(
  fc.record({
    kind: fc.constant("clear" as const),
    machine: fc.constantFrom("top-off" as const, "heat" as const),
    occurrence: fc.integer({ min: 0, max: 4 }),
    at: fc.constantFrom("tank" as const, "network" as const),
  }),
  fc.record({
    kind: fc.constant("hold" as const),
    minutes: fc.constantFrom(0, 1, 30, 500, Number.NaN),
    at: fc.constantFrom("tank" as const, "network" as const),
  }),
  fc.record({
    kind: fc.constant("end-hold" as const),
    answer: fc.constantFrom(null, "evaporation" as const, "salt-water-added" as const),
    at: fc.constantFrom("tank" as const, "network" as const),
  }),
  fc.record({
    kind: fc.constant("hand-test" as const),
    salinity: fc.constantFrom(35, 34.95, 33, 90),
    at: fc.constant("network" as const),
  }),
  fc.record({
    kind: fc.constant("refill" as const),
    litres: fc.constantFrom(5, -1),
    at: fc.constant("network" as const),
  }),
  fc.record({
    kind: fc.constant("acknowledge" as const),
    alarm: fc.constantFrom("all", "nonsense"),
    at: fc.constant("network" as const),
  }),
);

const eventArbitrary: fc.Arbitrary<Event> = fc.record({
  sight: sightArbitrary,
  jumps: fc.oneof({ weight: 5, arbitrary: fc.constant(false) }, { weight: 1, arbitrary: fc.constant(true) }),
  elapsedMs: fc.oneof(
    { weight: 12, arbitrary: fc.constant(250) },
    { weight: 4, arbitrary: fc.constant(500) },
    { weight: 1, arbitrary: fc.constantFrom(0, 5_000, 70_000) },
  ),
  scans: fc.oneof({ weight: 1, arbitrary: fc.constant(1) }, { weight: 3, arbitrary: fc.integer({ min: 2, max: 30 }) }),
  asked: fc.oneof({ weight: 6, arbitrary: fc.constant(null) }, { weight: 1, arbitrary: askedArbitrary }),
  killed: fc.oneof(
    { weight: 24, arbitrary: fc.constant(null) },
    {
      weight: 1,
      arbitrary: fc.record({
        found: fc.constantFrom("sound" as const, "sound" as const, "missing" as const, "older" as const),
        offMs: fc.constantFrom(null, 0, 3_600_000),
        ago: fc.nat({ max: 20 }),
      }),
    },
  ),
});

/** The waits after a start are over: most walks begin here, and every kill begins them anew. */
const READY = new Box(SMALL, { ...FINE, "working-float": "wet" }).afterSeconds(10);

export const walkArbitrary = fc.array(eventArbitrary, { minLength: 10, maxLength: 50 });

/** Nothing but pours, and kills in the middle of them. */
export const killingWalkArbitrary = fc.array(
  fc.record({
    sight: fc.constant(FINE),
    jumps: fc.constant(false),
    elapsedMs: fc.constantFrom(250, 500, 5_000),
    scans: fc.integer({ min: 20, max: 60 }),
    asked: fc.constant(null),
    killed: fc.constantFrom(null, { found: "sound" as const, offMs: 0, ago: 0 }),
  }),
  { minLength: 5, maxLength: 40 },
);

/** How often something interesting was met, so that a property that never sees it is known to be empty. */
export interface Met {
  scans: number;
  pouring: number;
  heating: number;
  latched: number;
  cautious: number;
  kills: number;
}

export const noneMet = (): Met => ({ scans: 0, pouring: 0, heating: 0, latched: 0, cautious: 0, kills: 0 });

export interface Walker {
  readonly scanned: (box: Box) => void;
  readonly killed?: (box: Box, found: "sound" | "missing" | "older") => void;
}

const STEP_K = 0.9;
const CELSIUS = ["thermometer-1", "thermometer-2", "probeTemperature"] as const;

/** A step of the thermometers on their way to what is to be seen. */
function approach(now: Sight, goal: Sight): Sight {
  const step = { ...goal };
  for (const part of CELSIUS) {
    const [from, to] = [now[part], goal[part]];
    if (typeof from !== "number" || typeof to !== "number") continue;
    step[part] = from + Math.max(-STEP_K, Math.min(STEP_K, to - from));
  }
  return step;
}

export function walk(events: readonly Event[], met: Met, walker: Walker, from: Box = READY): void {
  const box = from.twin();
  const written: StoredMemory[] = [box.onDisk];
  for (const { sight, jumps, elapsedMs, scans, asked, killed } of events) {
    if (killed !== null) {
      met.kills += 1;
      walker.killed?.(box, killed.found);
      box.isKilled(killed.offMs, killed.found, written.at(-1 - killed.ago) ?? written[0]);
    }
    box.sees(jumps ? sight : approach(box.sight, sight));
    if (asked !== null) box.willAsk(asked);
    // The first scan of an event may be late; the ones after it are in time.
    for (let scan = 0; scan < scans; scan++) {
      box.scan(scan === 0 ? elapsedMs : 250);
      if (!jumps) box.sees(approach(box.sight, sight));
      met.scans += 1;
      if (box.pumpOn) met.pouring += 1;
      if (box.heaterOn) met.heating += 1;
      if (box.latch !== null) met.latched += 1;
      if (box.heat.state === "cautious" && box.heaterOn) met.cautious += 1;
      if (box.onDisk !== written.at(-1)) written.push(box.onDisk);
      walker.scanned(box);
    }
  }
}
