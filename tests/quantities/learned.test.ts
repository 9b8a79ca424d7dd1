import { describe, expect, it } from "vitest";
import { daysLeft, untilBandIsLeft } from "../../controller/quantities/forecast.ts";
import { withEvaporation } from "../../controller/quantities/learned.ts";
import { freshLedger } from "../../controller/quantities/ledger/index.ts";
import { rehearsalSettings } from "../../shared/settings/index.ts";
import { LedgerWorld } from "./ledger-world.ts";

const SETTINGS = rehearsalSettings();

describe("learned evaporation, commissioned at 1.5 L a day", () => {
  it("60 days of 9 or 0 L: 5 % a day at most, 2.25 and 0.75 in the end", () => {
    let up = freshLedger(SETTINGS, 0.12);
    let down = up;
    for (let day = 0; day < 60; day++) {
      const [before, beneath] = [up.evaporationLPerDay, down.evaporationLPerDay];
      up = withEvaporation(up, 9);
      down = withEvaporation(down, 0);
      expect(up.evaporationLPerDay).toBeLessThanOrEqual(before * 1.05 + 1e-12);
      expect(down.evaporationLPerDay).toBeGreaterThanOrEqual(beneath * 0.95 - 1e-12);
    }
    expect(up.evaporationLPerDay).toBeCloseTo(2.25, 9);
    expect(down.evaporationLPerDay).toBeCloseTo(0.75, 9);
  });

  it("ten days of 1.7 L: within its doubt of that, above 1.6", () => {
    const world = new LedgerWorld();
    world.ways.evaporation = 1.7;
    const learned = world.run(24 * 10).status.evaporationLPerDay;
    expect(Math.abs((learned?.value ?? 0) - 1.7)).toBeLessThan(learned?.uncertainty ?? 0);
    expect(learned?.value).toBeGreaterThan(1.6);
  });

  const rows: [name: string, change: (world: LedgerWorld) => void][] = [
    ["while an alarm of level or salinity stands", (world) => Object.assign(world.extra, { frozen: true })],
    ["while hands are in", (world) => Object.assign(world.extra, { hands: true })],
    ["while salt water leaves", (world) => Object.assign(world.ways, { leak: 1.2 })],
  ];
  it.each(rows)("1.9 L for 72 h %s: unchanged", (_, change) => {
    const world = new LedgerWorld().run(60);
    const before = world.durable.evaporationLPerDay;
    world.ways.evaporation = 1.9;
    change(world);
    world.run(72);
    expect(world.durable.evaporationLPerDay).toBeCloseTo(before, 9);
  });

  it("commissioned at 2 instead: 2 at once", () => {
    const world = new LedgerWorld().run(60);
    world.settings = { ...SETTINGS, topOff: { ...SETTINGS.topOff, evaporationLPerDay: 2 } };
    world.minute();
    expect(world.durable.evaporationLPerDay).toBe(2);
  });
});

describe("pump strength", () => {
  it("half the flow for 24 h: 0.5, still 1.5 L a day", () => {
    const world = new LedgerWorld().run(48);
    expect(world.status.pumpStrength?.value).toBeCloseTo(1, 1);
    world.ways.pump = 0.5;
    world.run(24);
    expect(world.status.pumpStrength?.value).toBeCloseTo(0.5, 1);
    expect(world.status.litresPerDay?.value).toBeCloseTo(1.5, 0);
  });
});

describe("heat of the box", () => {
  it("heater on a third of the time: loss of a third of 200 W and 25 W within its doubt, 24 hours, 23 W/K", () => {
    const { heat } = new LedgerWorld().run(72).status;
    expect(Math.abs((heat.lossW?.value ?? 0) - (200 / 3 + 25))).toBeLessThan(heat.lossW?.uncertainty ?? 0);
    expect(heat.lossByHourW).toHaveLength(24);
    expect(heat.lossWPerK?.value).toBeCloseTo(92 / 4, -1);
  });

  it("0.9 K/h up and 0.45 K/h down in 140 L: heater of 215 W within its doubt", () => {
    const watts = new LedgerWorld().run(72).status.heat.heaterW;
    const expected = (1.35 * 140 * 4090) / 3600;
    expect(Math.abs((watts?.value ?? 0) - expected)).toBeLessThan(watts?.uncertainty ?? 0);
  });
});

describe("forecasts", () => {
  it("35 ± 0.2 falling 0.1 ± 0.02, band from 34: in 10, earliest 0.8/0.12, latest 1.2/0.08", () => {
    const forecast = untilBandIsLeft({ value: 35, uncertainty: 0.2 }, { value: -0.1, uncertainty: 0.02 }, [34, 36]);
    expect(forecast?.expected).toBeCloseTo(10, 9);
    expect(forecast?.earliest).toBeCloseTo(0.8 / 0.12, 9);
    expect(forecast?.latest).toBeCloseTo(1.2 / 0.08, 9);
  });

  it("slope within its doubt of 0: no latest; smaller than its doubt: none; outside the band already: 0", () => {
    expect(
      untilBandIsLeft({ value: 35, uncertainty: 0.2 }, { value: 0.1, uncertainty: 0.12 }, [34, 36])?.latest,
    ).toBeNull();
    expect(untilBandIsLeft({ value: 35, uncertainty: 0.2 }, { value: 0.1, uncertainty: 0.3 }, [34, 36])).toBeNull();
    expect(
      untilBandIsLeft({ value: 33, uncertainty: 0.2 }, { value: -0.1, uncertainty: 0.02 }, [34, 36])?.expected,
    ).toBe(0);
  });

  it("6 ± 0.6 L at 1.5 ± 0.3 a day: 4 days, 3 to 5.5; nothing used: none", () => {
    const forecast = daysLeft({ value: 6, uncertainty: 0.6 }, { value: 1.5, uncertainty: 0.3 });
    expect(forecast).toEqual({ expected: 4, earliest: 5.4 / 1.8, latest: 6.6 / 1.2 });
    expect(daysLeft({ value: 6, uncertainty: 0 }, { value: 0, uncertainty: 0 })).toBeNull();
  });

  it("leak of 1.2 L a day after 36 h: hours until 34 lie between earliest and latest", () => {
    const world = new LedgerWorld().run(48);
    world.ways.leak = 1.2;
    const forecast = world.run(36).status.forecasts.salinityHours;
    const truth = ((world.salinity - 34) / ((1.2 * 35) / 140)) * 24;
    expect(forecast?.earliest).toBeLessThan(truth);
    expect(forecast?.latest ?? Number.POSITIVE_INFINITY).toBeGreaterThan(truth);
  });
});
