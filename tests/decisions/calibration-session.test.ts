import { describe, expect, test } from "vitest";
import {
  followSession,
  isDry,
  NO_READS,
  newSession,
  type SessionMemory,
  type SessionReads,
  sessionStatus,
  steadiness,
  steadyReads,
  watchedAnew,
} from "../../controller/decisions/calibration/session.ts";
import {
  CELL,
  followStill,
  isStill,
  meanOf,
  NOT_STILL,
  type Still,
  type StillKind,
  THERMOMETER,
  watchedMs,
} from "../../controller/decisions/calibration/still.ts";
import { SESSIONS, type Session } from "../../shared/contract/calibration.ts";
import { elapsed } from "../elapsed.ts";

/** Whether water and probe stand still enough to be calibrated by: what is watched, and for how long. */
const still = (value: number, newer = value): Still => ({
  means: [...Array(6).fill(value), ...Array(6).fill(newer)],
  mean: 0,
  forMs: 0,
});

describe("means of what one probe reads", () => {
  /** Twelve seconds in all are spans of one second. */
  const next = (memory: Still, value: number | null, creditMs = 500, kind: StillKind = THERMOMETER) =>
    followStill(memory, value, kind, 12_000, creditMs);

  test("readings of 500, 600 and 200 ms: averaged by the time that each stands for; 0 ms: counts nothing", () => {
    expect(next(NOT_STILL, 25)).toEqual({ means: [], mean: 25, forMs: 500 });
    const quarter = next({ means: [], mean: 25, forMs: 600 }, 25.2, 200);
    expect(quarter.forMs).toBe(800);
    expect(quarter.mean).toBeCloseTo(25.05, 9);
    expect(next(NOT_STILL, 25, 0)).toEqual({ means: [], mean: 25, forMs: 0 });
  });
  test("999 ms: span open; 1,000 ms: span kept, the newest twelve of them", () => {
    expect(next({ means: [24], mean: 24, forMs: 499 }, 24)).toEqual({ means: [24], mean: 24, forMs: 999 });
    expect(next({ means: [24], mean: 24, forMs: 500 }, 24)).toEqual({ means: [24, 24], mean: 0, forMs: 0 });
    const full = { means: Array.from({ length: 12 }, (_, index) => 24 + index / 1000), mean: 24, forMs: 500 };
    expect(next(full, 24).means).toEqual([...full.means.slice(1), 24]);
  });
  test("jump by 0.25 K: goes on; by 0.26 either way, or no value: begins anew", () => {
    const before = { means: [24], mean: 24, forMs: 100 };
    for (const value of [24.25, 23.75]) expect(next(before, value).means).toEqual([24]);
    for (const value of [24.26, 23.74]) expect(next(before, value)).toEqual({ means: [], mean: value, forMs: 500 });
    // Before a span is full, its own mean is what a reading jumps from.
    expect(next({ means: [], mean: 24, forMs: 100 }, 24.3)).toEqual({ means: [], mean: 24.3, forMs: 500 });
    expect(next(before, null)).toBe(NOT_STILL);
  });
  test("full spans: their mean; none yet: that of the open one; nothing read: null", () => {
    expect(meanOf({ means: [24, 26], mean: 99, forMs: 5 })).toBe(25);
    expect(meanOf({ means: [], mean: 24, forMs: 5 })).toBe(24);
    expect(meanOf(NOT_STILL)).toBeNull();
  });
  test("newer six spans 0.049 K from the older six: still; 0.051, or eleven spans only: not", () => {
    expect(isStill(still(24), THERMOMETER)).toBe(true);
    expect(isStill({ ...still(24), means: Array(11).fill(24) }, THERMOMETER)).toBe(false);
    expect([isStill(still(24, 24.049), THERMOMETER), isStill(still(24, 24.051), THERMOMETER)]).toEqual([true, false]);
    expect([isStill(still(24, 23.951), THERMOMETER), isStill(still(24, 23.949), THERMOMETER)]).toEqual([true, false]);
    // What moves by just as much as it may stands still.
    expect(isStill(still(24, 24.5), { within: () => 0.5, jump: () => 1 })).toBe(true);
  });
  test("cell of 50 mS/cm: still within 0.2 %, jump at 1.2 %; of 1 mS/cm: 0.01 and 0.05 mS/cm", () => {
    expect([isStill(still(50, 50.099), CELL), isStill(still(50, 50.101), CELL)]).toEqual([true, false]);
    expect([isStill(still(1, 1.009), CELL), isStill(still(1, 1.011), CELL)]).toEqual([true, false]);
    const jumps = (from: number, to: number) =>
      next({ means: [from], mean: 0, forMs: 0 }, to, 500, CELL).means.length === 0;
    expect([jumps(50, 50.59), jumps(50, 50.61)]).toEqual([false, true]);
    expect([jumps(1, 1.049), jumps(1, 1.051)]).toEqual([false, true]);
  });
  test("watched for full spans and the open one, at most as long as is needed", () => {
    expect(watchedMs({ means: [1, 2, 3], mean: 0, forMs: 400 }, 12_000)).toBe(3_400);
    expect(watchedMs({ ...still(1), forMs: 400 }, 12_000)).toBe(12_000);
  });
});

