import { describe, expect, it } from "vitest";
import { daysLeft, untilBandIsLeft } from "../../controller/quantities/forecast.ts";
import { withEvaporation } from "../../controller/quantities/learned.ts";
import { freshLedger } from "../../controller/quantities/ledger/index.ts";
import { rehearsalSettings } from "../../shared/settings/index.ts";
import { LedgerWorld } from "./ledger-world.ts";

const SETTINGS = rehearsalSettings();

describe("learned evaporation (SAFETY §3)", () => {
  it("moves by five percent a day at most, and never beyond half and one and a half times the commissioned", () => {
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

  it("follows the box within its doubt", () => {
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
  it.each(rows)("is frozen %s", (_, change) => {
    const world = new LedgerWorld().run(60);
    const before = world.durable.evaporationLPerDay;
    world.ways.evaporation = 1.9;
    change(world);
    world.run(72);
    expect(world.durable.evaporationLPerDay).toBeCloseTo(before, 9);
  });

  it("begins anew with another commissioned figure", () => {
    const world = new LedgerWorld().run(60);
    world.settings = { ...SETTINGS, topOff: { ...SETTINGS.topOff, evaporationLPerDay: 2 } };
    world.minute();
    expect(world.durable.evaporationLPerDay).toBe(2);
  });
});

describe("the pump", () => {
  it("is known to be weak from its seconds between float events", () => {
    const world = new LedgerWorld().run(48);
    expect(world.status.pumpStrength?.value).toBeCloseTo(1, 1);
    world.ways.pump = 0.5;
    world.run(24);
    expect(world.status.pumpStrength?.value).toBeCloseTo(0.5, 1);
    expect(world.status.litresPerDay?.value).toBeCloseTo(1.5, 0);
  });
});

describe("heat", () => {
  it("is lost by as much as the heater and the pump bring: one third of 200 W, and 25 W", () => {
    const { heat } = new LedgerWorld().run(72).status;
    expect(Math.abs((heat.lossW?.value ?? 0) - (200 / 3 + 25))).toBeLessThan(heat.lossW?.uncertainty ?? 0);
    expect(heat.lossByHourW).toHaveLength(24);
    expect(heat.lossWPerK?.value).toBeCloseTo(92 / 4, -1);
  });

  it("makes the water rise and sink by what the heater brings: 0.9 K/h and 0.45 K/h in 140 L", () => {
    const watts = new LedgerWorld().run(72).status.heat.heaterW;
    const expected = (1.35 * 140 * 4090) / 3600;
    expect(Math.abs((watts?.value ?? 0) - expected)).toBeLessThan(watts?.uncertainty ?? 0);
  });
});

describe("forecasts", () => {
  it("of a line that leaves its band", () => {
    const forecast = untilBandIsLeft({ value: 35, uncertainty: 0.2 }, { value: -0.1, uncertainty: 0.02 }, [34, 36]);
    expect(forecast?.expected).toBeCloseTo(10, 9);
    expect(forecast?.earliest).toBeCloseTo(0.8 / 0.12, 9);
    expect(forecast?.latest).toBeCloseTo(1.2 / 0.08, 9);
  });

  it("of a line that may stand still has no end, and one that does none at all", () => {
    expect(
      untilBandIsLeft({ value: 35, uncertainty: 0.2 }, { value: 0.1, uncertainty: 0.12 }, [34, 36])?.latest,
    ).toBeNull();
    expect(untilBandIsLeft({ value: 35, uncertainty: 0.2 }, { value: 0.1, uncertainty: 0.3 }, [34, 36])).toBeNull();
    expect(
      untilBandIsLeft({ value: 33, uncertainty: 0.2 }, { value: -0.1, uncertainty: 0.02 }, [34, 36])?.expected,
    ).toBe(0);
  });

  it("of a reservoir", () => {
    const forecast = daysLeft({ value: 6, uncertainty: 0.6 }, { value: 1.5, uncertainty: 0.3 });
    expect(forecast).toEqual({ expected: 4, earliest: 5.4 / 1.8, latest: 6.6 / 1.2 });
    expect(daysLeft({ value: 6, uncertainty: 0 }, { value: 0, uncertainty: 0 })).toBeNull();
  });

  it("of salinity, when salt water leaves", () => {
    const world = new LedgerWorld().run(48);
    world.ways.leak = 1.2;
    const forecast = world.run(36).status.forecasts.salinityHours;
    const truth = ((world.salinity - 34) / ((1.2 * 35) / 140)) * 24;
    expect(forecast?.earliest).toBeLessThan(truth);
    expect(forecast?.latest ?? Number.POSITIVE_INFINITY).toBeGreaterThan(truth);
  });
});
