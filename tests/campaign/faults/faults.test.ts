import { describe, expect, it } from "vitest";
import { FAULT_KINDS, isOfFan } from "../../../controller/rehearsal/faults/table.ts";
import { rehearsalSettings } from "../../../shared/settings/index.ts";
import { liveAllKnowing } from "../all-knowing.ts";
import { EXCUSES, excusesFor } from "./excuses.ts";
import { floodOf, type HarmKind, type HarmWatch, watchHarm } from "./harm.ts";
import { isAsBad } from "./judge.ts";
import { FAULT_SHAPES, shapeName, type Week, weekOf } from "./weeks.ts";

describe("a week with faults", () => {
  it("same number and seed: the same week; another seed: another", () => {
    expect(weekOf(7, 11)).toEqual(weekOf(7, 11));
    expect(weekOf(7, 11).scenario).not.toEqual(weekOf(8, 11).scenario);
  });

  it("two rounds of all shapes: every kind of fault comes alone", () => {
    const kinds = new Set<string>();
    for (let week = 0; week < FAULT_SHAPES.length * 2; week++) {
      const { faults, scenario } = weekOf(5, week);
      if (faults.length === 1) for (const { kind } of scenario.faults) kinds.add(kind);
    }
    expect(FAULT_KINDS.map(({ kind }) => kind).filter((kind) => !kinds.has(kind))).toEqual([]);
  });

  it("sixty weeks: one measurement in each, refills in each", () => {
    for (let week = 0; week < 60; week++) {
      const { scenario } = weekOf(3, week);
      expect(scenario.hands.filter((hand) => hand.do === "hand-test")).toHaveLength(1);
      expect(scenario.hands.filter((hand) => hand.do === "refill").length).toBeGreaterThan(0);
    }
  });

  it("120 weeks: boxes under 60 L and over 250 L, each part left out somewhere, two heaters somewhere", () => {
    const weeks = Array.from({ length: 120 }, (_, week) => weekOf(3, week).scenario);
    const volumes = weeks.map(({ settings }) => (settings.tank as { netVolumeL: number }).netVolumeL);
    expect(Math.min(...volumes)).toBeLessThan(60);
    expect(Math.max(...volumes)).toBeGreaterThan(250);
    const without = new Set(weeks.flatMap(({ settings }) => settings.without));
    expect(without.size).toBe(9);
    expect(weeks.some(({ settings }) => "secondHeater" in (settings.heat as object))).toBe(true);
  });

  it("two rounds of all shapes: what breaks is fitted, a fan that breaks too", () => {
    for (let week = 0; week < FAULT_SHAPES.length * 2; week++) {
      const { scenario } = weekOf(9, week);
      for (const { kind, part } of scenario.faults) {
        expect(scenario.settings.without).not.toContain(part);
        if (isOfFan(kind)) expect(scenario.settings.topOff).toHaveProperty("fan");
      }
    }
  });
});

describe("an excuse", () => {
  it("every row: names a fault that there is", () => {
    for (const { kind } of EXCUSES) expect(FAULT_KINDS.some((known) => known.kind === kind)).toBe(true);
  });

  it("rows that stop: high float wet, working float wet, both floats, frozen reports; salt and level alone", () => {
    const stopped = EXCUSES.filter(({ by }) => by === "stopped");
    expect(stopped.map(({ kind, part, choice }) => [kind, part?.join(), choice])).toEqual([
      ["float-stuck", "high-float", "wet"],
      ["float-stuck", "working-float", "wet"],
      ["shared-cable-short", undefined, undefined],
      ["reports-frozen", undefined, undefined],
    ]);
    for (const { harms } of stopped) expect(harms).toEqual(["salty", "level"]);
  });

  it("a flood of alarms: no row", () => {
    expect(EXCUSES.filter(({ harms }) => harms.includes("flood"))).toEqual([]);
  });

  it("fault from 10 h to 20 h: excused from 10 h to 68 h", () => {
    const at = (atH: number) =>
      excusesFor(
        { ...weekOf(1, 0).scenario, faults: [{ kind: "relay-dead", part: "top-off-pump", atH: 10, untilH: 20 }] },
        "salty",
        atH,
      ).length;
    expect([at(9), at(10), at(68), at(69)]).toEqual([0, 1, 1, 0]);
  });
});