const READS: SessionReads = { cellMsPerCm: 53, cellC: 25, firstC: 24, secondC: 26 };
const session = (of: Session, change: Partial<SessionMemory> = {}): SessionMemory => ({
  ...newSession(of, "Kim", READS),
  ...change,
});
const STILL = { cell: still(53), cellC: still(25), first: still(24), second: still(26) };

describe("a session", () => {
  test("begun: nothing watched, not dry, none taken, an hour left", () => {
    expect(newSession("thermometers", null, NO_READS)).toEqual({
      session: "thermometers",
      by: null,
      leftMs: 3_600_000,
      cell: NOT_STILL,
      cellC: NOT_STILL,
      first: NOT_STILL,
      second: NOT_STILL,
      dry: false,
      taken: [],
      repeat: null,
      reads: { cellMsPerCm: null, cellC: null, firstC: null, secondC: null },
    });
  });
  test("1,000 ms left, scan of 1,000 ms without credit: over; 1,001: 1 ms left", () => {
    const follow = (leftMs: number) => followSession(session("thermometers", { leftMs }), READS, elapsed(1_000, 0));
    expect(follow(1_000)).toBeNull();
    expect(follow(1_001)).toMatchObject({ leftMs: 1 });
  });
  test("0.5 mS/cm and 0.3 K further on, credit of 500 ms: cell goes on, the thermometers begin anew", () => {
    const one = (value: number): Still => ({ means: [value], mean: 0, forMs: 0 });
    const before = session("conductivity", { cell: one(53), cellC: one(25), first: one(24), second: one(26) });
    // Half a millisiemens is noise of a cell; 0.3 K is another water.
    const reads = { cellMsPerCm: 53.5, cellC: 25.3, firstC: 24.3, secondC: 26.3 };
    expect(followSession(before, reads, elapsed(1_000, 500))).toMatchObject({
      leftMs: 3_599_000,
      cell: { means: [53], mean: 53.5, forMs: 500 },
      cellC: { means: [], mean: 25.3, forMs: 500 },
      first: { means: [], mean: 24.3, forMs: 500 },
      second: { means: [], mean: 26.3, forMs: 500 },
      reads,
    });
  });
  test.each([
    ["conductivity", 60_000],
    ["thermometer-1", 120_000],
    ["thermometer-2", 120_000],
    ["thermometers", 120_000],
  ] as const)("%s: steady over the newest %d ms", (of, neededMs) => {
    const part: Still = { means: [], mean: 24, forMs: neededMs / 12 - 500 };
    const before = session(of, { cell: part, cellC: part, first: part, second: part });
    const reads = { cellMsPerCm: 24, cellC: 24, firstC: 24, secondC: 24 };
    const full = { means: [24], mean: 0, forMs: 0 };
    expect(followSession(before, reads, elapsed(500))).toMatchObject({
      cell: full,
      cellC: full,
      first: full,
      second: full,
    });
    expect(followSession(before, reads, elapsed(500, 499))).toMatchObject({
      cell: { means: [] },
      second: { means: [] },
    });
    expect(steadiness(session(of, STILL))).toEqual({ forMs: neededMs, neededMs, steady: true });
  });
  test("watch: means of all probes begin anew; dry cell and repeat stay", () => {
    const before = session("conductivity", { ...STILL, dry: true, repeat: 1.08 });
    const anew = { cell: NOT_STILL, cellC: NOT_STILL, first: NOT_STILL, second: NOT_STILL };
    expect(watchedAnew(before)).toEqual({ ...before, ...anew });
  });
  test("means of four probes: read; nothing watched: null each", () => {
    expect(steadyReads(session("conductivity", STILL))).toEqual(READS);
    expect(steadyReads(session("conductivity"))).toEqual(NO_READS);
  });

  const needs: Record<Session, readonly (keyof typeof STILL)[]> = {
    conductivity: ["cell", "cellC"],
    "thermometer-1": ["first"],
    "thermometer-2": ["second"],
    thermometers: ["first", "second"],
  };
  test.each(SESSIONS)("%s: steady although other probes move, not while its own do", (of) => {
    for (const probe of ["cell", "cellC", "first", "second"] as const) {
      const moving = { ...STILL, [probe]: { ...STILL[probe], means: STILL[probe].means.slice(1) } };
      const needed = needs[of].includes(probe);
      const { steady, forMs, neededMs } = steadiness(session(of, moving));
      expect(steady).toBe(!needed);
      expect(forMs).toBe(needed ? (neededMs * 11) / 12 : neededMs);
    }
  });
  test("cell without a thermometer: steady by the cell alone; with one: moved by 0.06 K or 0.2 mS/cm: not steady", () => {
    const blind = { ...STILL, cellC: NOT_STILL, reads: { ...READS, cellC: null } };
    expect(steadiness(session("conductivity", blind)).steady).toBe(true);
    expect(steadiness(session("conductivity", { ...blind, cell: NOT_STILL }))).toMatchObject({
      steady: false,
      forMs: 0,
    });
    const drifting = { ...STILL, cell: still(53, 53.2), cellC: still(25, 25.06) };
    expect(steadiness(session("conductivity", { ...STILL, cellC: drifting.cellC })).steady).toBe(false);
    expect(steadiness(session("conductivity", { ...STILL, cell: drifting.cell })).steady).toBe(false);
    // What is much for a thermometer is little for a cell.
    expect(steadiness(session("conductivity", { ...STILL, cell: still(53, 53.1) })).steady).toBe(true);
  });
  test("0.3 mS/cm: dry; 0.31 or no value: not", () => {
    const dry = (cellMsPerCm: number | null) => isDry({ ...READS, cellMsPerCm });
    expect([dry(0.3), dry(0.31), dry(null)]).toEqual([true, false, false]);
  });
});

