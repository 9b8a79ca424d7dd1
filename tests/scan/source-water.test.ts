import { describe, expect, test } from "vitest";
import { Box, type Sight } from "./box.ts";

/** Stories of the water that fills the reservoir, and of the cartridge that makes it. */

const LOW: Sight = { "working-float": "dry" };
const DAY_MS = 86_400_000;
const changed = { kind: "cartridge-changed", at: "network" } as const;

describe("the cell in the source water", () => {
  // Common practice: 1 mg/L is about 2 µS/cm at the factor 0.5.
  test.each([
    [0.002, 25, 1],
    [0, 25, 0],
    [0.02, 15, 12.5],
  ])("%d mS/cm at %d °C is %d mg/L", (conductivityMsPerCm, temperatureC, mgPerL) => {
    const box = Box.atRest({ sourceWater: { conductivityMsPerCm, temperatureC } }).afterSeconds(20);
    expect(box.record.sourceWater.tds).toMatchObject({ quality: "good", uncertainty: Math.max(0.5, mgPerL / 20) });
    expect(box.record.sourceWater.tds.value).toBeCloseTo(mgPerL, 9);
  });

  test("without a thermometer of its own says nothing; silent, it says so; not fitted, it is not missed", () => {
    const box = Box.atRest({ sourceWater: { conductivityMsPerCm: 0.002, temperatureC: null } }).scan();
    expect(box.record.sourceWater.tds).toMatchObject({ value: null, doubt: "not-a-number" });
    expect(box.sees({ sourceWater: "no-answer" }).scan().record.sourceWater.tds.doubt).toBe("no-answer");
    expect(box.sees({ sourceWater: "not-fitted" }).scan().record.sourceWater.tds.doubt).toBe("not-fitted");
    expect(box.record.alarms).toEqual([]);
  });

  test("that stands still for months is not stuck, and one that is spent alarms after ten minutes", () => {
    const box = Box.atRest({ sourceWater: { conductivityMsPerCm: 0.0002, temperatureC: 25 } }).after(24 * 60, 30_000);
    expect(box.record.sourceWater.tds.quality).toBe("good");
    box.sees({ sourceWater: { conductivityMsPerCm: 0.006, temperatureC: 25 } }).after(9);
    expect(box.record.alarms).toEqual([]);
    box.after(2);
    expect(box.record.alarms).toMatchObject([{ id: "source-water-impure", priority: "low", active: true }]);
  });

  test("decides nothing, however bad its water is", () => {
    const box = Box.atRest({ ...LOW, sourceWater: { conductivityMsPerCm: 3, temperatureC: 25 } });
    box.untilPouring();
  });
});

describe("the cartridge", () => {
  test("counts the litres that were poured and the days since it was changed, over a kill and its off-time", () => {
    const box = Box.atRest(LOW);
    const before = box.record.sourceWater;
    box.untilPouring();
    box.afterSeconds(5);
    const { litresSinceChange, daysSinceChange } = box.record.sourceWater;
    const poured = box.record.topOff.pouredTotalL;
    expect(poured).toBeGreaterThan(0.1);
    expect((litresSinceChange ?? 0) - (before.litresSinceChange ?? 0)).toBeCloseTo(poured, 6);
    expect(daysSinceChange).toBeGreaterThan(before.daysSinceChange ?? 1);
    box.sees({ "working-float": "wet" }).after(10);
    const kept = box.record.sourceWater.litresSinceChange;
    box.isKilled(3 * DAY_MS).scan();
    expect(box.record.sourceWater.litresSinceChange).toBe(kept);
    expect(box.record.sourceWater.daysSinceChange).toBeGreaterThan(3);
  });

  test("begins anew when somebody says that it was changed, and that is on disk in the same scan", () => {
    const box = Box.atRest(LOW);
    box.untilPouring();
    box.afterSeconds(5).sees({ "working-float": "wet" }).after(1);
    expect(box.asks(changed)).toMatchObject({ accepted: true });
    expect(box.record.sourceWater.litresSinceChange).toBe(0);
    box.scan();
    box.isKilled(0).scan();
    expect(box.record.sourceWater.litresSinceChange).toBe(0);
    expect(box.record.sourceWater.daysSinceChange).toBeLessThan(0.001);
  });

  test("is of unknown age after unknown off-time, and unknown altogether where the memory is lost", () => {
    const box = Box.atRest().isKilled(null).scan();
    expect(box.record.sourceWater).toMatchObject({ litresSinceChange: 0, daysSinceChange: null });
    box.isKilled(0, "missing").scan();
    expect(box.record.sourceWater).toMatchObject({ litresSinceChange: null, daysSinceChange: null });
    expect(box.asks(changed).record.sourceWater.litresSinceChange).toBe(0);
  });
});
