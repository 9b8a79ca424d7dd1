import { describe, expect, test } from "vitest";
import type { HeatFacts } from "../../controller/decisions/heat/facts.ts";
import { stepHeat } from "../../controller/decisions/heat/machine.ts";
import {
  FRESH_HEAT_DURABLE,
  FRESH_HEAT_VOLATILE,
  type HeatDurable,
  type HeatVolatile,
} from "../../controller/decisions/heat/memory.ts";
import type { HeatPlan } from "../../controller/decisions/heat/plan.ts";
import { planHeat } from "../../controller/decisions/heat/plan.ts";
import type { Reason } from "../../shared/contract/index.ts";
import { rehearsalSettings } from "../../shared/settings/index.ts";
import { elapsed } from "../elapsed.ts";
import { COOL, heatSignal } from "./heat-scene.ts";

/**
 * One scan of the heat at a time, on both sides of each of its limits. The reference tank is kept at
 * 25 °C within 0.3 K and cut out at 28.5 °C. Each row is named by what the water would suffer if it were otherwise.
 */
const PLAN = planHeat(rehearsalSettings(), "heater-1") as HeatPlan;
/** The return pump carries the warmth to the thermometer: the heater stands in another chamber. */
const APART = { ...PLAN, sharesChamber: false };
const MINUTE_MS = 60_000;
const HOUR_MS = 3_600_000;

const at = (waterC: number): Pick<HeatFacts, "control" | "warmest" | "surelyWarmest" | "coldestC" | "watched"> => ({
  control: heatSignal(waterC),
  warmest: heatSignal(waterC),
  surelyWarmest: heatSignal(waterC),
  coldestC: waterC,
  watched: { valueC: waterC, anew: false },
});

/** Off since an hour, and everything known. */
const RESTED: HeatVolatile = {
  ...FRESH_HEAT_VOLATILE,
  inStateMs: HOUR_MS,
  sinceHeatMs: HOUR_MS,
  trust: "full",
  source: "mean",
};
const HEATING: HeatVolatile = { ...RESTED, on: true, sinceHeatMs: 0 };

const scan = (
  volatile: HeatVolatile,
  facts: Partial<HeatFacts> = {},
  durable: Partial<HeatDurable> = {},
  plan = PLAN,
) => stepHeat({ durable: { ...FRESH_HEAT_DURABLE, ...durable }, volatile }, { ...COOL, ...facts }, plan);

describe("the band", () => {
  const rows: [story: string, waterC: number, before: Partial<HeatVolatile>, on: boolean, why: Reason][] = [
    ["water below the band is heated", 24.84, {}, true, "below-band"],
    [
      "at its foot a rested heater rests on, or it would switch at every ripple",
      24.85,
      {},
      false,
      "temperature-in-band",
    ],
    ["at its foot a heater that heats goes on to the top", 24.85, { on: true }, true, "below-band"],
    ["at its top it still heats", 25.15, { on: true }, true, "below-band"],
    ["above it the heater lets go", 25.16, { on: true }, false, "above-band"],
    ["at its top a heater that rests says in the band", 25.15, {}, false, "temperature-in-band"],
    ["warm water is left alone", 25.16, {}, false, "above-band"],
    [
      "a contact that has just closed stays closed for its minute",
      25.16,
      { on: true, inStateMs: 58_999 },
      true,
      "minimum-on",
    ],
    ["and not longer, or the water overshoots", 25.16, { on: true, inStateMs: 59_000 }, false, "above-band"],
    ["a contact that has just opened stays open for its minute", 24.84, { inStateMs: 58_999 }, false, "minimum-off"],
    ["and not longer, or the water cools", 24.84, { inStateMs: 59_000 }, true, "below-band"],
    ["where nothing is wanted, nothing is said to wait", 25, { inStateMs: 0 }, false, "temperature-in-band"],
    [
      "in the band, just switched on, it heats for the water and not for the contact",
      25,
      { on: true, inStateMs: 0 },
      true,
      "below-band",
    ],
  ];
  test.each(rows)("%s: %d °C, %j: on %s as %s", (_, waterC, before, on, why) => {
    const verdict = scan({ ...RESTED, ...before }, at(waterC));
    expect(verdict).toMatchObject({ on, why, guardClosed: true, cautious: false, urgent: false, proved: false });
    expect(verdict.memory.volatile.on).toBe(on);
  });
});

