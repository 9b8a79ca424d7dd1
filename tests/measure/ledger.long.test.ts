import { beforeAll, describe, expect, it } from "vitest";
import { type LedgerFigures, measureLedger } from "./ledger.ts";
import { FORTNIGHT_KINDS, fortnightOf } from "./ledger-fortnights.ts";

/** One fortnight of each kind; the table over two hundred is printed by command. */
const FORTNIGHTS = 6;
const LASTS_MS = 900_000;

describe("the ledger over six fortnights", () => {
  let figures: LedgerFigures;
  beforeAll(async () => {
    figures = await measureLedger(FORTNIGHTS);
  }, LASTS_MS);

  it("every kind of fortnight: equally often", () => {
    for (const kind of FORTNIGHT_KINDS) {
      expect(figures.judged.filter((each) => each.kind === kind)).toHaveLength(FORTNIGHTS / FORTNIGHT_KINDS.length);
    }
  });

  it("belief in hours in which one is owed: right in 0.9 of them at least", () => {
    expect(figures.right).toBeGreaterThanOrEqual(0.9);
  });

  it("doubts of salinity, litres, evaporation and heat loss: cover the truth in 0.95 of the hours", () => {
    expect(figures.salinity).toBeGreaterThanOrEqual(0.95);
    expect(figures.litres).toBeGreaterThanOrEqual(0.95);
    expect(figures.evaporation).toBeGreaterThanOrEqual(0.95);
    expect(figures.heatLoss).toBeGreaterThanOrEqual(0.95);
  });

  it("forecasts of reservoir and salinity: within their doubt in 0.95", () => {
    expect(figures.reservoir).toBeGreaterThanOrEqual(0.95);
    expect(figures.salinityBand).toBeGreaterThanOrEqual(0.95);
  });
});

describe("a fortnight of the ledger", () => {
  it("seed 7 twice: the same; seed 13: another", () => {
    expect(fortnightOf(7)).toEqual(fortnightOf(7));
    expect(fortnightOf(7)).not.toEqual(fortnightOf(13));
  });
});
