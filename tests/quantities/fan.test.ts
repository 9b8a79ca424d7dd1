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

describe("a fan is seen by the water alone", () => {
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
  it.each(rows)("%s", (_name, water, seen) => {
    expect(fanSeen(water, FAN)).toBe(seen);
  });

  it.each(rows)("and a box without one never has one: %s", (_name, water) => {
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

describe("learned evaporation with a fan (SAFETY §3)", () => {
  it("is clamped to half and one and a half times the value with the fan on, and the other to its own", () => {
    const still = days(worldWithFan(), 30, "off", 4).durable;
    expect(still.evaporationLPerDay).toBeLessThanOrEqual(2.25);
    expect(still.evaporationLPerDay).toBeGreaterThan(2.2);
    expect(still.withFan.evaporationLPerDay).toBe(3);
    const blowing = days(worldWithFan(), 30, "on", 6).durable;
    expect(blowing.withFan.evaporationLPerDay).toBeLessThanOrEqual(4.5);
    expect(blowing.withFan.evaporationLPerDay).toBeGreaterThan(4.4);
    expect(blowing.evaporationLPerDay).toBe(1.5);
  });

  it("moves by five percent a day", () => {
    const { withFan } = days(worldWithFan(), 3, "on", 3.8).durable;
    expect(withFan.evaporationLPerDay).toBeGreaterThan(3);
    expect(withFan.evaporationLPerDay).toBeLessThanOrEqual(3 * 1.05 ** 3 + 1e-9);
  });

  it("learns nothing from days on which the fan did both, nor from those on which nobody knows", () => {
    const world = worldWithFan();
    for (let day = 0; day < 6; day++) days(days(world, 0.5, "on", 3.6), 0.5, "off", 1.8);
    expect([world.durable.evaporationLPerDay, world.durable.withFan.evaporationLPerDay]).toEqual([1.5, 3]);
    const unknown = days(worldWithFan(), 6, "unknown", 1.8).durable;
    expect([unknown.evaporationLPerDay, unknown.withFan.evaporationLPerDay]).toEqual([1.5, 3]);
  });

  it("begins anew with another commissioned figure, and leaves the one without the fan as it is", () => {
    const world = days(worldWithFan(), 5, "off", 1.7);
    const { evaporationLPerDay } = world.durable;
    expect(evaporationLPerDay).toBeGreaterThan(1.5);
    world.settings = { ...WITH_FAN, topOff: { ...WITH_FAN.topOff, fan: { ...FAN, evaporationLPerDay: 2.5 } } };
    world.minute();
    expect(world.durable.withFan.evaporationLPerDay).toBe(2.5);
    expect(world.durable.evaporationLPerDay).toBe(evaporationLPerDay);
  });

  it("is the one that holds now where it is shown", () => {
    const world = worldWithFan();
    expect(world.status.evaporationLPerDay?.value).toBe(1.5);
    world.extra = { fan: "on" };
    world.minute();
    expect(world.status.evaporationLPerDay?.value).toBe(3);
    expect(world.status.airLPerDay).toBeNull();
  });
});

describe("the ledger on a hot day", () => {
  it("believes in evaporation only, where without the setting it has to ask what became of the water", () => {
    const known = days(days(worldWithFan(), 3, "off", 1.5), 2, "on", 3);
    expect(known.status.belief).toBe("evaporation-only");
    const world = days(new LedgerWorld(), 3, "off", 1.5);
    expect(days(world, 2, "off", 3).status.belief).toBe("more-evaporation-or-weaker-pump");
  });

  it("still finds water that leaves while the fan blows", () => {
    const world = days(days(worldWithFan(), 3, "off", 1.5), 1, "on", 3);
    world.ways.leak = 1.5;
    world.run(36);
    expect(world.status.belief).toBe("fresh-water-or-salt-leaving");
  });

  test("the reservoir lasts for as long as it will with the fan as it is now", () => {
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