describe("the other heater's turn", () => {
  const OTHERS = { turn: false } as const;
  test("24.84 °C, at rest: stays off as other-heaters-turn, guard closed", () => {
    expect(scan(RESTED, { ...at(24.84), ...OTHERS })).toMatchObject({
      on: false,
      why: "other-heaters-turn",
      guardClosed: true,
    });
  });
  test("24.84 or 25.15 °C, heating: goes on; 25.16: off", () => {
    for (const waterC of [24.84, 25.15]) {
      expect(scan(HEATING, { ...at(waterC), ...OTHERS })).toMatchObject({ on: true, why: "below-band" });
    }
    expect(scan(HEATING, { ...at(25.16), ...OTHERS })).toMatchObject({ on: false, why: "above-band" });
  });
  test("25 or 25.16 °C, at rest: temperature-in-band or above-band", () => {
    expect(scan(RESTED, { ...at(25), ...OTHERS }).why).toBe("temperature-in-band");
    expect(scan(RESTED, { ...at(25.16), ...OTHERS }).why).toBe("above-band");
  });
  test("off for 58.999 s: minimum-off", () => {
    expect(scan({ ...RESTED, inStateMs: 58_999 }, OTHERS).why).toBe("minimum-off");
  });
});

describe("heat is forbidden", () => {
  type Row = [
    story: string,
    why: Reason,
    guardClosed: boolean,
    facts: Partial<HeatFacts>,
    before?: Partial<HeatVolatile>,
  ];
  const rows: Row[] = [
    [
      "behind a cut-out that has not cleared: half a kelvin cooler is still hot",
      "heat-cut-out",
      false,
      at(28),
      { cut: true, hotMs: 3_000 },
    ],
    ["while the board is silent: nobody knows what the contact does", "board-silent", false, { board: "silent" }],
    ["by a board that has just restarted", "board-silent", false, { board: "restarted" }],
    ["where nobody stands beside bare parts", "nobody-beside", false, { board: "unattended" }],
    ["while hands are in the tank", "hold-with-heat", false, { holdingWithHeat: true }],
    ["over a heater that may be dry: it cracks", "heater-uncovered", false, { cover: "bare" }],
    ["where no thermometer is trusted, whatever one still says", "no-temperature", true, { trust: "none" }],
    ["without a reading to heat by", "no-temperature", true, { control: heatSignal(null) }],
    ["without a reading to cut by", "no-temperature", true, { warmest: heatSignal(null) }],
    [
      "by the first hot conversion: the heater waits for no second",
      "heat-cut-out",
      true,
      { warmest: heatSignal(28.5) },
    ],
    ["before the start has been steady", "heat-starting", false, { steady: false }],
    ["by a return pump that has run too shortly to carry the warmth", "heat-starting", true, { flow: false }],
    [
      "while a rise that no room explains is tested with the guard open",
      "heating-while-off",
      false,
      { roomC: 22 },
      { guardOpenMs: MINUTE_MS, rateBefore: 1.2 },
    ],
    [
      "while one that a room may explain is tested all the same",
      "warming-by-room",
      false,
      { roomC: 34 },
      { guardOpenMs: MINUTE_MS, rateBefore: 1.2 },
    ],
    ["while the slope is looked at", "slope-check", true, {}, { slopeCheckMs: MINUTE_MS }],
    ["for a heater that nobody has seen to work", "not-proven", true, { proven: false }],
  ];
  test.each(rows)("%s: off as %s, guard closed %s", (_, why, guardClosed, facts, before = {}) => {
    for (const contact of [RESTED, HEATING]) {
      const verdict = scan({ ...contact, ...before }, facts);
      expect(verdict).toMatchObject({ on: false, why, guardClosed });
      expect(verdict.memory.volatile.on).toBe(false);
    }
  });
  test("warmest 28.49 °C, or a heater in another chamber with flow: on", () => {
    expect(scan(RESTED, { warmest: heatSignal(28.49) }).on).toBe(true);
    expect(scan(RESTED, {}, {}, APART).on).toBe(true);
  });
  test("causes added one by one: the most urgent of them is the reason, from not-proven up to the lock", () => {
    const latch = { reason: "heater-welded", occurrence: 1 } as const;
    const layers: [Reason, Partial<HeatFacts>, Partial<HeatVolatile>, Partial<HeatDurable>][] = [
      ["not-proven", { proven: false }, {}, {}],
      ["slope-check", {}, { slopeCheckMs: MINUTE_MS }, {}],
      ["warming-by-room", {}, { guardOpenMs: MINUTE_MS }, {}],
      ["heat-starting", { flow: false }, {}, {}],
      ["no-flow", { flowNow: false }, {}, {}],
      ["heat-starting", { steady: false }, {}, {}],
      ["heat-cut-out", { warmest: heatSignal(28.5) }, {}, {}],
      ["no-temperature", { trust: "none" }, {}, {}],
      ["heater-uncovered", { cover: "bare" }, {}, {}],
      ["hold-with-heat", { holdingWithHeat: true }, {}, {}],
      ["board-silent", { board: "silent" }, {}, {}],
      ["heat-cut-out", {}, { cut: true }, {}],
      ["heater-welded", {}, {}, { latch }],
    ];
    let [facts, before, durable]: [Partial<HeatFacts>, Partial<HeatVolatile>, Partial<HeatDurable>] = [{}, {}, {}];
    for (const [why, ...more] of layers) {
      [facts, before, durable] = [
        { ...facts, ...more[0] },
        { ...before, ...more[1] },
        { ...durable, ...more[2] },
      ];
      expect(scan({ ...RESTED, ...before }, facts, durable, APART).why).toBe(why);
    }
  });
});

