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

  test("no thermometer of its own: no TDS as not-a-number; silent: no-answer; not fitted: not-fitted, no alarm", () => {
    const box = Box.atRest({ sourceWater: { conductivityMsPerCm: 0.002, temperatureC: null } }).scan();
    expect(box.record.sourceWater.tds).toMatchObject({ value: null, doubt: "not-a-number" });
    expect(box.sees({ sourceWater: "no-answer" }).scan().record.sourceWater.tds.doubt).toBe("no-answer");
    expect(box.sees({ sourceWater: "not-fitted" }).scan().record.sourceWater.tds.doubt).toBe("not-fitted");
    expect(box.record.alarms).toEqual([]);
  });

  test("same reading for a day: good; 6 mg/L-water of a spent cartridge: alarm of low priority after ten minutes, not nine", () => {
    const box = Box.atRest({ sourceWater: { conductivityMsPerCm: 0.0002, temperatureC: 25 } }).after(24 * 60, 30_000);
    expect(box.record.sourceWater.tds.quality).toBe("good");
    box.sees({ sourceWater: { conductivityMsPerCm: 0.006, temperatureC: 25 } }).after(9);
    expect(box.record.alarms).toEqual([]);
    box.after(2);
    expect(box.record.alarms).toMatchObject([{ id: "source-water-impure", priority: "low", active: true }]);
  });

  test("3 mS/cm in the source water, float low: pours", () => {
    const box = Box.atRest({ ...LOW, sourceWater: { conductivityMsPerCm: 3, temperatureC: 25 } });
    box.untilPouring();
  });
});

describe("the cartridge", () => {
  test("pour of more than 0.1 L: counted with its days, kept over a kill, 3 days off added", () => {
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

  test("change told: 0 L and 0 days, also after a kill in the scan after", () => {
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

  test("off for an unknown time: days unknown, litres kept; memory missing: both unknown, until a change is told", () => {
    const box = Box.atRest().isKilled(null).scan();
    expect(box.record.sourceWater).toMatchObject({ litresSinceChange: 0, daysSinceChange: null });
    box.isKilled(0, "missing").scan();
    expect(box.record.sourceWater).toMatchObject({ litresSinceChange: null, daysSinceChange: null });
    expect(box.asks(changed).record.sourceWater.litresSinceChange).toBe(0);
  });
});
