import { describe, expect, test } from "vitest";
import {
  FRESH_HEAT_DURABLE,
  FRESH_HEAT_VOLATILE,
  type HeatDurable,
  type HeatVolatile,
} from "../../controller/decisions/heat/memory.ts";
import { planTurns } from "../../controller/decisions/heat/plan.ts";
import {
  FIRST_TURN,
  followTurns,
  hasTurn,
  type OtherHeater,
  offForMs,
  otherThan,
  type TurnsMemory,
} from "../../controller/decisions/heat/turns.ts";
import { rehearsalSettings } from "../../shared/settings/index.ts";
import { AMOUNT_MOST_MS } from "../../shared/settings/limits.ts";

/** Two heaters in one tank: who leads, who helps, and how far apart they start. Band 24.85–25.15 °C, low limit 23 °C. */
const PLAN = planTurns(rehearsalSettings());
const JOINS_MS = 4_200_000;
const APART_MS = 10_000;

describe("who leads", () => {
  const FIRST = { leads: "heater-1", wantedMs: 0 } as const;
  const HEATS = { leads: "heater-1", wantedMs: 60_000 } as const;
  const SECOND = { leads: "heater-2", wantedMs: 60_000 } as const;
  const rows: [story: string, before: TurnsMemory, waterC: number | null, after: TurnsMemory][] = [
    ["cold water begins the leader's turn", FIRST, 24.84, { leads: "heater-1", wantedMs: 500 }],
    ["at the foot of the band nothing is wanted yet", FIRST, 24.85, FIRST],
    ["inside the band what was begun goes on", HEATS, 25, { leads: "heater-1", wantedMs: 60_500 }],
    ["up to its top", HEATS, 25.15, { leads: "heater-1", wantedMs: 60_500 }],
    ["above it the turn is over, and the next one is the other's", HEATS, 25.16, { leads: "heater-2", wantedMs: 0 }],
    ["and after that the first one's again", SECOND, 25.16, { leads: "heater-1", wantedMs: 0 }],
    ["warm water that wanted nothing takes no turn away", FIRST, 25.16, FIRST],
    ["a temperature that nobody knows changes nothing", HEATS, null, HEATS],
  ];
  test.each(rows)("%s: %j at %s °C becomes %j", (_, before, waterC, after) => {
    expect(followTurns(before, waterC, 500, PLAN)).toEqual(after);
  });
  test("start: the first leads, nothing wanted", () => {
    expect(FIRST_TURN).toEqual(FIRST);
  });
  test("24 °C in a scan without credit: wanted for 1 ms, so that the turn has begun", () => {
    expect(followTurns(FIRST, 24, 0, PLAN).wantedMs).toBe(1);
  });
  test("24 °C for the longest that is counted: not counted further", () => {
    expect(followTurns({ ...HEATS, wantedMs: AMOUNT_MOST_MS }, 24, 500, PLAN).wantedMs).toBe(AMOUNT_MOST_MS);
  });
  test("26 °C, nothing begun: the very same memory", () => {
    expect(followTurns(FIRST, 26, 500, PLAN)).toBe(FIRST);
  });
  test("other than the first: the second, and the reverse", () => {
    expect([otherThan("heater-1"), otherThan("heater-2")]).toEqual(["heater-2", "heater-1"]);
  });
});

/** Off since long, in order, and not in anybody's way. */
const RESTED: OtherHeater = {
  durable: FRESH_HEAT_DURABLE,
  volatile: { ...FRESH_HEAT_VOLATILE, inStateMs: 3_600_000 },
  proven: true,
};
const otherWith = (durable: Partial<HeatDurable>, volatile: Partial<HeatVolatile> = {}): OtherHeater => ({
  durable: { ...RESTED.durable, ...durable },
  volatile: { ...RESTED.volatile, ...volatile },
  proven: true,
});
const onFor = (inStateMs: number) => otherWith({}, { on: true, inStateMs });

describe("who may begin to heat", () => {
  const LEADS = { leads: "heater-1", wantedMs: 500 } as const;
  const may = (heater: "heater-1" | "heater-2", waterC: number | null, other = RESTED, wantedMs = 500) =>
    hasTurn(heater, { ...LEADS, wantedMs }, other, waterC, PLAN);
  test("24.8 °C: the leader, not the other", () => {
    expect([may("heater-1", 24.8), may("heater-2", 24.8)]).toEqual([true, false]);
    expect(hasTurn("heater-2", { leads: "heater-2", wantedMs: 500 }, RESTED, 24.8, PLAN)).toBe(true);
    expect(hasTurn("heater-1", { leads: "heater-2", wantedMs: 500 }, RESTED, 24.8, PLAN)).toBe(false);
  });
  test("leader on for an hour and ten minutes: the other too; wanted 1 ms less: not", () => {
    const long = onFor(JOINS_MS);
    expect(may("heater-2", 24.8, long, JOINS_MS - 1)).toBe(false);
    expect(may("heater-2", 24.8, long, JOINS_MS)).toBe(true);
  });
  test("below 23 °C: the other at once; at 23 or unknown: not", () => {
    expect(may("heater-2", 22.99)).toBe(true);
    expect(may("heater-2", 23)).toBe(false);
    expect(may("heater-2", null)).toBe(false);
  });
  const alone: [story: string, other: OtherHeater][] = [
    ["that was never seen to work", { ...RESTED, proven: false }],
    ["that is locked", otherWith({ latch: { reason: "heater-welded", occurrence: 1 } })],
    ["that was found to have no effect", otherWith({ noEffect: true })],
  ];
  test.each(alone)("the other at once beside a leader %s", (_, other) => {
    expect(may("heater-2", 24.8, other)).toBe(true);
  });
  test("22 °C, the other on for 9.999 s: not; for 10 s: may; gone off just now: may", () => {
    expect(may("heater-1", 22, onFor(APART_MS - 1))).toBe(false);
    expect(may("heater-1", 22, onFor(APART_MS))).toBe(true);
    // One that has just gone off starts nothing.
    expect(may("heater-1", 22, otherWith({}, { inStateMs: 0 }))).toBe(true);
  });
});

describe("for how long the other heater has moved no water", () => {
  const rows: [story: string, other: OtherHeater, ms: number][] = [
    ["as long as it is off", RESTED, 3_600_000],
    ["not while it is on, however long", onFor(3_600_000), 0],
    ["not while its own guard is open to find out", otherWith({}, { guardOpenMs: 1 }), 0],
  ];
  test.each(rows)("%s: $2 ms", (_, other, ms) => {
    expect(offForMs(other)).toBe(ms);
  });
});