describe("the return pump stopped", () => {
  const STILL = { flowNow: false, flow: false };
  const SUSPECT = { ...STILL, flowSuspect: true };
  const DUE = { ...RESTED, cautious: true, cautiousMs: 5 * MINUTE_MS };
  test("heater apart from its thermometer: off as no-flow, guard closed; in its chamber: goes on", () => {
    expect(scan(HEATING, { flowNow: false }, {}, APART)).toMatchObject({
      on: false,
      why: "no-flow",
      guardClosed: true,
    });
    expect(scan(HEATING, { flowNow: false })).toMatchObject({ on: true, why: "below-band", cautious: false });
  });
  test("stopped by the sensor, denied by the water: 22.99 °C cautious heating, 23 °C no-flow; not denied: no-flow", () => {
    expect(scan(DUE, { ...at(22.99), ...SUSPECT }, {}, APART)).toMatchObject({
      on: true,
      why: "cautious-heating",
      cautious: true,
    });
    expect(scan(DUE, { ...at(23), ...SUSPECT }, {}, APART)).toMatchObject({
      on: false,
      why: "no-flow",
      cautious: false,
    });
    expect(scan(DUE, { ...at(22.99), ...STILL }, {}, APART)).toMatchObject({
      on: false,
      why: "no-flow",
      cautious: false,
    });
  });
  test("suspect sensor, pump shown running or chamber shared: not cautious", () => {
    expect(scan(RESTED, { ...at(22.99), ...SUSPECT, flowNow: true }, {}, APART)).toMatchObject({
      why: "heat-starting",
      cautious: false,
    });
    expect(scan(RESTED, { ...at(22.99), ...SUSPECT, flow: true })).toMatchObject({
      why: "below-band",
      cautious: false,
    });
  });
  test("suspect sensor and no temperature: off as no-temperature, not cautious", () => {
    expect(scan(RESTED, { ...SUSPECT, control: heatSignal(null), trust: "none" }, {}, APART)).toMatchObject({
      on: false,
      why: "no-temperature",
      cautious: false,
    });
  });
});

