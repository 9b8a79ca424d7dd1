import { afterEach, beforeEach, describe, expect, test, vi } from "vitest";
import { createBoundary } from "../../controller/run/boundary.ts";
import { createNarrator } from "../../controller/run/narrator.ts";
import { createReporter } from "../../controller/run/reporter.ts";
import { type Cycle, startCycle } from "../../controller/scan/cycle.ts";
import { provenMemory } from "../../controller/scan/memory.ts";
import { ALL_WELL_BESIDE, type Field, type ScanRecord } from "../../shared/contract/index.ts";
import { Box, SETTINGS } from "../scan/box.ts";

describe("the boundary around whatever looks at a record", () => {
  test("a failure is caught, counted, told once while it stays the same, and forgotten after ten minutes", () => {
    let atMs = 0;
    const said: string[] = [];
    const boundary = createBoundary(
      () => atMs,
      (line) => void said.push(line),
    );
    const fail = (why: string) =>
      boundary.attempt("the sentence", () => {
        throw new Error(why);
      });
    expect(boundary.fault()).toBeNull();
    for (let scan = 0; scan < 1_000; scan += 1) fail("no such word");
    expect([boundary.failures(), boundary.fault()]).toEqual([1_000, "the sentence: no such word"]);
    expect(said).toEqual([
      "A part of the program fails (the sentence: no such word). The tank is looked after as ever.",
    ]);
    fail("another");
    expect(said).toHaveLength(2);
    atMs = 600_001;
    expect(boundary.fault()).toBeNull();
  });

  test("what is thrown may be anything, and the terminal may fail as well", () => {
    const boundary = createBoundary(
      () => 0,
      () => {
        throw new Error("no terminal");
      },
    );
    boundary.attempt("the button", () => {
      throw "a word";
    });
    expect(boundary.fault()).toBe("the button: a word");
  });
});

describe("a scan whose records nobody can look at", () => {
  let cycle: Cycle | null = null;
  beforeEach(() => void vi.useFakeTimers());
  afterEach(() => {
    cycle?.stop();
    vi.useRealTimers();
  });

  test("sentence, report and parts that fail in every scan: outputs renewed, no scan missed, the fault in the record", () => {
    const box = Box.atRest();
    const said: string[] = [];
    const boundary = createBoundary(
      () => performance.now(),
      (line) => void said.push(line),
    );
    const records: ScanRecord[] = [];
    let renewed = 0;
    const field: Field = {
      look: () => {
        const { readings, seen, board } = box.scan(0).image as NonNullable<Box["image"]>;
        return { readings, seen, board };
      },
      command: () => (renewed += 1),
      describe: () => {
        throw new Error("a cable without a name");
      },
      close: async () => undefined,
    };
    const narrator = createNarrator(SETTINGS, false, () => undefined);
    const reportOn = createReporter({
      settings: SETTINGS,
      tank: { kind: "real", field, wallMs: Date.now } as never,
      cycle: () => cycle as Cycle,
      narrator,
    });
    cycle = startCycle({
      settings: SETTINGS,
      field,
      memory: provenMemory(SETTINGS),
      news: { memory: "sound", offMs: 0 },
      nowMs: () => performance.now(),
      durable: { write: () => undefined, durableSequence: () => 1, failed: () => false },
      takeRequests: () => [],
      beside: () => ({ ...ALL_WELL_BESIDE, fault: boundary.fault() }),
      onRecord: (record) => {
        records.push(record);
        boundary.attempt("the sentence", () => narrator.see({ ...record, alarms: null } as never));
        boundary.attempt("the report", () => reportOn(record));
      },
      onStopped: () => expect.unreachable(),
      rehearsal: null,
    });
    vi.advanceTimersByTime(10_000);
    expect(cycle.counts()).toMatchObject({ count: 41, missed: 0, stopped: null });
    expect(renewed).toBe(41);
    // The parts are asked every two seconds, the sentence in every scan; each failure is said once.
    expect(boundary.failures()).toBe(41 + 6);
    expect(said).toHaveLength(2);
    expect(records.at(-1)?.beside.fault).toMatch(/^the (sentence|report): /);
    expect(said.join()).toMatch(/the report: a cable without a name/);
    expect(records.at(-1)?.alarms.map(({ id }) => id)).toContain("program-fault");
  });
});
