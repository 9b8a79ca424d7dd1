import { describe, expect, it } from "vitest";
import { CONDITIONS } from "../../controller/alarms/list.ts";
import type { Report } from "../../controller/rehearsal/index.ts";
import { rarelyAsks } from "./checkers/asks.ts";
import { besideBareParts } from "./checkers/beside-bare-parts.ts";
import { mishap } from "./checkers/mishap.ts";
import { noSilence } from "./checkers/no-silence.ts";
import { oneSensor } from "./checkers/one-sensor.ts";
import { throttleBroken } from "./checkers/throttle-cost.ts";
import { ANYWHERE, wholeBox, wholeBoxWithoutProbe } from "./checkers/whole-box.ts";
import type { Life, Sample } from "./life.ts";
import { RIGHT_ALARMS } from "./right-alarms.ts";

/** Made-up lives: each checker sees one that breaks its promise, and the same one with the break taken out. */
interface MadeUp {
  readonly hours?: number;
  readonly salinity?: (atH: number) => number;
  readonly celsius?: (atH: number) => number;
  readonly throttledH?: (atH: number) => number;
  readonly alarms?: readonly (readonly [id: string, priority: "low" | "medium" | "high", raisedAtH: number])[];
  readonly locks?: readonly [reason: string, atH: number][];
  readonly asks?: readonly [what: string, atH: number][];
}

const LITRES_PER_DAY = 1.5;

function life({ hours = 168, salinity, celsius, throttledH, alarms = [], locks = [], asks = [] }: MadeUp = {}): Life {
  const samples: Sample[] = Array.from({ length: hours + 1 }, (_, atH) => ({
    atH,
    salinity: salinity?.(atH) ?? 35,
    celsius: celsius?.(atH) ?? 25,
    evaporatedL: (LITRES_PER_DAY / 24) * atH,
    throttledH: throttledH?.(atH) ?? 0,
  }));
  return {
    hours,
    setpointC: 25,
    volumeL: 140,
    samples,
    alarms: alarms.map(([id, priority, raisedAtH]) => ({
      id,
      priority,
      raisedAtH,
      clearedAtH: null,
    })) as Report["alarms"],
    lockouts: locks.map(([reason, atH]) => ({ reason, atH })),
    asks: asks.map(([what, atH]) => ({ what, atH })),
  };
}

const from = (hour: number, value: number, otherwise: number) => (atH: number) => (atH >= hour ? value : otherwise);
/** What evaporates and is not put back raises 35 by some 0.375 a day. */
const rising = (hour: number, share: number) => (atH: number) => 35 + Math.max(0, atH - hour) * (0.3791 / 24) * share;
const words = (broken: readonly { readonly atH: number; readonly what: string }[]) =>
  broken.map(({ atH, what }) => `${atH}: ${what}`);

