import { describe, expect, it, test } from "vitest";
import { type FanSeen, fanSeen } from "../../controller/quantities/fan.ts";
import type { Signal } from "../../shared/contract/index.ts";
import { rehearsalSettings } from "../../shared/settings/index.ts";
import { good } from "../alarms/healthy.ts";
import { LedgerWorld } from "./ledger-world.ts";

/** A fan over the water: when it is taken to blow, and what is learned of evaporation with it and without. */
const SETTINGS = rehearsalSettings();
const FAN = { aboveC: 27, evaporationLPerDay: 3 };
const WITH_FAN = { ...SETTINGS, topOff: { ...SETTINGS.topOff, fan: FAN } };

describe("fan above 27 °C, seen by the water alone", () => {
  const doubtful: Signal = { ...good(28), quality: "uncertain", doubt: "single" };
  const lost: Signal = { ...good(28), value: null, quality: "bad", doubt: "stale" };
  const rows: [name: string, water: Signal, seen: FanSeen][] = [
    ["well above its mark", good(27.21), "on"],
    ["a tenth or two above", good(27.2), "unknown"],
    ["at its mark", good(27), "unknown"],
    ["half a kelvin below: its thermostat may hold it on", good(26.5), "unknown"],
    ["below that", good(26.49), "off"],
    ["warm, by a thermometer that nobody confirms", doubtful, "unknown"],
    ["warm when it was last seen", lost, "unknown"],
  ];
  it.each(rows)("%s: $2", (_name, water, seen) => {
    expect(fanSeen(water, FAN)).toBe(seen);
  });

  it.each(rows)("no fan: off, %s", (_name, water) => {
    expect(fanSeen(water, null)).toBe("off");
  });
});

/** A box whose fan is seen as this, with what it really takes. */
function days(world: LedgerWorld, count: number, fan: FanSeen, litresPerDay: number): LedgerWorld {
  world.extra = { fan };
  world.ways.evaporation = litresPerDay;
  return world.run(24 * count);
}

function worldWithFan(): LedgerWorld {
  const world = new LedgerWorld();
  world.settings = WITH_FAN;
  return days(world, 0.1, "off", 1.5);
}

describe("evaporation learned with a fan of 3 L/day above 1.5", () => {
  it("30 days of 4 L without the fan: 2.25 at most; of 6 L with it: 4.5 at most; the other figure stays", () => {
    const still = days(worldWithFan(), 30, "off", 4).durable;
    expect(still.evaporationLPerDay).toBeLessThanOrEqual(2.25);
    expect(still.evaporationLPerDay).toBeGreaterThan(2.2);
    expect(still.withFan.evaporationLPerDay).toBe(3);
    const blowing = days(worldWithFan(), 30, "on", 6).durable;
    expect(blowing.withFan.evaporationLPerDay).toBeLessThanOrEqual(4.5);
    expect(blowing.withFan.evaporationLPerDay).toBeGreaterThan(4.4);
    expect(blowing.evaporationLPerDay).toBe(1.5);
  });

  it("3 days of 3.8 L with it: at most 5 % a day above 3", () => {
    const { withFan } = days(worldWithFan(), 3, "on", 3.8).durable;
    expect(withFan.evaporationLPerDay).toBeGreaterThan(3);
    expect(withFan.evaporationLPerDay).toBeLessThanOrEqual(3 * 1.05 ** 3 + 1e-9);
  });

  it("days of both, or of nobody knows: both figures stay", () => {
    const world = worldWithFan();
    for (let day = 0; day < 6; day++) days(days(world, 0.5, "on", 3.6), 0.5, "off", 1.8);
    expect([world.durable.evaporationLPerDay, world.durable.withFan.evaporationLPerDay]).toEqual([1.5, 3]);
    const unknown = days(worldWithFan(), 6, "unknown", 1.8).durable;
    expect([unknown.evaporationLPerDay, unknown.withFan.evaporationLPerDay]).toEqual([1.5, 3]);
  });

  it("fan's figure changed in the settings: its learned one is that, the other stays", () => {
    const world = days(worldWithFan(), 5, "off", 1.7);
    const { evaporationLPerDay } = world.durable;
    expect(evaporationLPerDay).toBeGreaterThan(1.5);
    world.settings = { ...WITH_FAN, topOff: { ...WITH_FAN.topOff, fan: { ...FAN, evaporationLPerDay: 2.5 } } };
    world.minute();
    expect(world.durable.withFan.evaporationLPerDay).toBe(2.5);
    expect(world.durable.evaporationLPerDay).toBe(evaporationLPerDay);
  });

  it("fan seen off: 1.5 shown; on: 3", () => {
    const world = worldWithFan();
    expect(world.status.evaporationLPerDay?.value).toBe(1.5);
    world.extra = { fan: "on" };
    world.minute();
    expect(world.status.evaporationLPerDay?.value).toBe(3);
    expect(world.status.airLPerDay).toBeNull();
  });
});

describe("the ledger, two days of 3 L with the fan", () => {
  it("fan in the settings: evaporation-only; not: more-evaporation-or-weaker-pump", () => {
    const known = days(days(worldWithFan(), 3, "off", 1.5), 2, "on", 3);
    expect(known.status.belief).toBe("evaporation-only");
    const world = days(new LedgerWorld(), 3, "off", 1.5);
    expect(days(world, 2, "off", 3).status.belief).toBe("more-evaporation-or-weaker-pump");
  });

  it("1.5 L a day leak beside it: fresh-water-or-salt-leaving", () => {
    const world = days(days(worldWithFan(), 3, "off", 1.5), 1, "on", 3);
    world.ways.leak = 1.5;
    world.run(36);
    expect(world.status.belief).toBe("fresh-water-or-salt-leaving");
  });

  test("fan seen on: reservoir lasts half as long, latest still as without; after 1.5 days: 3 L a day", () => {
    const world = days(worldWithFan(), 3, "off", 1.5);
    const stillDays = world.status.forecasts.reservoirDays?.expected ?? 0;
    world.extra = { fan: "on" };
    world.minute();
    const fannedDays = world.status.forecasts.reservoirDays;
    expect(stillDays / (fannedDays?.expected ?? 0)).toBeCloseTo(2, 1);
    // It may stop again tonight.
    expect(fannedDays?.latest ?? Number.POSITIVE_INFINITY).toBeGreaterThan(stillDays * 0.9);
    days(world, 1.5, "on", 3);
    expect(world.status.litresPerDay?.value).toBeCloseTo(3, 0);
    const perDay = world.reservoirL / (world.status.forecasts.reservoirDays?.expected ?? 0);
    expect(perDay).toBeGreaterThan(2.6);
    expect(perDay).toBeLessThan(3.4);
  });
});
