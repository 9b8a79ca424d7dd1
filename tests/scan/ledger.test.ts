import { describe, expect, test } from "vitest";
import { durableFrom, provenMemory } from "../../controller/scan/memory.ts";
import type { LedgerClass } from "../../shared/contract/ledger.ts";
import { Box, SETTINGS } from "./box.ts";

/** The ledger in the scan: when it looks, what of it reaches the decisions, and what a start does to it. */

const believing = (box: Box, unexplained: LedgerClass): Box => {
  const { durable, volatile } = box.memory;
  const { ledger } = volatile;
  const status = { ...ledger.status, classes: { ...ledger.status.classes, unexplained } };
  box.memory = { durable, volatile: { ...volatile, ledger: { ...ledger, status }, sinceLedgerMs: 0 } };
  return box;
};

describe("low salinity blocks top-off only where the ledger finds unexplained fresh water too", () => {
  const rows: [conductivity: number, unexplained: LedgerClass, blocks: boolean][] = [
    [50, "above", true],
    [50, "expected", false],
    [50, "unknown", false],
    [50, "below", false],
    [53.1, "above", false],
    [58, "above", false],
  ];
  test.each(rows)("%s mS/cm, unexplained litres %s: blocked %s", (conductivity, unexplained, blocks) => {
    const box = believing(Box.atRest({ conductivity }).after(1), unexplained).scan();
    expect(box.record.topOff.blockers.includes("salinity-falling")).toBe(blocks);
  });
});

describe("when the ledger is reckoned", () => {
  test("480 scans in 120 s: reckoned anew once a minute; a hand test: in the next scan", () => {
    const box = Box.atRest();
    const before = box.memory.volatile.ledger.runMs;
    const shown = new Set();
    for (let scan = 0; scan < 480; scan++) shown.add(box.scan().record.ledger);
    expect(shown.size).toBe(3);
    expect(box.memory.volatile.ledger.runMs - before).toBeGreaterThanOrEqual(60_000);
    const tests = box.memory.durable.ledger.tests.length;
    box.asks({ kind: "hand-test", salinity: 35, at: "tank" });
    box.scan();
    expect(box.memory.durable.ledger.tests).toHaveLength(tests + 1);
  });
});

describe("a salinity measured in the reservoir", () => {
  test('0.4: kept and answered as fresh; refill of 4 L: forgotten; 24: "empty the reservoir"; −1, 43 or no number: refused', () => {
    const box = Box.atRest();
    box.asks({ kind: "reservoir-test", salinity: 0.4, at: "network" });
    expect(box.record.outcomes).toMatchObject([{ accepted: true, why: expect.stringMatching(/0\.4, which is fresh/) }]);
    expect(box.memory.durable.ledger.reservoirSalinity).toBe(0.4);
    box.asks({ kind: "refill", litres: 4, at: "network" });
    expect(box.memory.durable.ledger.reservoirSalinity).toBeNull();
    box.asks({ kind: "reservoir-test", salinity: 24, at: "tank" });
    expect(box.record.outcomes).toMatchObject([{ accepted: true, why: expect.stringMatching(/empty the reservoir/) }]);
    for (const salinity of [-1, 43, Number.NaN]) {
      box.asks({ kind: "reservoir-test", salinity, at: "tank" });
      expect(box.record.outcomes).toMatchObject([{ accepted: false, why: "A salinity from 0 to 42 is expected." }]);
    }
    expect(box.memory.durable.ledger.reservoirSalinity).toBe(24);
  });

  test("35 in the reservoir, working float dry: every command of 1,200 scans as in a box that was told nothing", () => {
    const asked = Box.atRest({ "working-float": "dry" });
    const unasked = Box.atRest({ "working-float": "dry" });
    asked.asks({ kind: "reservoir-test", salinity: 35, at: "tank" });
    unasked.scan();
    for (let scan = 0; scan < 1_200; scan++) expect(asked.scan().commands).toEqual(unasked.scan().commands);
    expect(asked.record.topOff.pouredTotalL).toBeGreaterThan(0.1);
    expect(asked.record.topOff).toEqual(unasked.record.topOff);
  });
});

describe("what the ledger has learned", () => {
  const stored = () => JSON.parse(JSON.stringify(provenMemory(SETTINGS).durable)) as Record<string, unknown>;

  test("stored with 1.3 L a day: reads back as 1.3", () => {
    const durable = { ...stored(), ledger: { ...provenMemory(SETTINGS).durable.ledger, evaporationLPerDay: 1.3 } };
    expect(durableFrom(durable, SETTINGS)?.ledger.evaporationLPerDay).toBe(1.3);
  });

  test("stored by a version without reservoir tests: 1.3 L a day reads back, reservoir unknown", () => {
    const { reservoirSalinity, reservoirTestedAtL, ...before } = provenMemory(SETTINGS).durable.ledger;
    const durable = { ...stored(), ledger: { ...before, evaporationLPerDay: 1.3 } };
    expect(durableFrom(durable, SETTINGS)?.ledger).toMatchObject({
      evaporationLPerDay: 1.3,
      reservoirSalinity,
      reservoirTestedAtL,
    });
  });

  const spoilt: [string, (ledger: Record<string, unknown>) => unknown][] = [
    ["is missing", () => undefined],
    ["is no number where it must be", (ledger) => ({ ...ledger, evaporationLPerDay: null })],
    ["has a hand test without a salinity", (ledger) => ({ ...ledger, tests: [{ ageMs: 0, probe: null, movedBy: 0 }] })],
  ];
  test.each(spoilt)("stored %s: learns anew with a doubt of 0.25, no lock", (_, spoil) => {
    const durable = stored();
    durable.ledger = spoil(durable.ledger as Record<string, unknown>);
    const found = durableFrom(durable, SETTINGS);
    expect(found?.ledger.evaporationDoubt).toBe(0.25);
    expect(found?.topOff.latch).toBeNull();
  });
});