describe("H1, a box in which nothing fails", () => {
  it("±0.29, ±0.49 K and a low alarm: held", () => {
    const quiet = life({
      salinity: (atH) => (atH === 0 ? 35 : from(50, 35.29, 34.71)(atH)),
      celsius: from(50, 25.49, 24.51),
      alarms: [["reservoir-low", "low", 90]],
    });
    expect(wholeBox(quiet, ANYWHERE)).toEqual([]);
  });

  const rows: [what: string, made: MadeUp, broken: string][] = [
    ["a lock", { locks: [["excess-litres", 30]] }, "30: locked: excess-litres"],
    ["a medium alarm", { alarms: [["top-off-locked", "medium", 31]] }, "31: alarm top-off-locked (medium)"],
    [
      "the same alarm three times",
      { alarms: [5, 7, 9].map((atH) => ["float-chattering", "medium", atH] as const) },
      "5: alarm float-chattering (medium), 3 times",
    ],
    ["a high alarm", { alarms: [["floor-wet", "high", 32]] }, "32: alarm floor-wet (high)"],
    ["throttled for an hour", { throttledH: from(33, 1, 0) }, "33: throttled"],
    ["saltier by 0.31", { salinity: from(34, 35.31, 35) }, "34: salinity 35.31, 35.00 at the start"],
    ["fresher by 0.31", { salinity: from(35, 34.69, 35) }, "35: salinity 34.69, 35.00 at the start"],
    ["warmer by 0.51 K", { celsius: from(36, 25.51, 25) }, "36: 25.51 °C, within 24.50 to 25.50 is in reach"],
    ["colder by 0.51 K", { celsius: from(37, 24.49, 25) }, "37: 24.49 °C, within 24.50 to 25.50 is in reach"],
  ];
  it.each(rows)("%s: broken, and without it not", (_, made, broken) => {
    expect(words(wholeBox(life(made), ANYWHERE))).toEqual([broken]);
    expect(wholeBox(life(), ANYWHERE)).toEqual([]);
  });

  it("best hand at 28 °C: 28.15 °C held, 28.25 °C broken", () => {
    const reach = { lowestC: 24.9, highestC: 28 };
    expect(wholeBox(life({ celsius: from(10, 28.15, 25) }), reach)).toEqual([]);
    expect(wholeBox(life({ celsius: from(10, 28.25, 25) }), reach)).toHaveLength(1);
  });
});

describe("H2, a box without a conductivity probe", () => {
  const hours = 28 * 24;
  it("throttled after 21 days: held at 0.44 of what evaporates, broken at 0.6", () => {
    const throttled = { hours, throttledH: from(510, 1, 0), salinity: rising(510, 0.44) };
    expect(wholeBoxWithoutProbe(life(throttled), ANYWHERE)).toEqual([]);
    expect(wholeBoxWithoutProbe(life({ ...throttled, salinity: rising(510, 0.6) }), ANYWHERE)).toHaveLength(1);
  });

  it("throttled on the 20th day, locked on the 25th: broken", () => {
    expect(wholeBoxWithoutProbe(life({ hours, throttledH: from(480, 1, 0) }), ANYWHERE)).toHaveLength(1);
    expect(wholeBoxWithoutProbe(life({ hours, locks: [["excess-litres", 600]] }), ANYWHERE)).toHaveLength(1);
  });
});

describe("H3, beside bare parts", () => {
  const bare = life({ salinity: from(50, 35.1, 35), celsius: from(50, 25.4, 25) });
  it("0.19 of salinity and 0.29 K more than theirs: held", () => {
    expect(besideBareParts(life({ salinity: from(9, 35.29, 35), celsius: from(9, 25.69, 25) }), bare)).toEqual([]);
  });

  it("0.21 of salinity or 0.31 K more than theirs: broken", () => {
    expect(besideBareParts(life({ salinity: from(9, 35.31, 35) }), bare)).toHaveLength(1);
    expect(besideBareParts(life({ celsius: from(9, 25.71, 25) }), bare)).toHaveLength(1);
  });

  it("drift of 0.5 over three weeks: held; jump of 0.3 in the third: broken there", () => {
    const still = life({ hours: 504 });
    expect(besideBareParts(life({ hours: 504, salinity: (atH) => 35 + atH * 0.001 }), still)).toEqual([]);
    expect(besideBareParts(life({ hours: 504, salinity: from(400, 35.3, 35) }), still).map(({ atH }) => atH)).toEqual([
      336,
    ]);
  });

  it("throttled week after the days of H2: left out; without those days: broken", () => {
    const throttled = life({ hours: 672, throttledH: from(510, 1, 0), salinity: from(520, 35.5, 35) });
    expect(besideBareParts(throttled, life({ hours: 672 }), 504)).toEqual([]);
    expect(besideBareParts(throttled, life({ hours: 672 }))).toHaveLength(1);
  });
});

