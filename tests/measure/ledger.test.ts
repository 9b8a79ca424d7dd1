import { beforeAll, describe, expect, it } from "vitest";
import { type LedgerFigures, measureLedger } from "./ledger.ts";
import { FORTNIGHT_KINDS, fortnightOf } from "./ledger-fortnights.ts";

/** One fortnight of each kind; the table over two hundred is printed by command. */
const FORTNIGHTS = 6;
const LASTS_MS = 900_000;

describe("the ledger, judged over fortnights", () => {
  let figures: LedgerFigures;
  beforeAll(async () => {
    figures = await measureLedger(FORTNIGHTS);
  }, LASTS_MS);

  it("lives as many of every kind", () => {
    for (const kind of FORTNIGHT_KINDS) {
      expect(figures.judged.filter((each) => each.kind === kind)).toHaveLength(FORTNIGHTS / FORTNIGHT_KINDS.length);
    }
  });

  it("holds the right belief in nine hours of ten in which it is owed", () => {
    expect(figures.right).toBeGreaterThanOrEqual(0.9);
  });

  it("shows doubts that cover the truth in 95 hours of a hundred", () => {
    expect(figures.salinity).toBeGreaterThanOrEqual(0.95);
    expect(figures.litres).toBeGreaterThanOrEqual(0.95);
    expect(figures.evaporation).toBeGreaterThanOrEqual(0.95);
    expect(figures.heatLoss).toBeGreaterThanOrEqual(0.95);
  });

  it("foretells within its doubt, 19 times in 20", () => {
    expect(figures.reservoir).toBeGreaterThanOrEqual(0.95);
    expect(figures.salinityBand).toBeGreaterThanOrEqual(0.95);
  });
});

describe("a fortnight", () => {
  it("needs nothing but its seed", () => {
    expect(fortnightOf(7)).toEqual(fortnightOf(7));
    expect(fortnightOf(7)).not.toEqual(fortnightOf(13));
  });
});