describe("what comes to the best hand too", () => {
  type Row = [HarmKind, best: number, ours: number, excused: boolean];
  const LIMITS: Readonly<Record<HarmKind, number>> = {
    floor: 0.001,
    fresh: -2,
    salty: 2,
    cold: 20,
    hot: 30,
    level: 60,
    "pump-dry": 60,
    "heater-dry": 60,
    flood: 24,
  };
  const rows: Row[] = [
    ["fresh", -2.3, -2.7, true],
    ["fresh", -2.3, -2.9, false],
    ["fresh", -1.95, -2.02, true],
    ["fresh", -1.95, -2.1, false],
    ["cold", 19.5, 18.6, true],
    ["cold", 20.1, 19.95, true],
    ["cold", 20.1, 19.8, false],
    ["floor", 3, 3.2, true],
    ["floor", 0, 0.01, false],
    ["pump-dry", 0, 61, false],
    ["heater-dry", 100, 150, true],
    ["level", 0, 719, true],
    ["level", 0, 721, false],
    ["level", 4000, 6000, true],
    ["flood", 30, 30, false],
  ];
  const bestOf = (harm: HarmKind, best: number): HarmWatch => {
    const isHarm = harm === "fresh" || harm === "cold" ? best < LIMITS[harm] : best > LIMITS[harm];
    return {
      look: () => undefined,
      harms: () => (isHarm ? [{ harm, atH: 1, worst: best }] : []),
      furthest: () => ({ ...LIMITS, [harm]: best }),
      halfAtH: () => null,
      evaporatedL: () => 0,
    };
  };
  it.each(rows)("%s, %d there and %d here: excused %s", (harm, best, ours, excused) => {
    expect(isAsBad(bestOf(harm, best), { harm, atH: 1, worst: ours })).toBe(excused);
  });

  it("fresh, -1.9 there, margin 1.1: -2.9 excused, -3.2 not", () => {
    expect(isAsBad(bestOf("fresh", -1.9), { harm: "fresh", atH: 1, worst: -2.9 }, 1.1)).toBe(true);
    expect(isAsBad(bestOf("fresh", -1.9), { harm: "fresh", atH: 1, worst: -3.2 }, 1.1)).toBe(false);
  });
});

describe("a flood of alarms", () => {
  const alarms = (count: number, everyH: number, priority: "low" | "medium" = "medium") =>
    Array.from({ length: count }, (_, place) => ({
      id: "float-chattering",
      priority,
      raisedAtH: place * everyH,
      clearedAtH: null,
    }));
  it("24 loud ones in half a day: none; the 25th: flood; low ones: none", () => {
    expect(floodOf(alarms(24, 0.5))).toEqual([]);
    expect(floodOf(alarms(30, 0.5))).toEqual([{ harm: "flood", atH: 12, worst: 30 }]);
    expect(floodOf(alarms(100, 1.1))).toEqual([]);
    expect(floodOf(alarms(100, 0.5, "low"))).toEqual([]);
  });
});

describe("the hand that knows the water", () => {
  const settings = rehearsalSettings();
  const harmsOf = (fault: object, hours: number, more: object = {}) => {
    const watch = watchHarm(35, settings.scanMs);
    const scenario = {
      ...weekOf(1, 0).scenario,
      settings: { without: [] },
      hours,
      faults: [fault],
      hands: [],
      ...more,
    } as unknown as Week["scenario"];
    liveAllKnowing(scenario, { seed: 1, settings, watch: watch.look });
    return watch.harms().map(({ harm }) => harm);
  };
  const still = { start: { salinity: 35 }, room: { temperatureC: 18, swingC: 0, humidityPct: 50 } };

  it("working float stuck dry, thermometer 20 K warm: no harm", () => {
    const misleading = { kind: "float-stuck", part: "working-float", value: "dry", atH: 0 };
    expect(harmsOf(misleading, 24, still)).toEqual([]);
    expect(harmsOf({ kind: "probe-offset", part: "thermometer-1", value: 20, atH: 0 }, 24, still)).toEqual([]);
  });

  it("siphon: fresh; heater dead in a room of 18 °C: cold", () => {
    expect(harmsOf({ kind: "siphon", value: 1, atH: 0 }, 24, still)).toContain("fresh");
    expect(harmsOf({ kind: "heater-dead", part: "heater-1", value: undefined, atH: 0 }, 72, still)).toContain("cold");
  });

  it("empty reservoir, uncovered heater: nothing runs dry; leak of 5 L/h: level", () => {
    expect(harmsOf({ kind: "reservoir-empty", atH: 0 }, 30, still)).not.toContain("pump-dry");
    expect(harmsOf({ kind: "heater-uncovered", part: "heater-1", atH: 0 }, 6, still)).not.toContain("heater-dry");
    expect(harmsOf({ kind: "tank-leak", value: 5, atH: 0 }, 12, still)).toContain("level");
  });
});

describe("the names of shapes", () => {
  it("every shape: a name of its own", () => {
    const names = FAULT_SHAPES.map(shapeName);
    expect(new Set(names).size).toBe(names.length);
  });
});