describe("H4, what somebody forgot", () => {
  const twice: MadeUp["alarms"] = [
    ["hold-question", "medium", 20],
    ["top-off-withheld", "medium", 40],
  ];
  it("0.29 before the second word, then throttling: held", () => {
    expect(mishap(life({ alarms: twice, salinity: (atH) => Math.min(35.29, rising(10, 0.6)(atH)) }), 10)).toEqual([]);
    expect(mishap(life({ salinity: from(30, 35.29, 35) }), 10)).toEqual([]);
  });

  const rows: [what: string, made: MadeUp][] = [
    ["0.31 before the second word", { alarms: twice, salinity: from(39, 35.31, 35) }],
    ["0.31 and only one word", { alarms: [["hold-question", "medium", 20]], salinity: from(39, 34.69, 35) }],
    ["more than throttling costs after the second word", { alarms: twice, salinity: rising(40, 0.9) }],
  ];
  it.each(rows)("%s: broken", (_, made) => {
    expect(mishap(life(made), 10)).toHaveLength(1);
  });

  it("two words before the mishap: not counted", () => {
    const early: MadeUp["alarms"] = [
      ["reservoir-low", "low", 1],
      ["reservoir-empty", "medium", 2],
    ];
    expect(mishap(life({ alarms: early, salinity: from(39, 35.31, 35) }), 10)).toHaveLength(1);
  });
});

describe("what throttling may cost", () => {
  it("0.45 of what evaporates once learned, 0.65 before: held; more: broken", () => {
    expect(throttleBroken("H6", life({ salinity: rising(0, 0.45) }), 0, "learned")).toEqual([]);
    expect(throttleBroken("H6", life({ salinity: rising(0, 0.64) }), 0, "learned")).toHaveLength(1);
    expect(throttleBroken("H6", life({ salinity: rising(0, 0.64) }), 0, "not-learned")).toEqual([]);
    expect(throttleBroken("H6", life({ salinity: rising(0, 0.8) }), 0, "not-learned")).toHaveLength(1);
  });
});

describe("H5, how often a healthy box asks", () => {
  const quiet = Array.from({ length: 100 }, () => life({ asks: [["reservoir-low", 50]] }));
  const loud = life({ alarms: [["float-chattering", "medium", 5]] });
  it("two loud alarms in a hundred weeks: held; three: broken", () => {
    expect(rarelyAsks([...quiet, loud, loud])).toEqual([]);
    expect(rarelyAsks([...quiet, loud, loud, loud])).toHaveLength(1);
  });

  it("four refills and one other ask in a week: held; a second other ask: broken", () => {
    const refills: MadeUp["asks"] = [10, 40, 70, 100].map((atH) => ["reservoir-low", atH]);
    const once: MadeUp["asks"] = [...refills, ["high-float-proof-due", 20]];
    expect(rarelyAsks([life({ asks: once })])).toEqual([]);
    expect(words(rarelyAsks([life({ asks: [...once, ["hold-question", 90]] })]))).toEqual([
      "90: asked twice in a week: high-float-proof-due, hold-question",
    ]);
  });

  it("second other ask a week later: held", () => {
    const asks: MadeUp["asks"] = [
      ["high-float-proof-due", 20],
      ["hold-question", 189],
    ];
    expect(rarelyAsks([life({ hours: 336, asks })])).toEqual([]);
  });
});

