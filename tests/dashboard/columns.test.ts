import fc from "fast-check";
import { describe, expect, it } from "vitest";
import {
  columnsFromHistory,
  emptyColumns,
  since,
  summarise,
  type TrendColumns,
  withLive,
} from "../../dashboard/columns/columns.ts";
import type { HistoryAnswer } from "../../shared/contract/http.ts";

const BUCKET_MS = 60_000;
const GAP_MS = 150_000;

const history = (last: (number | null)[], spread = 0): HistoryAnswer => {
  const shifted = (by: number) => last.map((value) => (value === null ? null : value + by));
  return {
    version: 1,
    atMs: last.map((_, n) => (n + 0.5) * BUCKET_MS),
    channels: { temperature: { min: shifted(-spread), max: shifted(spread), last } },
  };
};

const fromLast = (last: (number | null)[], spread = 0) =>
  columnsFromHistory(history(last, spread), "temperature", BUCKET_MS, GAP_MS);

describe("columns from the record", () => {
  it("25 and 26 ± 0.5 in buckets of a minute: seconds, lowest, highest and last of each", () => {
    expect(fromLast([25, 26], 0.5)).toMatchObject({
      atS: [30, 90],
      min: [24.5, 25.5],
      max: [25.5, 26.5],
      last: [25, 26],
    });
  });

  it("one empty bucket: line goes on; two: a null between", () => {
    expect(fromLast([25, null, 26]).last).toEqual([25, 26]);
    const broken = fromLast([25, null, null, 26]);
    expect(broken.last).toEqual([25, null, 26]);
    expect(broken.atS).toEqual([30, 90, 210]);
  });

  it("channel that was never kept: no column", () => {
    expect(columnsFromHistory(history([25]), "salinity", BUCKET_MS, GAP_MS).atS).toEqual([]);
  });
});

describe("live values", () => {
  const begun = withLive(emptyColumns(BUCKET_MS, GAP_MS), 10_000, 25);

  it("25, 27 and 24 in one bucket: minimum 24, maximum 27, last 24", () => {
    const grown = withLive(withLive(begun, 20_000, 27), 30_000, 24);
    expect(grown).toMatchObject({ atS: [30], min: [24], max: [27], last: [24] });
  });

  it("28 in the record's last bucket: its maximum and last", () => {
    expect(withLive(fromLast([25, 26]), 119_000, 28)).toMatchObject({ atS: [30, 90], max: [25, 28], last: [25, 28] });
  });

  it("null, then 26 in the next bucket: a null between", () => {
    const broken = withLive(withLive(begun, 70_000, null), 130_000, 26);
    expect(broken.last).toEqual([25, null, 26]);
  });

  it("four minutes of silence: a null between", () => {
    expect(withLive(begun, 30_000 + 240_000, 26).last).toEqual([25, null, 26]);
  });

  it("value older than the last bucket: columns unchanged", () => {
    const later = withLive(begun, 600_000, 26);
    expect(withLive(later, 10_000, 25)).toBe(later);
  });

  it("another value: columns before it unchanged", () => {
    const before = JSON.stringify(begun);
    withLive(begun, 20_000, 30);
    expect(JSON.stringify(begun)).toBe(before);
  });
});

describe("summary of columns", () => {
  it("25, 26, a gap and 24: latest with its time, lowest, highest, one gap", () => {
    expect(summarise(fromLast([25, 26, null, null, null, 24], 0.5))).toEqual({
      latest: 24,
      latestAtMs: 330_000,
      lowest: 23.5,
      highest: 26.5,
      gaps: 1,
    });
  });

  it("nothing measured: null", () => {
    expect(summarise(emptyColumns(BUCKET_MS, GAP_MS))).toBeNull();
    expect(summarise(fromLast([null, null]))).toBeNull();
  });

  it("since the second bucket: only that counts; since later: no columns", () => {
    expect(summarise(since(fromLast([20, 25]), 60_000))).toMatchObject({ lowest: 25, highest: 25 });
    expect(since(fromLast([20, 25]), 600_000).atS).toEqual([]);
  });
});

describe("any values in any order", () => {
  const value = fc.option(fc.double({ min: -50, max: 150, noNaN: true }), { nil: null });
  const told = fc.array(fc.tuple(fc.integer({ min: 0, max: 4_000_000 }), value), { maxLength: 60 });

  it("columns equally long, ascending in time, last between minimum and maximum or all null", () => {
    fc.assert(
      fc.property(told, (words) => {
        const columns = words.reduce<TrendColumns>(
          (grown, [atMs, given]) => withLive(grown, atMs, given),
          emptyColumns(BUCKET_MS, GAP_MS),
        );
        const { atS, min, max, last } = columns;
        expect([min.length, max.length, last.length]).toEqual([atS.length, atS.length, atS.length]);
        for (let n = 0; n < atS.length; n += 1) {
          if (n > 0) expect(atS[n]!).toBeGreaterThan(atS[n - 1]!);
          const [low, high, newest] = [min[n]!, max[n]!, last[n]!];
          if (newest === null) expect([low, high]).toEqual([null, null]);
          else expect(low <= newest && newest <= high).toBe(true);
        }
      }),
    );
  });
});
