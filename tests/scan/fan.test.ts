import { describe, expect, test } from "vitest";
import { TOP_OFF } from "../../controller/decisions/top-off/key.ts";
import { planTopOff } from "../../controller/decisions/top-off/plan.ts";
import type { Settings } from "../../shared/settings/index.ts";
import { Box, SETTINGS, type Sight } from "./box.ts";

/** A fan over warm water: its litres are owed, and no budget knows of it. */

/** So much evaporates that two hours without a pour show what a hot day would. */
const WINDY: Settings = {
  ...SETTINGS,
  topOff: {
    ...SETTINGS.topOff,
    evaporationLPerDay: 15,
    dailyBudgetL: 12,
    fan: { aboveC: 27, evaporationLPerDay: 30 },
  },
};

const water = (celsius: number): Sight => ({
  "thermometer-1": celsius,
  "thermometer-2": celsius,
  probeTemperature: celsius,
});
const WARM = water(28);
const COOL = water(26);
const LOST: Sight = { "thermometer-1": "nothing", "thermometer-2": "nothing", probeTemperature: null };
/** Warm, and nobody there to confirm it. */
const ALONE: Sight = { ...WARM, "thermometer-2": "nothing", probeTemperature: null };

/** Two hours and a half low, because the disk takes no charge; then it does, and more than three litres are wanted. */
const wantsLitres = (sight: Sight): Box =>
  Box.alwaysAt({ ...sight, "working-float": "dry", disk: "failed" }, WINDY)
    .after(115)
    .sees({ disk: "working" });
const litresOrNoAnswer = (box: Box): string => {
  box.until(({ why, topOff }) => why === "not-answered" || topOff.sinceFullUl >= 3_500_000, 90, 500);
  return box.why;
};

describe("litres poured after hours without a pour, fan fitted", () => {
  test("water at 28 °C, fan blows: 3.5 L count as owed, no failed pour, no lock", () => {
    const box = wantsLitres(WARM);
    expect(litresOrNoAnswer(box)).not.toBe("not-answered");
    expect(box.topOff.failures).toBe(0);
    expect(box.latch).toBeNull();
  });

  const rows: [name: string, sight: Sight][] = [
    ["the water is too cool for the fan", COOL],
    ["no temperature is known", LOST],
    ["one thermometer alone says that it is warm", ALONE],
  ];
  test.each(rows)("%s: fan's litres not owed, pour counts as not answered, failure noted", (_name, sight) => {
    const box = wantsLitres(sight);
    expect(litresOrNoAnswer(box)).toBe("not-answered");
    expect(box.topOff.failures).toBe(2);
  });
});

describe("a warm reading enlarges no budget", () => {
  test("same pours at 28 °C and 26 °C: same bucket, same unexplained litres", () => {
    const boxes = [WARM, COOL].map((sight) => {
      const box = Box.alwaysAt({ ...sight, "working-float": "dry", disk: "failed" }, WINDY).after(30);
      box.sees({ disk: "working" }).until(({ topOff }) => topOff.sinceFullUl >= 500_000, 30, 500);
      return box.sees({ "working-float": "wet" }).after(20);
    });
    const [warm, cool] = boxes.map(({ topOff }) => topOff);
    expect(warm?.pouredTotalUl).toBe(cool?.pouredTotalUl);
    expect(warm?.excessUl).toBeGreaterThan(0);
    expect([warm?.bucketUl, warm?.excessUl]).toEqual([cool?.bucketUl, cool?.excessUl]);
  });

  test("plan with and without a fan: equal but for what the fan owes and a shorter surge", () => {
    const { fanEvaporationUlPerMs: _, surgeMs, ...fanned } = planTopOff(WINDY);
    const bare = planTopOff({ ...WINDY, topOff: { ...WINDY.topOff, fan: null } });
    const { fanEvaporationUlPerMs: __, surgeMs: stillMs, ...still } = bare;
    expect(fanned).toEqual(still);
    expect(surgeMs).toBeLessThan(stillMs);
  });

  // S6 for the one amount that a temperature makes larger.
  test.each([
    ["both thermometers", LOST],
    ["one thermometer", ALONE],
  ])("%s lost: owed per ms falls to the still rate in the very scan, never above that of cool water", (_name, gone) => {
    const box = Box.alwaysAt({ ...WARM, "working-float": "dry", disk: "failed" }, WINDY);
    const { dueUl } = box.topOff;
    const owed = (sight: Sight) => box.twin().sees(sight).scan(250).topOff.dueUl - dueUl;
    const { evaporationUlPerMs, fanEvaporationUlPerMs } = planTopOff(WINDY);
    expect(owed({})).toBeCloseTo(250 * fanEvaporationUlPerMs, 6);
    expect(owed(gone)).toBeCloseTo(250 * evaporationUlPerMs, 6);
    expect(owed(COOL)).toBeLessThanOrEqual(owed({}));
  });

  test("killed for an hour at 28 °C and at 26 °C: 625 mL owed either way, none for the fan", () => {
    const hour = (sight: Sight) => {
      const box = Box.alwaysAt({ ...sight, "working-float": "dry", disk: "failed" }, WINDY);
      box.sees({ disk: "working" }).scan(250);
      const before = box.stored(TOP_OFF).dueUl;
      return Math.round((box.isKilled(3_600_000).scan(0).topOff.dueUl - before) / 1000);
    };
    expect(hour(WARM)).toBe(625);
    expect(hour(COOL)).toBe(625);
  });
});

test("days in the reservoir of 10 L: 10/15 at 26 °C, 10/30 at 28 °C with the fan blowing", () => {
  const daysOf = (sight: Sight) => Box.alwaysAt(sight, WINDY).record.topOff.daysInReservoir;
  expect(daysOf(COOL)).toBeCloseTo(10 / 15, 3);
  expect(daysOf(WARM)).toBeCloseTo(10 / 30, 3);
});
