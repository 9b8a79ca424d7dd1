import { afterEach, beforeEach, describe, expect, test, vi } from "vitest";
import { HOLD } from "../../controller/decisions/hold/key.ts";
import { type Cycle, type CycleParts, startCycle } from "../../controller/scan/cycle.ts";
import { keptIn, provenMemory, type StoredMemory } from "../../controller/scan/memory.ts";
import type { Commands, Request, ScanRecord } from "../../shared/contract/index.ts";
import { EVERYTHING_OFF } from "../../shared/contract/index.ts";
import { Box, SETTINGS } from "./box.ts";

/** The timer around the scan, on a clock that the test turns. */

interface Rig {
  readonly cycle: Cycle;
  readonly records: ScanRecord[];
  readonly commanded: Commands[];
  readonly written: number[];
  readonly kept: StoredMemory[];
  readonly stopped: string[];
  /** Scans are slow, or the process was away: the clock goes on and no timer fires. */
  late(ms: number): void;
  ask(request: Request): void;
}

let cycle: Cycle | null = null;
beforeEach(() => vi.useFakeTimers());
afterEach(() => {
  cycle?.stop();
  cycle = null;
  vi.useRealTimers();
});

function startRig(change: (rig: Rig, parts: CycleParts) => Partial<CycleParts> = () => ({})): Rig {
  const box = Box.atRest();
  let aheadMs = 0;
  let asked: Request[] = [];
  let onDisk = box.memory.durable.sequence;
  const rig = {
    records: [],
    commanded: [],
    written: [],
    kept: [],
    stopped: [],
    late: (ms: number) => {
      aheadMs += ms;
    },
    ask: (request: Request) => {
      asked.push(request);
    },
  } as unknown as { -readonly [Key in keyof Rig]: Rig[Key] };
  const parts: CycleParts = {
    settings: SETTINGS,
    field: {
      look: () => {
        const { readings, seen, board } = box.scan(0).image as NonNullable<Box["image"]>;
        return { readings, seen, board };
      },
      command: (commands) => {
        rig.commanded.push(commands);
      },
      describe: () => [],
      close: async () => undefined,
    },
    memory: provenMemory(SETTINGS),
    news: { memory: "sound", offMs: 0 },
    nowMs: () => performance.now() + aheadMs,
    durable: {
      write: (memory: StoredMemory, sequence: number) => {
        rig.kept.push(memory);
        rig.written.push(sequence);
        onDisk = sequence;
      },
      durableSequence: () => onDisk,
      failed: () => false,
    },
    takeRequests: () => {
      const taken = asked;
      asked = [];
      return taken;
    },
    onRecord: (record) => {
      rig.records.push(record);
    },
    onStopped: (why) => {
      rig.stopped.push(why);
    },
    rehearsal: null,
  };
  cycle = startCycle({ ...parts, ...change(rig, parts) });
  rig.cycle = cycle;
  return rig;
}

describe("the timer of the scan, on time", () => {
  test("1 s at a period of 250 ms: one scan at once, then one every period, each told the ms since the last", () => {
    const { cycle: running, records } = startRig();
    vi.advanceTimersByTime(1_000);
    expect(records.map(({ elapsedMs }) => elapsedMs)).toEqual([0, 250, 250, 250, 250]);
    expect(running.counts()).toMatchObject({ count: 5, late: 0, missed: 0, overlong: 0, stopped: null });
  });

  test("1 s of scans: outputs commanded in each of the five", () => {
    const { commanded } = startRig();
    vi.advanceTimersByTime(1_000);
    expect(commanded).toHaveLength(5);
  });

  test("30 s without a change of sequence: no write; a hold asked for: written once, never twice under one number", () => {
    const rig = startRig();
    vi.advanceTimersByTime(30_000);
    const early = rig.written.length;
    expect(early).toBeGreaterThan(0);
    vi.advanceTimersByTime(30_000);
    expect(rig.written).toHaveLength(early);
    rig.ask({ kind: "hold", id: "h", at: "tank", minutes: 5 });
    vi.advanceTimersByTime(250);
    expect(rig.written.length).toBe(early + 1);
    expect(rig.written.at(-1)).toBe(rig.records.at(-1)?.memorySequence);
    // Alarms may change something of their own later; nothing is ever written twice under one number.
    vi.advanceTimersByTime(60_000);
    expect(new Set(rig.written).size).toBe(rig.written.length);
  });

  test("five minutes without another change: slow amounts written once", () => {
    const rig = startRig();
    vi.advanceTimersByTime(60_000);
    const early = rig.written.length;
    vi.advanceTimersByTime(301_000);
    expect(rig.written.length).toBe(early + 1);
  });

  test("hold asked for before a scan: taken by one scan, answered once in 1 s", () => {
    const rig = startRig();
    rig.ask({ kind: "hold", id: "mine", at: "network", minutes: 5 });
    vi.advanceTimersByTime(1_000);
    const outcomes = rig.records.flatMap((record) => record.outcomes);
    expect(outcomes).toMatchObject([{ id: "mine", accepted: true }]);
  });
});