describe("what locks the heat", () => {
  const HOT = at(28.5);
  const LAST_CONVERSION = { hotMs: 2_000 };
  const WELD = { guardOpenMs: 1_000, rateBefore: 1.3 };
  const locked = (reason: Reason) => ({ reason, occurrence: 8 });
  const rows: [story: string, before: HeatVolatile, facts: Partial<HeatFacts>, latch: Reason | null][] = [
    ["three hot conversions with the heater on", { ...HEATING, ...LAST_CONVERSION }, HOT, "heat-cut-out"],
    ["not two: one spike is no fault", { ...HEATING, hotMs: 1_000 }, HOT, null],
    [
      "a heater that rests for less than half an hour",
      { ...RESTED, ...LAST_CONVERSION, sinceHeatMs: 1_799_999 },
      HOT,
      "heat-cut-out",
    ],
    [
      "not one that rests for longer: a heatwave is no fault",
      { ...RESTED, ...LAST_CONVERSION, sinceHeatMs: 1_800_000 },
      HOT,
      null,
    ],
    [
      "a slope that fell when the guard opened: the relay is welded",
      { ...RESTED, ...WELD },
      { rateKPerH: 0 },
      "heater-welded",
    ],
    ["not a slope that stayed: the room", { ...RESTED, ...WELD }, { rateKPerH: 1.3 }, null],
    ["power behind an open contact", RESTED, { heaterSeenOn: true }, "heater-seen-on"],
  ];
  test.each(rows)("%s: $3", (_, before, facts, reason) => {
    const verdict = scan(before, facts, { occurrences: 7 });
    const { latch, occurrences, noEffect } = verdict.memory.durable;
    expect(latch).toEqual(reason === null ? null : locked(reason));
    expect([occurrences, noEffect]).toEqual([reason === null ? 7 : 8, false]);
    expect(verdict.urgent).toBe(reason !== null);
    if (reason !== null) expect(verdict).toMatchObject({ on: false, why: reason, guardClosed: false });
  });
  test("28.5 °C after an hour off: relay and guard open, no lock; 27.5 °C: guard closed again", () => {
    const hot = scan({ ...RESTED, ...LAST_CONVERSION }, HOT);
    expect(hot).toMatchObject({ on: false, why: "heat-cut-out", guardClosed: false, urgent: false });
    // The guard closes when heat is wanted again, and no sooner.
    const cool = scan(hot.memory.volatile, at(27.5));
    expect(cool).toMatchObject({ why: "above-band", guardClosed: false });
    const wanted = scan({ ...cool.memory.volatile, inStateMs: HOUR_MS }, at(24.8));
    expect(wanted).toMatchObject({ on: true, guardClosed: true, memory: { volatile: { guardWaits: false } } });
  });
  test("weld, power seen and cut-out in one scan: locked as heater-welded; without the weld: heater-seen-on", () => {
    const all = { ...HOT, rateKPerH: 0, heaterSeenOn: true };
    expect(scan({ ...HEATING, ...LAST_CONVERSION, ...WELD }, all).why).toBe("heater-welded");
    expect(scan({ ...HEATING, ...LAST_CONVERSION }, all).why).toBe("heater-seen-on");
  });
  test("locked, then the heater seen on: first reason and number stay, nothing urgent", () => {
    const latch = { reason: "heat-cut-out", occurrence: 7 } as const;
    const verdict = scan(RESTED, { heaterSeenOn: true }, { latch, occurrences: 7 });
    expect(verdict.memory.durable).toMatchObject({ latch, occurrences: 7 });
    expect(verdict).toMatchObject({ on: false, why: "heat-cut-out", guardClosed: false, urgent: false });
  });
});