describe("what is shown of a session", () => {
  test.each([
    ["conductivity", 53, 25],
    ["thermometer-1", 24, null],
    ["thermometer-2", 26, null],
    ["thermometers", 24, 26],
  ] as const)("%s: reads %d, at %s °C, time watched and needed", (of, reads, temperatureC) => {
    const neededMs = of === "conductivity" ? 60_000 : 120_000;
    const { next: _, ...shown } = sessionStatus(session(of, { leftMs: 5_000, dry: true }));
    expect(shown).toEqual({
      session: of,
      by: "Kim",
      leftMs: 5_000,
      reads,
      temperatureC,
      watchedMs: 0,
      neededMs,
      steady: false,
      dry: true,
      taken: [],
    });
    expect(sessionStatus(session(of, STILL))).toMatchObject({ steady: true, watchedMs: neededMs });
  });

  const next = (of: Session, change: Partial<SessionMemory> = {}) => sessionStatus(session(of, change)).next;
  const HANG = "Rinse the cell with a little of the standard and hang it in the rest, without bubbles.";
  const AIR = { ...READS, cellMsPerCm: 0.02 };
  const taken = [
    { standard: "sea-water-35", lot: null, temperatureC: 25, expectedMsPerCm: 53, readMsPerCm: 53 } as const,
  ];
  const rows: [step: string, change: Partial<SessionMemory>, words: string][] = [
    [
      "first the dry cell",
      {},
      "Clean the cell, rinse it with pure water, let it hang in the air until it is dry, and say so.",
    ],
    ["dry, in the air", { dry: true, reads: AIR }, HANG],
    ["in the standard", { dry: true }, `${HANG} Wait until it stands still; then take the standard.`],
    ["still", { dry: true, ...STILL }, `${HANG} It stands still: take the standard.`],
    [
      "in the air again, to find the same",
      { dry: true, repeat: 1.08, reads: AIR },
      `Once more, with fresh standard. ${HANG}`,
    ],
    [
      "in the standard again",
      { dry: true, repeat: 1.08, ...STILL },
      `Once more, with fresh standard. ${HANG} It stands still: take the standard.`,
    ],
    ["one standard taken", { dry: true, taken }, "Let it count, or take a second standard first."],
  ];
  test.each(rows)("next step, %s: $2", (_, change, words) => {
    expect(next("conductivity", change)).toBe(words);
  });
  test("next step of thermometers: same stirred water, wait, then both as they stand; or what the reference reads", () => {
    expect(next("thermometers")).toBe(
      "Hang both thermometers together in the same stirred water. Best in the tank; in a cup only during a hold with the heater off, for the heat goes by what they say. Wait until it stands still; then take both as they stand.",
    );
    for (const of of ["thermometer-1", "thermometer-2"] as const) {
      expect(next(of, STILL)).toBe(
        "Hang it beside the reference in the same stirred water. Best in the tank; in a cup only during a hold with the heater off, for the heat goes by what they say. It stands still: say what the reference reads.",
      );
    }
  });
});
