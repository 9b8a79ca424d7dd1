import { describe, expect, it } from "vitest";
import { FIXED_SEED } from "../campaign.ts";
import { HEALTHY_CAMPAIGN } from "./campaign.ts";
import type { JudgedHealthyWeek } from "./judge.ts";
import { healthyTable } from "./table.ts";
import { healthyWeekOf, WEEK_H } from "./weeks.ts";

describe("a healthy week", () => {
  const weeks = Array.from({ length: 200 }, (_, week) => healthyWeekOf(FIXED_SEED, week));

  it("same number and seed: the same week; another seed: another", () => {
    expect(healthyWeekOf(7, 11)).toEqual(healthyWeekOf(7, 11));
    expect(healthyWeekOf(7, 11).scenario).not.toEqual(healthyWeekOf(8, 11).scenario);
  });

  it("200 weeks: no fault in any", () => {
    expect(weeks.filter(({ scenario }) => scenario.faults.length > 0)).toEqual([]);
  });

  it("every week: return pump rests 10 min a day, one water change, refills", () => {
    for (const { scenario } of weeks) {
      const [rest] = scenario.hands.filter((hand) => hand.do === "return-pump-rest");
      expect(rest).toMatchObject({ minutes: 10, everyH: 24 });
      expect(scenario.hands.filter((hand) => hand.do === "water-change")).toHaveLength(1);
      expect(scenario.hands.filter((hand) => hand.do === "refill").length).toBeGreaterThan(0);
      expect(scenario.hours).toBe(WEEK_H);
    }
  });

  it("200 weeks: rooms of 16 to 30 °C, boxes under 60 L and over 250 L, with and without probe, fan, some parts", () => {
    const marks = weeks.map(({ marks: each }) => each);
    const rooms = marks.map(({ roomC }) => roomC);
    expect(Math.min(...rooms)).toBeGreaterThanOrEqual(16);
    expect(Math.min(...rooms)).toBeLessThan(17);
    expect(Math.max(...rooms)).toBeGreaterThan(29);
    expect(Math.max(...rooms)).toBeLessThanOrEqual(30);
    const volumes = marks.map(({ volumeL }) => volumeL);
    expect(Math.min(...volumes)).toBeLessThan(60);
    expect(Math.max(...volumes)).toBeGreaterThan(250);
    for (const of of ["probe", "fan", "everyPart"] as const) {
      expect(new Set(marks.map((each) => each[of])).size, of).toBe(2);
    }
    expect(new Set(marks.map(({ rest, change }) => `${rest} ${change}`)).size).toBe(4);
  });
});

const judged = (week: number, more: Partial<JudgedHealthyWeek> = {}): JudgedHealthyWeek => ({
  week,
  campaignSeed: 1,
  digest: "",
  cpuS: 1,
  marks: {
    volumeL: 140,
    roomC: 22,
    probe: true,
    fan: false,
    everyPart: true,
    rest: "told",
    change: "told",
  },
  box: "140 L",
  hours: WEEK_H,
  ours: { salinity: 0.1, kelvin: 0.2 },
  bare: { salinity: 0.1, kelvin: 0.2 },
  alarms: [],
  asks: [],
  throttledH: 0,
  locks: [],
  spilledL: 0,
  broken: [],
  ...more,
});

describe("the table of healthy weeks", () => {
  it("three weeks, one locked: middle and worst of each side, alarms, asks, weeks that broke a promise", () => {
    const loud = { id: "top-off-locked", priority: "medium", raisedAtH: 5, clearedAtH: null } as const;
    const weeks = [
      judged(0),
      judged(1, { ours: { salinity: 2, kelvin: 1 } }),
      judged(2, {
        marks: { ...judged(2).marks, probe: false },
        ours: { salinity: 0.3, kelvin: 0.4 },
        alarms: [loud],
        asks: [
          { atH: 5, what: "top-off-locked" },
          { atH: 9, what: "reservoir-low" },
        ],
        locks: ["excess-litres"],
        broken: [{ promise: "H1", atH: 5, what: "locked: excess-litres" }],
      }),
    ];
    const lines = healthyTable(weeks);
    const row = (name: string) =>
      lines
        .find((line) => line.startsWith(name))
        ?.split(/ {2,}/)
        .slice(1);
    expect(row("all ")).toEqual(
      ["3", "0.30 / 0.10", "2.00 / 0.10", "0.40 / 0.20", "1.00 / 0.20", "0.00", "0.33", "0.00", "0.33"].concat([
        ...["1", "0.33", "0.00", "1", "1", "0", "0"],
      ]),
    );
    expect(row("with a conductivity probe")?.[0]).toBe("2");
    expect(row("without one")?.slice(-4)).toEqual(["1", "1", "0", "0"]);
    expect(lines.at(-1)).toBe("  excess-litres: 1");
  });
});

describe("a healthy campaign", () => {
  it("broken promise or wet floor: failed, with its command; neither: not", () => {
    expect(HEALTHY_CAMPAIGN.failureOf(judged(0))).toBeNull();
    const broken = { promise: "H3", atH: 0, what: "salinity over 2.29 in the week from 0 h" } as const;
    expect(HEALTHY_CAMPAIGN.failureOf(judged(4, { broken: [broken] }))).toContain(
      "npm run campaign -- --healthy --week 4 --seed 1",
    );
    expect(HEALTHY_CAMPAIGN.failureOf(judged(0, { spilledL: 0.2 }))).toContain("0.20 L on the floor");
  });

  it("two loud alarms in a hundred weeks: held; three: broken", () => {
    const loud = { id: "float-chattering", priority: "medium", raisedAtH: 5, clearedAtH: null } as const;
    const weeks = Array.from({ length: 100 }, (_, week) => judged(week, week < 2 ? { alarms: [loud] } : {}));
    expect(HEALTHY_CAMPAIGN.brokenTogether(weeks)).toEqual([]);
    expect(HEALTHY_CAMPAIGN.brokenTogether([...weeks.slice(1), judged(0, { alarms: [loud, loud] })])).toHaveLength(1);
  });
});