describe("a heater without effect", () => {
  const LAST_MINUTE = { onMs: PLAN.effectWindowMs - 1_000, offMs: 0, predictedK: 0.8, startC: 24 };
  const WATCHED = { ...HEATING, effect: LAST_MINUTE };
  test("60 min on without a rise: off as heater-no-effect, a new number, urgent, cautious from then on", () => {
    const verdict = scan(WATCHED, {}, { occurrences: 4 });
    expect(verdict.memory.durable).toMatchObject({ noEffect: true, occurrences: 5, latch: null });
    expect(verdict).toMatchObject({
      on: false,
      why: "heater-no-effect",
      cautious: true,
      urgent: true,
      guardClosed: true,
    });
  });
  test("found, and again without a rise: number stays, not urgent", () => {
    const verdict = scan(WATCHED, {}, { noEffect: true, occurrences: 5 });
    expect(verdict.memory.durable).toMatchObject({ noEffect: true, occurrences: 5 });
    expect(verdict.urgent).toBe(false);
  });
  test("found, then a rise of 0.5 K: finding gone, number stays, on as below-band", () => {
    const verdict = scan(WATCHED, at(24.5), { noEffect: true, occurrences: 5 });
    expect(verdict.memory.durable).toMatchObject({ noEffect: false, occurrences: 5 });
    expect(verdict).toMatchObject({ on: true, why: "below-band", cautious: false, urgent: true });
  });
  test("found, at rest: stays cautious, not urgent", () => {
    expect(scan(RESTED, {}, { noEffect: true, occurrences: 5 })).toMatchObject({ cautious: true, urgent: false });
  });
  test("one minute on: watched on from the same start", () => {
    const { effect } = scan({ ...HEATING, effect: { ...LAST_MINUTE, onMs: MINUTE_MS } }).memory.volatile;
    expect(effect).toMatchObject({ onMs: MINUTE_MS + 1_000, startC: 24 });
  });
  test("power seen in the scan of the finding: one number for both", () => {
    const { durable } = scan(WATCHED, { heaterSeenOn: true }, { occurrences: 4 }).memory;
    expect(durable).toMatchObject({
      noEffect: true,
      occurrences: 5,
      latch: { reason: "heater-seen-on", occurrence: 5 },
    });
  });
  test("locked before the finding: finding gets a number, the lock keeps its own", () => {
    const latch = { reason: "heat-cut-out", occurrence: 4 } as const;
    const { durable } = scan(WATCHED, {}, { latch, occurrences: 4 }).memory;
    expect(durable).toMatchObject({ noEffect: true, occurrences: 5, latch });
  });
});

describe("the longest time on", () => {
  test("on for 1 ms less than 3 h: goes on; 3 h: off as slope-check for ten minutes, no lock", () => {
    const before = { ...HEATING, inStateMs: PLAN.longestOnMs - 1 };
    expect(scan(before)).toMatchObject({ on: true, memory: { volatile: { slopeCheckMs: 0 } } });
    const verdict = scan({ ...before, inStateMs: PLAN.longestOnMs });
    expect(verdict).toMatchObject({ on: false, why: "slope-check", guardClosed: true });
    expect(verdict.memory.volatile).toMatchObject({ slopeCheckMs: 10 * MINUTE_MS, inStateMs: 0 });
    expect(verdict.memory.durable.latch).toBeNull();
  });
  test("500 ms of the check left after the credit: stays off; 0 left: on", () => {
    const resting = { ...RESTED, slopeCheckMs: 1_000 };
    expect(scan(resting, { elapsed: elapsed(1_000, 500) })).toMatchObject({ on: false, why: "slope-check" });
    expect(scan(resting, { elapsed: elapsed(1_000, 500) }).memory.volatile.slopeCheckMs).toBe(500);
    expect(scan({ ...resting, slopeCheckMs: 500 })).toMatchObject({
      on: true,
      memory: { volatile: { slopeCheckMs: 0 } },
    });
  });
  test("off for 3 h, water cold: on", () => {
    expect(scan({ ...RESTED, inStateMs: PLAN.longestOnMs }).on).toBe(true);
  });
});