describe("H6, one failed sensor", () => {
  const told: MadeUp["alarms"] = [["thermometer-failed", "medium", 10.5]];
  const tells = ["thermometer-failed"];
  const whole = life();

  it("one of a pair: told within the hour and water as before held; late, untold, wrongly told or changed broken", () => {
    const sensor = { place: "spare", atH: 10, tells } as const;
    expect(oneSensor(life({ alarms: told }), whole, sensor)).toEqual([]);
    expect(words(oneSensor(life(), whole, sensor))).toEqual(["10: never told"]);
    const late: MadeUp["alarms"] = [["thermometer-failed", "medium", 12]];
    expect(words(oneSensor(life({ alarms: late }), whole, sensor))).toEqual(["10: told after 2.0 h"]);
    const wrong: MadeUp["alarms"] = [["reservoir-low", "low", 10.5]];
    expect(oneSensor(life({ alarms: wrong }), whole, sensor)).toHaveLength(1);
    expect(oneSensor(life({ alarms: told, celsius: from(20, 24.6, 25) }), whole, sensor)).toHaveLength(1);
    expect(oneSensor(life({ alarms: told, salinity: from(20, 35.15, 35) }), whole, sensor)).toHaveLength(1);
  });

  it("alone: throttling and 0.5 K a day held, more broken", () => {
    const sensor = { place: "alone", atH: 10, tells } as const;
    const cooling = (perDay: number) => (atH: number) => 25 - Math.max(0, atH - 10) * (perDay / 24);
    expect(oneSensor(life({ alarms: told, salinity: rising(10, 0.6), celsius: cooling(0.5) }), whole, sensor)).toEqual(
      [],
    );
    expect(oneSensor(life({ alarms: told, salinity: rising(10, 1) }), whole, sensor)).toHaveLength(1);
    expect(oneSensor(life({ alarms: told, celsius: cooling(0.8) }), whole, sensor)).toHaveLength(1);
  });

  it("one that stops: told before 0.5 and evaporation held; untold or more broken", () => {
    const sensor = { place: "stops", atH: 10, tells } as const;
    expect(oneSensor(life({ alarms: told, salinity: rising(10, 1) }), whole, sensor)).toEqual([]);
    expect(words(oneSensor(life({ salinity: rising(10, 1) }), whole, sensor))).toEqual([
      "42: salinity moved by 0.5 and nobody was told",
    ]);
    expect(oneSensor(life({ alarms: told, salinity: from(20, 34, 35) }), whole, sensor)).toHaveLength(1);
  });
});

describe("H7, no harm in silence", () => {
  const rows: [what: string, made: MadeUp, right: string, wrong: string][] = [
    ["saltier by 1", { salinity: from(30, 36, 35) }, "top-off-withheld", "thermometer-failed"],
    ["fresher by 1", { salinity: from(30, 34, 35) }, "water-not-ordered", "reservoir-low"],
    ["colder by 2 K", { celsius: from(30, 23, 25) }, "heater-no-effect", "top-off-withheld"],
    ["hotter by 2 K", { celsius: from(30, 27, 25) }, "heating-while-off", "salinity-high"],
  ];
  it.each(rows)("%s: told before by %s held; untold, told by another or too late broken", (_, made, right, wrong) => {
    expect(noSilence(life({ ...made, alarms: [[right, "medium", 29]] }))).toEqual([]);
    expect(noSilence(life(made))).toHaveLength(1);
    expect(noSilence(life({ ...made, alarms: [[wrong, "high", 29]] }))).toHaveLength(1);
    expect(noSilence(life({ ...made, alarms: [[right, "medium", 31]] }))).toHaveLength(1);
  });

  it("0.99 of salinity, 1.99 K, untold: held", () => {
    expect(noSilence(life({ salinity: from(30, 35.99, 35), celsius: from(30, 26.99, 25) }))).toEqual([]);
  });

  it("alarm from before it broke, or cleared a day ago: not counted", () => {
    const alarms: MadeUp["alarms"] = [["top-off-withheld", "medium", 5]];
    expect(noSilence(life({ salinity: from(30, 36, 35), alarms }), 10)).toHaveLength(1);
    const cleared = life({ salinity: from(60, 36, 35), alarms });
    const gone = { ...cleared, alarms: cleared.alarms.map((alarm) => ({ ...alarm, clearedAtH: 20 })) };
    expect(noSilence(gone)).toHaveLength(1);
  });
});

describe("the right alarms", () => {
  it("every id: an alarm that there is", () => {
    const ids = CONDITIONS.map(({ id }) => id);
    expect(
      Object.values(RIGHT_ALARMS)
        .flat()
        .filter((id) => !ids.includes(id)),
    ).toEqual([]);
  });
});
