import { beforeAll, describe, expect, it } from "vitest";
import { FAULT_KINDS, isOfFan } from "../../../controller/rehearsal/faults/table.ts";
import { rehearsalSettings } from "../../../shared/settings/index.ts";
import { liveAllKnowing } from "../all-knowing.ts";
import { FIXED_SEED, FIXED_WEEKS } from "../campaign.ts";
import { liveOnAllCores } from "../cores.ts";
import { WHOLE, weeksOf } from "../shares.ts";
import { EXCUSES, excusesFor } from "./excuses.ts";
import { floodOf, type HarmKind, type HarmWatch, watchHarm } from "./harm.ts";
import { isAsBad, type JudgedFaultWeek, liveWeek } from "./judge.ts";
import { FAULT_SHAPES, shapeName, type Week, weekOf } from "./weeks.ts";

/** The same weeks on every commit; `npm run campaign -- --weeks N --seed S` lives others. */
const WEEKS = FIXED_WEEKS.faults;
const LASTS_MS = 1_800_000;

describe(`a campaign of ${WEEKS} fixed weeks with one or two faults`, () => {
  let judged: readonly JudgedFaultWeek[] = [];
  beforeAll(async () => {
    judged = await liveOnAllCores<JudgedFaultWeek>("faults", FIXED_SEED, weeksOf(WEEKS, WHOLE));
  }, LASTS_MS);

  it("breaks no invariant", () => {
    const broken = judged.filter(({ violations }) => violations.length > 0);
    expect(
      broken.map(({ week, violations }) => ({
        replay: `npm run campaign -- --week ${week} --seed ${FIXED_SEED}`,
        violations,
      })),
    ).toEqual([]);
  });

  it(
    "lives a week again to the same bytes, whoever asks for it",
    () => {
      const { cpuS: _once, ...once } = judged[0] as JudgedFaultWeek;
      const { cpuS: _again, ...again } = liveWeek(FIXED_SEED, 0).judged;
      expect(again).toEqual(once);
    },
    LASTS_MS,
  );
});

describe("a week", () => {
  it("needs nothing but its number and the campaign's seed", () => {
    expect(weekOf(7, 11)).toEqual(weekOf(7, 11));
    expect(weekOf(7, 11).scenario).not.toEqual(weekOf(8, 11).scenario);
  });

  it("of every kind of fault that can be rehearsed comes in its turn", () => {
    const kinds = new Set<string>();
    for (let week = 0; week < FAULT_SHAPES.length * 2; week++) {
      const { faults, scenario } = weekOf(5, week);
      if (faults.length === 1) for (const { kind } of scenario.faults) kinds.add(kind);
    }
    expect(FAULT_KINDS.map(({ kind }) => kind).filter((kind) => !kinds.has(kind))).toEqual([]);
  });

  it("has a keeper who measures once and fills up in time, and what was commissioned is within two fifths", () => {
    for (let week = 0; week < 60; week++) {
      const { scenario } = weekOf(3, week);
      expect(scenario.hands.filter((hand) => hand.do === "hand-test")).toHaveLength(1);
      expect(scenario.hands.filter((hand) => hand.do === "refill").length).toBeGreaterThan(0);
    }
  });

  it("has boxes of many sizes, with and without each part that a box may lack", () => {
    const weeks = Array.from({ length: 120 }, (_, week) => weekOf(3, week).scenario);
    const volumes = weeks.map(({ settings }) => (settings.tank as { netVolumeL: number }).netVolumeL);
    expect(Math.min(...volumes)).toBeLessThan(60);
    expect(Math.max(...volumes)).toBeGreaterThan(250);
    const without = new Set(weeks.flatMap(({ settings }) => settings.without));
    expect(without.size).toBe(9);
    expect(weeks.some(({ settings }) => "secondHeater" in (settings.heat as object))).toBe(true);
  });

  it("never lacks the part that breaks in it, nor a fan that does", () => {
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
  it("names a fault that there is", () => {
    for (const { kind } of EXCUSES) expect(FAULT_KINDS.some((known) => known.kind === kind)).toBe(true);
  });

  it("lets rules stop nothing but where water is seen, or no float shows the level, and then only salt rises", () => {
    const stopped = EXCUSES.filter(({ by }) => by === "stopped");
    expect(stopped.map(({ kind, part, choice }) => [kind, part?.join(), choice])).toEqual([
      ["float-stuck", "high-float", "wet"],
      ["float-stuck", "working-float", "wet"],
      ["shared-cable-short", undefined, undefined],
      ["reports-frozen", undefined, undefined],
    ]);
    for (const { harms } of stopped) expect(harms).toEqual(["salty", "level"]);
  });

  it("is given for no flood of alarms", () => {
    expect(EXCUSES.filter(({ harms }) => harms.includes("flood"))).toEqual([]);
  });

  it("reaches two days beyond the fault, and no further", () => {
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
    ["level", 0, 61, false],
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
  it.each(rows)("of %s, %d there and %d here: excused %s", (harm, best, ours, excused) => {
    expect(isAsBad(bestOf(harm, best), { harm, atH: 1, worst: ours })).toBe(excused);
  });

  it("of fresh water, with a margin of 1.1 beside a hand that escapes: -2.9 is excused, -3.2 is not", () => {
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
  it("is more than 24 loud ones in a day, from the 25th on", () => {
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

  it("is not misled by floats and probes", () => {
    const misleading = { kind: "float-stuck", part: "working-float", value: "dry", atH: 0 };
    expect(harmsOf(misleading, 24, still)).toEqual([]);
    expect(harmsOf({ kind: "probe-offset", part: "thermometer-1", value: 20, atH: 0 }, 24, still)).toEqual([]);
  });

  it("cannot hold a siphon, nor heat without a heater", () => {
    expect(harmsOf({ kind: "siphon", value: 1, atH: 0 }, 24, still)).toContain("fresh");
    expect(harmsOf({ kind: "heater-dead", part: "heater-1", value: undefined, atH: 0 }, 72, still)).toContain("cold");
  });

  it("lets no pump and no heater run dry, and cannot keep a leaking box full", () => {
    expect(harmsOf({ kind: "reservoir-empty", atH: 0 }, 30, still)).not.toContain("pump-dry");
    expect(harmsOf({ kind: "heater-uncovered", part: "heater-1", atH: 0 }, 6, still)).not.toContain("heater-dry");
    expect(harmsOf({ kind: "tank-leak", value: 5, atH: 0 }, 12, still)).toContain("level");
  });
});

describe("the names of shapes", () => {
  it("are different for each", () => {
    const names = FAULT_SHAPES.map(shapeName);
    expect(new Set(names).size).toBe(names.length);
  });
});
