import { beforeAll, describe, expect, it } from "vitest";
import { FAULT_KINDS } from "../../controller/rehearsal/faults/table.ts";
import { rehearsalSettings } from "../../shared/settings/index.ts";
import { seedOfCommit } from "../explore/commit-seed.ts";
import { liveAllKnowing } from "./all-knowing.ts";
import { runCampaign } from "./campaign.ts";
import { EXCUSES } from "./excuses.ts";
import { type HarmKind, type HarmWatch, watchHarm } from "./harm.ts";
import { isAsBad, type JudgedWeek, liveWeek } from "./judge.ts";
import { FAULT_SHAPES, type Week, weekOf } from "./weeks.ts";

/** Another sixty weeks for every commit, the same for the same commit; `SEED` and `WEEKS` choose others. */
const SEED = Number(process.env.SEED ?? seedOfCommit());
const WEEKS = Number(process.env.WEEKS ?? 60);
const LASTS_MS = 1_800_000;

describe(`a campaign of ${WEEKS} weeks, seed ${SEED}`, () => {
  let judged: readonly JudgedWeek[] = [];
  beforeAll(async () => {
    judged = await runCampaign(WEEKS, SEED);
  }, LASTS_MS);

  it("every week, one fault or two: no violation", () => {
    const broken = judged.filter(({ violations }) => violations.length > 0);
    expect(
      broken.map(({ week, violations }) => ({
        replay: `npm run campaign -- --week ${week} --seed ${SEED}`,
        violations,
      })),
    ).toEqual([]);
  });

  it("every week: no harm beyond what its faults excuse, and that told", () => {
    const failed = judged.filter((each) => each.failed);
    expect(
      failed.map(({ week, faults, ours }) => ({
        replay: `npm run campaign -- --week ${week} --seed ${SEED}`,
        faults,
        harms: ours.harms,
      })),
    ).toEqual([]);
  });

  it(
    "week 0 judged twice: the same",
    () => {
      const { cpuS: _once, ...once } = judged[0] as JudgedWeek;
      const { cpuS: _again, ...again } = liveWeek(SEED, 0).judged;
      expect(again).toEqual(once);
    },
    LASTS_MS,
  );
});

describe("a week of the campaign", () => {
  it("seed 7, week 11 drawn twice: the same; seed 8: another", () => {
    expect(weekOf(7, 11)).toEqual(weekOf(7, 11));
    expect(weekOf(7, 11).scenario).not.toEqual(weekOf(8, 11).scenario);
  });

  it("one-fault weeks of two rounds: every kind of fault among them", () => {
    const kinds = new Set<string>();
    for (let week = 0; week < FAULT_SHAPES.length * 2; week++) {
      const { faults, scenario } = weekOf(5, week);
      if (faults.length === 1) for (const { kind } of scenario.faults) kinds.add(kind);
    }
    expect(FAULT_KINDS.map(({ kind }) => kind).filter((kind) => !kinds.has(kind))).toEqual([]);
  });
});

describe("excuses", () => {
  it("each names a kind of fault; those by rules excuse salt and two kinds of cold", () => {
    for (const { kind } of EXCUSES) expect(FAULT_KINDS.some((known) => known.kind === kind)).toBe(true);
    const byRules = EXCUSES.filter(({ by, harms }) => by === "rules" && harms.join() !== "salty");
    expect(byRules.map(({ kind, part, harms }) => [kind, part?.join(), harms.join()])).toEqual([
      ["return-pump-stopped", undefined, "cold"],
      ["relay-welded", "heater-1", "cold"],
    ]);
  });
});

describe("harm that the best hand suffers too", () => {
  type Row = [HarmKind, best: number, ours: number, excused: boolean];
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
  ];
  it.each(rows)("%s, %d there and %d here: excused %s", (harm, best, ours, excused) => {
    const limit = { floor: 0.001, fresh: -2, salty: 2, cold: 20, hot: 30 }[harm];
    const isHarm = harm === "fresh" || harm === "cold" ? best < limit : best > limit;
    const watch: HarmWatch = {
      look: () => undefined,
      harms: () => (isHarm ? [{ harm, atH: 1, worst: best }] : []),
      furthest: () => ({ floor: 0, fresh: 0, salty: 0, cold: 25, hot: 25, [harm]: best }),
    };
    expect(isAsBad(watch, { harm, atH: 1, worst: ours })).toBe(excused);
  });
});

describe("the best hand, which knows the water", () => {
  const settings = rehearsalSettings();
  const harmsOf = (fault: object, hours: number, room: object = {}) => {
    const watch = watchHarm(35, settings.scanMs);
    const scenario = { ...weekOf(1, 0).scenario, hours, faults: [fault], hands: [], ...room } as Week["scenario"];
    liveAllKnowing(scenario, { seed: 1, settings, watch: watch.look });
    return watch.harms().map(({ harm }) => harm);
  };
  const still = { start: { salinity: 35 }, room: { temperatureC: 18, swingC: 0, humidityPct: 50 } };

  it("working float stuck dry, or a thermometer 20 K too warm, 24 h: no harm", () => {
    const misleading = { kind: "float-stuck", part: "working-float", value: "dry", atH: 0 };
    expect(harmsOf(misleading, 24, still)).toEqual([]);
    expect(harmsOf({ kind: "probe-offset", part: "thermometer-1", value: 20, atH: 0 }, 24, still)).toEqual([]);
  });

  it("siphon of 1 L/min: fresh; heater dead for 72 h: cold", () => {
    expect(
      harmsOf({ kind: "siphon", value: 1, atH: 0 }, 24, { ...still, settings: { topOff: { reservoirL: 10 } } }),
    ).toContain("fresh");
    expect(harmsOf({ kind: "heater-dead", part: "heater-1", value: undefined, atH: 0 }, 72, still)).toContain("cold");
  });
});