describe("what is counted", () => {
  const LATE = { elapsed: elapsed(5_000, 500) };
  const after = (before: HeatVolatile, facts: Partial<HeatFacts> = {}) => scan(before, facts).memory.volatile;
  test("scan of 5 s, credit of 500 ms: time on grows by 5 s, time off by 500 ms", () => {
    expect(after(HEATING, LATE)).toMatchObject({ inStateMs: HOUR_MS + 5_000, sinceHeatMs: 0 });
    expect(after(RESTED, { ...LATE, ...at(25) })).toMatchObject({
      inStateMs: HOUR_MS + 500,
      sinceHeatMs: HOUR_MS + 500,
    });
  });
  test("switched on or off: time in state and since heat 0", () => {
    expect(after(RESTED)).toMatchObject({ on: true, inStateMs: 0, sinceHeatMs: 0 });
    expect(after(HEATING, at(26))).toMatchObject({ on: false, inStateMs: 0, sinceHeatMs: 0 });
  });
  test("off now after being on: 0 ms since heat", () => {
    expect(after({ ...HEATING, sinceHeatMs: 70_000 }, at(26)).sinceHeatMs).toBe(0);
  });
  test("scan of 1 s: counted as on by what was commanded before it; 15 of 60 s: a quarter in the week's share", () => {
    expect(after(HEATING, at(26))).toMatchObject({ dutyOnMs: 1_000, dutyAllMs: 1_000 });
    expect(after(RESTED)).toMatchObject({ dutyOnMs: 0, dutyAllMs: 1_000 });
    const minute = scan({ ...HEATING, dutyOnMs: 14_000, dutyAllMs: 59_000 });
    expect(minute.memory.durable).toMatchObject({ dutyWeek: 0.25, dutyKnownMs: MINUTE_MS });
  });
  test("2 K/h at 26 °C while off: guard open, rate kept to compare with", () => {
    expect(scan(RESTED, { ...at(26), rateKPerH: 2, roomC: 22 })).toMatchObject({
      on: false,
      why: "heating-while-off",
      guardClosed: false,
      memory: { volatile: { guardOpenMs: PLAN.guardOpenMs, rateBefore: 2, disprovedMs: 0 } },
    });
  });
  test("cool for 5 s more in doubt: 6 s kept", () => {
    expect(after({ ...RESTED, coolMs: 5_000 })).toMatchObject({ coolMs: 6_000, hotMs: 0, cut: false });
  });
});

describe("a proving run of the heater", () => {
  const RUN = { provingMs: 30_000 };
  test("26 °C, not proven: on as proving-heater", () => {
    const verdict = scan(RESTED, { ...at(26), proven: false }, RUN);
    expect(verdict).toMatchObject({ on: true, why: "proving-heater", proved: false });
    expect(verdict.memory.durable.provingMs).toBe(30_000);
  });
  test("scan of 5 s: 5 s of its time used", () => {
    const verdict = scan({ ...HEATING, inStateMs: 0 }, { elapsed: elapsed(5_000, 500) }, RUN);
    expect(verdict).toMatchObject({ on: true, why: "proving-heater", proved: false });
    expect(verdict.memory.durable.provingMs).toBe(25_000);
  });
  test("time used up: proved, off in the band; below it: minimum-off", () => {
    const inBand = scan({ ...HEATING, inStateMs: 30_000 }, at(25), { provingMs: 500 });
    expect(inBand).toMatchObject({ on: false, why: "temperature-in-band", proved: true });
    expect(inBand.memory.durable.provingMs).toBe(0);
    expect(scan({ ...HEATING, inStateMs: 30_000 }, {}, { provingMs: 1_000 }).why).toBe("minimum-off");
  });
  test("heater uncovered in the run: off as that, no proof, run over", () => {
    const ended = scan({ ...HEATING, inStateMs: 0 }, { cover: "bare" }, RUN);
    expect(ended).toMatchObject({ on: false, why: "heater-uncovered", proved: false });
    expect(ended.memory.durable.provingMs).toBe(0);
  });
  test("no run: nothing proved", () => {
    expect(scan(HEATING)).toMatchObject({ proved: false, memory: { durable: { provingMs: 0 } } });
  });
});
