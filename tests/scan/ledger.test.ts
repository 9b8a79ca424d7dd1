import { describe, expect, test } from "vitest";
import { LEDGER } from "../../controller/decisions/ledger/key.ts";
import type { LedgerClass } from "../../shared/contract/ledger.ts";
import { Box } from "./box.ts";

/** The ledger in the scan: when it looks, what of it reaches the decisions, and what a start does to it. */

const believing = (box: Box, unexplained: LedgerClass): Box => {
  const { ledger } = box.volatile(LEDGER);
  const status = { ...ledger.status, classes: { ...ledger.status.classes, unexplained } };
  return box.seems(LEDGER, { ledger: { ...ledger, status }, sinceMs: 0 });
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
    const before = box.volatile(LEDGER).ledger.runMs;
    const shown = new Set();
    for (let scan = 0; scan < 480; scan++) shown.add(box.scan().record.ledger);
    expect(shown.size).toBe(3);
    expect(box.volatile(LEDGER).ledger.runMs - before).toBeGreaterThanOrEqual(60_000);
    const tests = box.durable(LEDGER).tests.length;
    box.asks({ kind: "hand-test", salinity: 35, at: "tank" });
    box.scan();
    expect(box.durable(LEDGER).tests).toHaveLength(tests + 1);
  });
});

describe("a salinity measured in the reservoir", () => {
  test('0.4: kept and answered as fresh; refill of 4 L: forgotten; 24: "empty the reservoir"; −1, 43 or no number: refused', () => {
    const box = Box.atRest();
    box.asks({ kind: "reservoir-test", salinity: 0.4, at: "network" });
    expect(box.record.outcomes).toMatchObject([{ accepted: true, why: expect.stringMatching(/0\.4, which is fresh/) }]);
    expect(box.durable(LEDGER).reservoirSalinity).toBe(0.4);
    box.asks({ kind: "refill", litres: 4, at: "network" });
    expect(box.durable(LEDGER).reservoirSalinity).toBeNull();
    box.asks({ kind: "reservoir-test", salinity: 24, at: "tank" });
    expect(box.record.outcomes).toMatchObject([{ accepted: true, why: expect.stringMatching(/empty the reservoir/) }]);
    for (const salinity of [-1, 43, Number.NaN]) {
      box.asks({ kind: "reservoir-test", salinity, at: "tank" });
      expect(box.record.outcomes).toMatchObject([{ accepted: false, why: "A salinity from 0 to 42 is expected." }]);
    }
    expect(box.durable(LEDGER).reservoirSalinity).toBe(24);
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