describe("the timer of the scan, late or overlong", () => {
  test("a scan that begins 51 ms late is late; 50 ms are not", () => {
    const rig = startRig();
    vi.advanceTimersByTime(250);
    rig.late(50);
    vi.advanceTimersByTime(250);
    expect(rig.cycle.counts().late).toBe(0);
    const other = startRig();
    vi.advanceTimersByTime(250);
    other.late(51);
    vi.advanceTimersByTime(250);
    expect(other.cycle.counts()).toMatchObject({ late: 1, missed: 0 });
  });

  test("process away for 2 s: 8 scans counted as missed, none caught up, the next is told 2,250 ms", () => {
    const rig = startRig();
    vi.advanceTimersByTime(500);
    rig.late(2_000);
    vi.advanceTimersByTime(250);
    expect(rig.cycle.counts()).toMatchObject({ count: 4, late: 1, missed: 8 });
    expect(rig.records.at(-1)?.elapsedMs).toBe(2_250);
    vi.advanceTimersByTime(1_000);
    expect(rig.cycle.counts()).toMatchObject({ count: 8, late: 1, missed: 8 });
    expect(rig.records.at(-1)?.elapsedMs).toBe(250);
  });

  test("scans late by 0.6 ms to 60 s: the sum of the told times is the time that passed, within one period, in whole ms", () => {
    const rig = startRig();
    const startMs = performance.now();
    let aheadMs = 0;
    for (const ms of [3.4, 17.7, 120.2, 999.9, 0.6, 60_000.5]) {
      rig.late(ms);
      aheadMs += ms;
      vi.advanceTimersByTime(2_000);
    }
    rig.late(250);
    vi.advanceTimersByTime(250);
    const told = rig.records.reduce((sum, { elapsedMs }) => sum + elapsedMs, 0);
    const passed = performance.now() - startMs + aheadMs + 250;
    expect(Math.abs(told - passed)).toBeLessThanOrEqual(251);
    expect(rig.records.every(({ elapsedMs }) => Number.isInteger(elapsedMs) && elapsedMs >= 0)).toBe(true);
  });

  test("clock steps back 100 ms: no scan is told less than 0 ms", () => {
    const rig = startRig();
    vi.advanceTimersByTime(500);
    rig.late(-100);
    vi.advanceTimersByTime(1_000);
    expect(rig.records.every(({ elapsedMs }) => elapsedMs >= 0)).toBe(true);
  });

  test("scan of 51 ms: overlong, one of 50 ms is not; worst kept as 51 ms, 0 again after two minutes", () => {
    const rig = startRig((self, parts) => ({
      onRecord: (record, isLast) => {
        parts.onRecord(record, isLast);
        if (record.scan === 3) self.late(51);
        if (record.scan === 6) self.late(50);
      },
    }));
    vi.advanceTimersByTime(2_000);
    expect(rig.cycle.counts()).toMatchObject({ overlong: 1, worstMs: 51 });
    vi.advanceTimersByTime(121_000);
    expect(rig.cycle.counts()).toMatchObject({ overlong: 1, worstMs: 0 });
  });
});

describe("the timer of the scan, at its end", () => {
  test("stopped: outputs commanded off, no further scan in 10 s", () => {
    const rig = startRig();
    vi.advanceTimersByTime(500);
    rig.cycle.stop();
    const scans = rig.records.length;
    vi.advanceTimersByTime(10_000);
    expect(rig.records).toHaveLength(scans);
    expect(rig.commanded.at(-1)).toEqual(EVERYTHING_OFF);
  });

  test("step throws: outputs commanded off, reason kept and told once, memory written with it, no further scan", () => {
    let fails = false;
    const rig = startRig((_self, parts) => ({
      field: {
        ...parts.field,
        look: (nowMs) => {
          if (fails) return { ...parts.field.look(nowMs), readings: null as never };
          return parts.field.look(nowMs);
        },
      },
    }));
    vi.advanceTimersByTime(500);
    fails = true;
    vi.advanceTimersByTime(10_000);
    expect(rig.commanded.at(-1)).toEqual(EVERYTHING_OFF);
    expect(rig.stopped).toHaveLength(1);
    expect(rig.cycle.counts()).toMatchObject({ count: 3, stopped: rig.stopped[0] });
    expect(rig.stopped[0]).toMatch(/null/);
    expect(rig.records).toHaveLength(3);
    // For whoever starts it anew: the memory of the last whole scan, and why there was no other.
    expect(rig.kept.at(-1)).toMatchObject({ stoppedBy: rig.stopped[0], sequence: rig.written.at(-1) });
    expect(rig.written.at(-1)).toBeGreaterThan(rig.records.at(-1)?.memorySequence ?? 0);
  });

  test("hold asked for, 1 s of scans: memory() is that of the last whole scan, with its sequence", () => {
    const rig = startRig();
    rig.ask({ kind: "hold", id: "h", at: "tank", minutes: 5 });
    vi.advanceTimersByTime(1_000);
    expect(keptIn(rig.cycle.memory(), HOLD).durable.leftMs).toBeGreaterThan(0);
    expect(rig.cycle.memory().durable.sequence).toBe(rig.records.at(-1)?.memorySequence);
  });
});

describe("the timer of the scan, in a rehearsal", () => {
  test("60 scans per tick: 300 scans of 250 ms simulated in 1 s", () => {
    let simulatedMs = 0;
    const rig = startRig(() => ({
      rehearsal: {
        scansPerTick: 60,
        advance: (elapsedMs) => {
          simulatedMs += elapsedMs;
        },
        simulatedMs: () => simulatedMs,
      },
    }));
    vi.advanceTimersByTime(1_000);
    expect(rig.records).toHaveLength(5 * 60);
    expect(simulatedMs).toBe(5 * 60 * 250);
    expect(rig.records.every(({ elapsedMs }) => elapsedMs === 250)).toBe(true);
  });
});
