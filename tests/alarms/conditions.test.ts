import { describe, expect, it } from "vitest";
import { ALARM_WORDS, detailOf, freshAlarms, isAlarmId, watchAlarms } from "../../controller/alarms/index.ts";
import { CONDITIONS } from "../../controller/alarms/list.ts";
import { NOTHING_KNOWN } from "../../controller/quantities/ledger/status.ts";
import {
  ALL_WELL_BESIDE,
  type ContactSignal,
  type ProofPart,
  type ProofStanding,
  type Signal,
} from "../../shared/contract/index.ts";
import type { LedgerStatus } from "../../shared/contract/ledger.ts";
import { settingsSchema } from "../../shared/settings/index.ts";
import { bad, type Change, contact, good, healthy, latch, recordOf, SETTINGS, uncertain, Watch } from "./healthy.ts";
import { PROVEN } from "./proven.ts";

const condition = (id: string) => {
  const found = CONDITIONS.find((one) => one.id === id);
  if (found === undefined) throw new Error(`no alarm ${id}`);
  return found;
};
const stands = (id: string, change: Change, isActive = false): boolean =>
  condition(id).stands(healthy(change), SETTINGS, isActive);

const temperature = (celsius: number): Change => ({
  thermometers: [good(celsius), good(celsius)],
  quantities: { temperature: good(celsius), warmest: good(celsius) },
});
const sourceWater = (tds: Signal): Change => ({
  sourceWater: { tds, litresSinceChange: 120, daysSinceChange: 60 },
});
const salinity = (value: number): Change => ({ quantities: { salinity: good(value, 0.9) } });
const proof = (part: ProofPart, standing: ProofStanding): Change => ({
  proving: {
    ...PROVEN.proving,
    parts: { ...PROVEN.proving.parts, [part]: { ...PROVEN.proving.parts[part], standing } },
  },
});
const topOff = (more: NonNullable<Change["topOff"]>): Change => ({ topOff: more });
const ledger = (more: Partial<LedgerStatus>): Change => ({ ledger: { ...NOTHING_KNOWN, ...more } });
const falling = (value: number, more: Partial<LedgerStatus> = {}): Change =>
  ledger({
    belief: "probe-drift-or-slow-salt-loss",
    sureness: 0.9,
    salinityPerDay: { value, uncertainty: 0.1 },
    ...more,
  });
const heat = (more: NonNullable<Change["heat"]>): Change => ({ heat: more });
const hold = (more: NonNullable<Change["hold"]>): Change => ({ hold: more });
const asked = (questionForMs: number, working: ContactSignal["position"] = "off"): Change => ({
  ...hold({ question: true, questionForMs }),
  contacts: { "working-float": contact(working) },
});
const trend = (salinityChangePer6h: number | null): Change => ({ quantities: { salinityChangePer6h } });

describe("a healthy box", () => {
  it("healthy record, all acknowledged: no alarm, the very same memory", () => {
    const memory = freshAlarms();
    const result = watchAlarms(memory, healthy(), SETTINGS, ["all"], 250);
    expect(result).toEqual({ memory, alarms: [], changed: false });
    expect(result.memory).toBe(memory);
  });

  it("nothing optional fitted, for two hours: no alarm", () => {
    const none = bad("not-fitted");
    const absent = contact("unknown", "not-fitted");
    const bare: Change = {
      contacts: {
        "low-float": absent,
        "reservoir-float": absent,
        "floor-sensor": absent,
        "mains-sensor": absent,
        "return-sensor": absent,
      },
      thermometers: [good(25), none],
      quantities: { room: none, conductivity: none, salinity: none, salinityChangePer6h: null },
      topOff: { daysInReservoir: null, reservoirL: null },
    };
    expect(new Watch().see(bare, 7_200_000).alarms).toEqual([]);
  });

  it("just started, nothing read yet, for 30 s: no alarm", () => {
    const starting: Change = {
      thermometers: [bad("not-yet"), bad("not-yet")],
      quantities: {
        temperature: bad("not-yet"),
        warmest: bad("not-yet"),
        conductivity: bad("not-yet"),
        salinity: bad("not-yet"),
        salinityChangePer6h: null,
      },
      contacts: { "high-float": contact("unknown", "not-yet"), "working-float": contact("unknown", "not-yet") },
      start: { steady: false, steadyLeftMs: 60_000 },
    };
    expect(new Watch().see(starting, 30_000).alarms).toEqual([]);
  });
});

/** Each limit from both sides, at rest and while the alarm stands. Limits and deadbands: common practice, no source. */
const LIMITS: [id: string, change: Change, isActive: boolean, expected: boolean][] = [
  ["temperature-low", temperature(23.01), false, false],
  ["temperature-low", temperature(23), false, true],
  ["temperature-low", temperature(23.3), true, true],
  ["temperature-low", temperature(23.31), true, false],
  ["temperature-very-low", temperature(20.01), false, false],
  ["temperature-very-low", temperature(20), false, true],
  ["temperature-very-low", temperature(20.3), true, true],
  ["temperature-very-low", temperature(20.31), true, false],
  ["temperature-high", temperature(27.99), false, false],
  ["temperature-high", temperature(28), false, true],
  ["temperature-high", temperature(27.71), true, true],
  ["temperature-high", temperature(27.69), true, false],
  ["temperature-very-high", temperature(29.99), false, false],
  ["temperature-very-high", temperature(30), false, true],
  ["temperature-very-high", temperature(29.71), true, true],
  ["temperature-very-high", temperature(29.69), true, false],
  ["salinity-low", salinity(34.01), false, false],
  ["salinity-low", salinity(34), false, true],
  ["salinity-low", salinity(34.19), true, true],
  ["salinity-low", salinity(34.21), true, false],
  ["salinity-very-low", salinity(33.01), false, false],
  ["salinity-very-low", salinity(33), false, true],
  ["salinity-very-low", salinity(33.19), true, true],
  ["salinity-very-low", salinity(33.21), true, false],
  ["salinity-high", salinity(35.99), false, false],
  ["salinity-high", salinity(36), false, true],
  ["salinity-high", salinity(35.81), true, true],
  ["salinity-high", salinity(35.79), true, false],
  ["salinity-very-high", salinity(36.99), false, false],
  ["salinity-very-high", salinity(37), false, true],
  ["salinity-very-high", salinity(36.81), true, true],
  ["salinity-very-high", salinity(36.79), true, false],
  ["salinity-falling-fast", trend(-0.49), false, false],
  ["salinity-falling-fast", trend(-0.5), false, true],
  ["salinity-falling-fast", trend(-0.41), true, true],
  ["salinity-falling-fast", trend(-0.39), true, false],
  ["salinity-falls-unexplained", falling(-0.29), false, false],
  ["salinity-falls-unexplained", falling(-0.3), false, true],
  ["salinity-falls-unexplained", falling(-0.21), true, true],
  ["salinity-falls-unexplained", falling(-0.19), true, false],
  ["salinity-falls-unexplained", falling(-1, { sureness: 0.79 }), false, false],
  ["salinity-falls-unexplained", falling(-1, { settled: "salt-loss" }), false, true],
  ["salinity-falls-unexplained", falling(-1, { settled: "probe-drift" }), true, false],
  ["salinity-falls-unexplained", falling(-1, { belief: "fresh-water-or-salt-leaving" }), false, false],
  ["salinity-falls-unexplained", ledger({ belief: "probe-drift-or-slow-salt-loss", sureness: 1 }), false, false],
  ["salinity-rising-fast", trend(0.49), false, false],
  ["salinity-rising-fast", trend(0.5), false, true],
  ["salinity-rising-fast", trend(0.41), true, true],
  ["salinity-rising-fast", trend(0.39), true, false],
  ["reservoir-not-fresh", ledger({ risenOverPours: 0.11 }), false, false],
  ["reservoir-not-fresh", ledger({ risenOverPours: 0.12 }), false, true],
  ["reservoir-not-fresh", ledger({ risenOverPours: 0.09 }), true, true],
  ["reservoir-not-fresh", ledger({ risenOverPours: 0.07 }), true, false],
  ["reservoir-not-fresh", ledger({ belief: "reservoir-not-fresh", sureness: 0.79 }), false, false],
  ["heat-locked-and-cold", { ...temperature(22.1), heat: { latch: latch("heat-cut-out") } }, false, false],
  ["heat-locked-and-cold", { ...temperature(22), heat: { latch: latch("heat-cut-out") } }, false, true],
  ["heat-locked-and-cold", temperature(21), false, false],
  ["thermometers-disagree", { thermometers: [good(25), good(25.69)] }, false, false],
  ["thermometers-disagree", { thermometers: [good(25.71), good(25)] }, false, true],
  ["thermometers-disagree", { thermometers: [good(25), good(25.51)] }, true, true],
  ["thermometers-disagree", { thermometers: [good(25), good(25.49)] }, true, false],
  ["thermometers-disagree", { thermometers: [good(25), bad("stuck")] }, true, false],
  ["reservoir-low", topOff({ daysInReservoir: 2.01 }), false, false],
  ["reservoir-low", topOff({ daysInReservoir: 2 }), false, true],
  ["reservoir-low", topOff({ daysInReservoir: 2.19 }), true, true],
  ["reservoir-low", topOff({ daysInReservoir: 2.21 }), true, false],
  ["source-water-impure", sourceWater(good(0.99)), false, false],
  ["source-water-impure", sourceWater(good(1)), false, true],
  ["source-water-impure", sourceWater(good(0.76)), true, true],
  ["source-water-impure", sourceWater(good(0.74)), true, false],
  ["source-water-impure", sourceWater(bad("no-answer")), false, false],
  ["source-water-impure", sourceWater(bad("no-answer")), true, true],
  ["source-water-impure", sourceWater(bad("not-fitted")), true, false],
  ["excess-litres-rising", topOff({ excessL: 3.99, excessLimitL: 8 }), false, false],
  ["excess-litres-rising", topOff({ excessL: 4, excessLimitL: 8 }), false, true],
  ["excess-litres-rising", topOff({ excessL: 3.61, excessLimitL: 8 }), true, true],
  ["excess-litres-rising", topOff({ excessL: 3.59, excessLimitL: 8 }), true, false],
  ["top-off-withheld", topOff({ dueL: 0.69 }), false, false],
  ["top-off-withheld", topOff({ dueL: 0.7, blockers: ["return-pump-stopped"] }), false, true],
  ["top-off-withheld", topOff({ dueL: 0.9, pouredSinceFullL: 0.25 }), false, false],
  ["top-off-withheld", topOff({ dueL: 0.61 }), true, true],
  ["top-off-withheld", topOff({ dueL: 0.59 }), true, false],
  ["heat-withheld", { ...temperature(24.36), heat: { state: "waiting" } }, false, false],
  ["heat-withheld", { ...temperature(24.34), heat: { state: "waiting" } }, false, true],
  ["heat-withheld", { ...temperature(24.34), heat: { state: "held" } }, false, true],
  ["heat-withheld", { ...temperature(24.34), heat: { state: "locked" } }, false, true],
  ["heat-withheld", { ...temperature(24.34), heat: { state: "heating" } }, false, false],
  ["heat-withheld", { ...temperature(24.34), heat: { state: "cautious", why: "cautious-pause" } }, false, false],
  ["heat-withheld", { ...temperature(24.34), heat: { state: "cautious", why: "no-flow" } }, false, true],
  ["heat-withheld", { ...temperature(24.34), heat: { state: "cut-out", why: "heat-cut-out" } }, false, true],
  ["top-off-not-answered", topOff({ failures: 1 }), false, false],
  ["top-off-not-answered", topOff({ failures: 2 }), false, true],
  ["heat-withheld", { ...temperature(24.54), heat: { state: "waiting" } }, true, true],
  ["heat-withheld", { ...temperature(24.56), heat: { state: "waiting" } }, true, false],
  ["hold-question", asked(899_999), false, false],
  ["hold-question", asked(900_000), false, true],
  ["hold-question", asked(900_000, "unknown"), false, true],
  ["hold-question", asked(900_000, "on"), false, false],
  ["hold-question", { ...asked(900_000), ...hold({ question: false, questionForMs: 900_000 }) }, false, false],
];

describe("an alarm's limit and deadband", () => {
  it.each(LIMITS)("%s %j (standing: %s) → %s", (id, change, isActive, expected) => {
    expect(stands(id, change, isActive)).toBe(expected);
  });

  it("thermometers of 22.9 and 28.1 °C: temperature-low by the colder, temperature-high by the warmer", () => {
    const differing: Change = {
      thermometers: [good(22.9), good(28.1)],
      quantities: { temperature: uncertain(28.1, "disagrees"), warmest: uncertain(28.1, "disagrees") },
    };
    expect(stands("temperature-low", differing)).toBe(true);
    expect(stands("temperature-high", differing)).toBe(true);
  });

  it("second thermometer out of the water at 21 °C: no temperature-low", () => {
    const lifted: Change = { thermometers: [good(25), uncertain(21, "rate")] };
    expect(stands("temperature-low", lifted)).toBe(false);
  });

  it("target 33, within 1.5: salinity-low at 31.5, not at 32", () => {
    const settings = settingsSchema.parse({ targets: { salinity: 33 }, alarms: { salinityWithin: 1.5 } });
    expect(condition("salinity-low").stands(healthy(salinity(32)), settings, false)).toBe(false);
    expect(condition("salinity-low").stands(healthy(salinity(31.5)), settings, false)).toBe(true);
  });
});

/** States and contacts: what raises each alarm, and how long it must be seen. */
const CAUSES: [id: string, change: Change, onDelayMs: number][] = [
  ["water-over-high-mark", { contacts: { "high-float": contact("on") } }, 2_000],
  ["floor-wet", { contacts: { "floor-sensor": contact("on") } }, 2_000],
  ["water-not-ordered", topOff({ latch: latch("unordered-water") }), 250],
  ["water-not-ordered", topOff({ waterGuardLatch: latch("pump-seen-on") }), 250],
  ["water-not-ordered", topOff({ latch: latch("emptied-early") }), 250],
  ["heat-locked-and-cold", { ...temperature(21.5), heat: { latch: latch("heat-cut-out", true) } }, 300_000],
  ["return-sensor-suspect", topOff({ surgeMissing: true }), 250],
  ["reservoir-not-fresh", ledger({ risenOverPours: 0.2 }), 250],
  ["reservoir-not-fresh", ledger({ belief: "reservoir-not-fresh", sureness: 0.85 }), 250],
  ["heating-while-off", heat({ warming: "unexplained" }), 300_000],
  ["heating-while-off", heat({ finding: latch("one-contact-heating", true) }), 250],
  ["heating-while-off", heat({ latch: latch("heater-welded") }), 250],
  ["heating-while-off", heat({ latch: latch("heater-seen-on", true) }), 250],
  ["heating-while-off", heat({ latch: latch("heat-cut-out"), seenOn: true }), 250],
  ["temperature-very-high", temperature(30.5), 120_000],
  ["temperature-very-low", temperature(19), 120_000],
  ["temperature-high", temperature(28.4), 300_000],
  ["temperature-low", temperature(22), 300_000],
  ["temperature-unknown", { quantities: { temperature: bad("disconnected"), warmest: bad("disconnected") } }, 120_000],
  ["board-silent", { board: "silent" }, 60_000],
  ["source-water-impure", sourceWater(good(3)), 600_000],
  ["mains-lost", { contacts: { "mains-sensor": contact("off") } }, 60_000],
  ["return-pump-stopped", { contacts: { "return-sensor": contact("off") } }, 300_000],
  ["water-under-low-mark", { contacts: { "low-float": contact("off") } }, 10_000],
  ["top-off-not-answered", topOff({ failures: 2 }), 250],
  ["top-off-not-answered", topOff({ latch: latch("not-answered") }), 250],
  ["top-off-not-answered", topOff({ latch: latch("failed-pours", true) }), 250],
  ["top-off-locked", topOff({ latch: latch("excess-litres") }), 250],
  ["top-off-locked", topOff({ latch: latch("floats-contradict") }), 250],
  ["top-off-locked", topOff({ latch: latch("memory-lost", true) }), 250],
  ["top-off-locked", topOff({ latch: latch("pour-too-long") }), 250],
  ["heat-locked", heat({ latch: latch("heat-cut-out", true) }), 250],
  ["heater-no-effect", heat({ why: "heater-no-effect" }), 250],
  ["heater-too-weak", heat({ why: "slope-check" }), 250],
  ["thermometer-failed", { thermometers: [good(25), uncertain(23, "rate")] }, 60_000],
  ["heat-withheld", { ...temperature(24.3), heat: { state: "cautious", why: "no-careful-share" } }, 900_000],
  ["heater-no-effect", heat({ latch: latch("heater-no-effect") }), 250],
  ["reservoir-empty", { contacts: { "reservoir-float": contact("off") } }, 60_000],
  ["reservoir-empty", topOff({ blockers: ["reservoir-empty"] }), 60_000],
  ["reservoir-low", topOff({ daysInReservoir: 1.5 }), 60_000],
  ["daily-budget-used", topOff({ blockers: ["daily-budget-used"] }), 60_000],
  ["excess-litres-rising", topOff({ excessL: 5 }), 60_000],
  ["top-off-withheld", topOff({ dueL: 0.8, blockers: ["hold"] }), 60_000],
  ["heat-withheld", { ...temperature(24.3), heat: { state: "waiting", why: "no-flow" } }, 900_000],
  ["thermometer-failed", { thermometers: [good(25), bad("rate")] }, 60_000],
  ["thermometers-disagree", { thermometers: [good(25), good(26)] }, 300_000],
  ["room-thermometer-failed", { quantities: { room: bad("no-answer") } }, 300_000],
  [
    "conductivity-probe-failed",
    { quantities: { conductivity: bad("no-answer"), salinity: bad("no-answer") } },
    300_000,
  ],
  ["float-failed", { contacts: { "high-float": contact("unknown") } }, 60_000],
  ["float-failed", { contacts: { "floor-sensor": contact("unknown") } }, 60_000],
  ["float-chattering", { contacts: { "working-float": { ...contact("on"), chattering: true } } }, 250],
  ["salinity-low", salinity(33.5), 900_000],
  ["salinity-very-low", salinity(32), 900_000],
  ["salinity-high", salinity(36.5), 900_000],
  ["salinity-very-high", salinity(38), 900_000],
  ["salinity-falling-fast", trend(-0.8), 1_800_000],
  ["salinity-falls-unexplained", falling(-0.4), 250],
  ["salinity-rising-fast", trend(0.8), 1_800_000],
  ["disk-failed", { disk: "failed" }, 10_000],
  ["scan-stopped-itself", { stoppedBy: "a bin below zero" }, 250],
  ["front-restarted", { beside: { ...ALL_WELL_BESIDE, front: "restarted" } }, 250],
  ["front-restarted", { beside: { ...ALL_WELL_BESIDE, front: "away" } }, 250],
  ["history-failed", { beside: { ...ALL_WELL_BESIDE, history: "failed" } }, 10_000],
  ["program-fault", { beside: { ...ALL_WELL_BESIDE, fault: "the sentence: no such word" } }, 250],
  ["hold-question", asked(1_000_000), 250],
  ["proofs-fallen", { proving: { ...PROVEN.proving, fallen: [{ part: "high-float", why: "Changed." }] } }, 250],
  ["parts-not-proven", proof("heat-guard", "never"), 250],
  ["parts-not-proven", proof("floor-sensor", "due"), 250],
  ["protective-device-test-due", proof("protective-device", "never"), 250],
  ["protective-device-test-due", proof("protective-device", "due"), 250],
  ["high-float-proof-due", { proofs: { ...PROVEN.proofs, "high-float": 35 * 86_400_000 } }, 250],
];

describe("an alarm's cause and delays", () => {
  it.each(CAUSES)("%s from %j: normal until %i ms, unacknowledged then", (id, change, onDelayMs) => {
    const watch = new Watch().see(change, onDelayMs - 250);
    expect(watch.state(id)).toBe("normal");
    expect(watch.see(change, 250).state(id)).toBe("unacknowledged");
  });

  it.each(CAUSES)(
    "%s from %j: gone for its off-delay and acknowledged: normal, unless it waits for its machine",
    (id, change, onDelayMs) => {
      const { offDelayMs, clears } = condition(id);
      const watch = new Watch().see(change, onDelayMs);
      if (offDelayMs > 250) expect(watch.see({}, offDelayMs - 250).state(id)).toBe("unacknowledged");
      watch.see({}, 250);
      const waiting = { "by-itself": "normal", acknowledged: "returned", cleared: "unacknowledged" }[clears];
      expect(watch.state(id)).toBe(waiting);
      expect(watch.see({}, 250, ["all"]).alarms).toEqual([]);
    },
  );

  it("every alarm of the list: has a row of causes", () => {
    expect(new Set(CAUSES.map(([id]) => id))).toEqual(new Set(CONDITIONS.map(({ id }) => id)));
  });
});

describe("alarms of a lock", () => {
  const wet: Change = {
    contacts: { "floor-sensor": contact("on") },
    topOff: { state: "locked", latch: latch("floor-wet") },
  };
  const dry: Change = { topOff: { state: "locked", latch: latch("floor-wet", true) } };

  it("floor wet and acknowledged, dry for an hour: latched until the lock is cleared", () => {
    const watch = new Watch().see(wet, 5_000).see(wet, 250, ["floor-wet"]);
    expect(watch.state("floor-wet")).toBe("acknowledged");
    expect(watch.see(dry, 3_600_000).state("floor-wet")).toBe("latched");
    expect(watch.see({}, 250).alarms).toEqual([]);
  });

  it("lock cleared before anybody acknowledged: unacknowledged an hour later", () => {
    const watch = new Watch().see(wet, 5_000).see(dry, 120_000).see({}, 3_600_000);
    expect(watch.state("floor-wet")).toBe("unacknowledged");
  });

  it("acknowledged, stored and read: latched once the cause has gone", () => {
    const watch = new Watch().see(wet, 5_000).see(wet, 250, ["all"]);
    const other = new Watch();
    other.memory = JSON.parse(JSON.stringify(watch.memory));
    expect(other.see(dry, 60_250).state("floor-wet")).toBe("latched");
  });

  it("any reason of a lock of top-off or heat: exactly one alarm", () => {
    for (const reason of [
      "high-float-wet",
      "floor-wet",
      "not-answered",
      "excess-litres",
      "unordered-water",
      "emptied-early",
    ] as const) {
      const watch = new Watch().see(
        { topOff: { latch: latch(reason, true), waterGuardLatch: latch(reason, true) } },
        250,
      );
      expect(watch.alarms.map(({ id }) => id)).toHaveLength(1);
    }
    for (const reason of ["heat-cut-out", "heater-welded", "heater-no-effect", "memory-lost"] as const) {
      expect(new Watch().see({ heat: { latch: latch(reason, true) } }, 250).alarms).toHaveLength(1);
    }
  });
});

describe("a reading becomes unknown", () => {
  it("temperature, salinity and contacts: standing alarms stay, none begins but float-failed", () => {
    const lost: Change = {
      thermometers: [bad("stale"), bad("stale")],
      quantities: {
        temperature: bad("stale"),
        warmest: bad("stale"),
        conductivity: bad("stale"),
        salinity: bad("stale"),
        salinityChangePer6h: null,
      },
    };
    const ids = CONDITIONS.filter(({ id }) => /^(temperature|salinity)-(very-|)(low|high|falling|rising)/.test(id));
    expect(ids).toHaveLength(10);
    for (const { id } of ids) {
      expect([id, stands(id, lost, true), stands(id, lost, false)]).toEqual([id, true, false]);
    }
    for (const part of [
      "high-float",
      "floor-sensor",
      "low-float",
      "mains-sensor",
      "return-sensor",
      "reservoir-float",
    ] as const) {
      const unknown: Change = { contacts: { [part]: contact("unknown") } };
      const id = {
        "high-float": "water-over-high-mark",
        "floor-sensor": "floor-wet",
        "low-float": "water-under-low-mark",
        "mains-sensor": "mains-lost",
        "return-sensor": "return-pump-stopped",
        "reservoir-float": "reservoir-empty",
      }[part];
      expect([id, stands(id, unknown, true), stands(id, unknown, false)]).toEqual([id, true, false]);
      expect(stands("float-failed", unknown)).toBe(true);
    }
  });

  it("no valid temperature: alarm temperature-unknown of high priority", () => {
    expect(condition("temperature-unknown").priority).toBe("high");
    const both: Change = {
      thermometers: [bad("rate"), bad("not-fitted")],
      quantities: { temperature: bad("not-fitted"), warmest: bad("not-fitted") },
    };
    expect(stands("temperature-unknown", both)).toBe(true);
  });
});

describe("suppression by design", () => {
  const holding = { hold: { active: true, withHeat: true, leftMs: 1_000_000 } };
  const settling = { topOff: { blockers: ["return-pump-settling"] as const } };
  const silent = { board: "silent" as const };
  const bubbles = { quantities: { salinity: uncertain(32, "bubbles") } };
  const rows: [id: string, change: Change, state: string][] = [
    ["water-over-high-mark", { ...holding, contacts: { "high-float": contact("on") } }, "suppressed"],
    ["water-over-high-mark", { ...settling, contacts: { "high-float": contact("on") } }, "suppressed"],
    ["water-over-high-mark", { ...silent, contacts: { "high-float": contact("on") } }, "unacknowledged"],
    ["water-over-high-mark", { ...holding, topOff: { latch: latch("high-float-wet") } }, "unacknowledged"],
    ["water-under-low-mark", { ...holding, contacts: { "low-float": contact("off") } }, "suppressed"],
    ["water-under-low-mark", { ...settling, contacts: { "low-float": contact("off") } }, "suppressed"],
    ["floor-wet", { ...holding, contacts: { "floor-sensor": contact("on") } }, "unacknowledged"],
    ["temperature-low", { ...temperature(21), ...holding }, "unacknowledged"],
    ["temperature-very-low", { ...temperature(19), ...holding }, "unacknowledged"],
    ["temperature-high", { ...temperature(29), ...holding, ...silent }, "unacknowledged"],
    ["temperature-very-high", { ...temperature(31), ...holding }, "unacknowledged"],
    ["salinity-low", { ...salinity(33.5), ...holding }, "suppressed"],
    ["salinity-very-low", bubbles, "suppressed"],
    ["salinity-very-high", { ...salinity(38), ...settling }, "suppressed"],
    ["salinity-falling-fast", { ...trend(-1), ...holding }, "suppressed"],
    ["salinity-falls-unexplained", { ...falling(-1), ...holding }, "suppressed"],
    ["board-silent", { ...silent, ...holding }, "unacknowledged"],
    ["float-failed", { ...silent, contacts: { "high-float": contact("unknown") } }, "suppressed"],
    ["thermometer-failed", { ...silent, thermometers: [bad("disconnected"), good(25)] }, "suppressed"],
    ["temperature-unknown", { ...silent, quantities: { temperature: bad("disconnected") } }, "suppressed"],
    [
      "thermometer-failed",
      { thermometers: [bad("open-circuit"), bad("open-circuit")], quantities: { temperature: bad("open-circuit") } },
      "suppressed",
    ],
    ["conductivity-probe-failed", { ...holding, quantities: { conductivity: bad("out-of-range") } }, "suppressed"],
    ["return-pump-stopped", { ...holding, contacts: { "return-sensor": contact("off") } }, "suppressed"],
    [
      "return-pump-stopped",
      { contacts: { "return-sensor": contact("off"), "mains-sensor": contact("off") } },
      "suppressed",
    ],
    [
      "mains-lost",
      { ...holding, contacts: { "return-sensor": contact("off"), "mains-sensor": contact("off") } },
      "unacknowledged",
    ],
    [
      "reservoir-low",
      { contacts: { "reservoir-float": contact("off") }, topOff: { daysInReservoir: 0 } },
      "suppressed",
    ],
    ["history-failed", { disk: "failed", beside: { ...ALL_WELL_BESIDE, history: "failed" } }, "suppressed"],
    ["top-off-withheld", { ...holding, topOff: { dueL: 0.8, blockers: ["hold"] } }, "unacknowledged"],
  ];
  it.each(rows)("%s in %j for 30 min: %s", (id, change, state) => {
    expect(new Watch().see(change, 1_800_000).state(id)).toBe(state);
  });

  it("a search for a weld that takes two hours: no alarm; a weld found before: unacknowledged", () => {
    const search: Change = heat({ why: "heating-while-off", guard: "open" });
    expect(new Watch().see(search, 8_400_000).alarms).toEqual([]);
    expect(new Watch().see(heat({ latch: latch("heater-welded") }), 250).state("heating-while-off")).toBe(
      "unacknowledged",
    );
  });

  it("water that a warm room warms rings no weld, and water that nothing explains does", () => {
    expect(new Watch().see(heat({ warming: "room" }), 86_400_000).alarms).toEqual([]);
    const unexplained = new Watch().see(heat({ warming: "unexplained" }), 299_000);
    expect(unexplained.alarms).toEqual([]);
    expect(unexplained.see(heat({ warming: "unexplained" }), 2_000).state("heating-while-off")).toBe("unacknowledged");
  });

  it("heat by one contact rings at once, and until a person clears it", () => {
    const finding = latch("one-contact-heating", true);
    const watch = new Watch().see(heat({ finding }), 250);
    expect(watch.state("heating-while-off")).toBe("unacknowledged");
    expect(watch.see(heat({ finding }), 7_200_000).state("heating-while-off")).toBe("unacknowledged");
  });

  it("a thermometer in its cup to be calibrated has not failed, and no temperature is missed", () => {
    const cup: Change = {
      thermometers: [bad("being-calibrated"), bad("being-calibrated")],
      quantities: { temperature: bad("being-calibrated") },
    };
    expect(new Watch().see(cup, 3_600_000).state("temperature-unknown")).toBe("suppressed");
    expect(new Watch().see({ thermometers: [bad("being-calibrated"), good(25)] }, 3_600_000).alarms).toEqual([]);
  });

  it("two thermometers that agree, and the cell's own far from them, are told", () => {
    const far: Change = { quantities: { temperature: good(25), cellTemperature: good(23.6) } };
    expect(new Watch().see(far, 301_000).state("thermometers-disagree")).toBe("unacknowledged");
    expect(new Watch().see({ quantities: { cellTemperature: good(23.8) } }, 3_600_000).alarms).toEqual([]);
  });

  it("high float wet for 4 min after a stop of the return pump: no alarm", () => {
    const surge: Change = { ...settling, contacts: { "high-float": contact("on"), "return-sensor": contact("off") } };
    const watch = new Watch().see(surge, 240_000).see(settling, 60_000).see({}, 3_600_000);
    expect(watch.alarms).toEqual([]);
  });

  it("high float still wet 2 s after the 5 min: water-over-high-mark", () => {
    const surge: Change = { ...settling, contacts: { "high-float": contact("on") } };
    const watch = new Watch().see(surge, 300_000).see({ contacts: { "high-float": contact("on") } }, 2_000);
    expect(watch.state("water-over-high-mark")).toBe("unacknowledged");
  });

  it("board silent, thermometer on a line of its own: thermometer-failed", () => {
    const pin = (number: number) => ({ board: "io", pin: number, energisedLevel: "high" });
    const settings = settingsSchema.parse({
      boards: { io: { kind: "firmata", port: "/dev/a" }, probes: { kind: "modbus", port: "/dev/b" } },
      inputs: { "thermometer-1": { board: "probes", slave: 1, temperatureC: { address: 0, type: "int16" } } },
      outputs: { "heater-1": pin(2), "heat-guard": pin(3) },
    });
    const change: Change = { board: "silent", thermometers: [bad("no-answer"), good(25)] };
    expect(new Watch(settings).see(change, 120_000).state("thermometer-failed")).toBe("unacknowledged");
  });

  it("no heater fitted, 24 °C for an hour: heat-withheld suppressed", () => {
    const settings = settingsSchema.parse({
      boards: { io: { kind: "firmata", port: "/dev/a" } },
      outputs: { "top-off-pump": { board: "io", pin: 2, energisedLevel: "high" } },
    });
    const watch = new Watch(settings).see(temperature(24), 3_600_000);
    expect(watch.state("heat-withheld")).toBe("suppressed");
  });

  it("8 L due for an hour: no alarm without a pump, top-off-withheld with one", () => {
    const io = { io: { kind: "firmata", port: "/dev/a" } };
    const pin = (number: number) => ({ board: "io", pin: number, energisedLevel: "high" });
    const heated = { "heater-1": pin(2), "heat-guard": pin(3) };
    const due = topOff({ dueL: 8 });
    const without = settingsSchema.parse({ boards: io, outputs: heated });
    expect(new Watch(without).see(due, 3_600_000).alarms).toEqual([]);
    const fitted = settingsSchema.parse({
      boards: io,
      outputs: { ...heated, "top-off-pump": pin(4), "water-guard": pin(5) },
    });
    expect(new Watch(fitted).see(due, 3_600_000).state("top-off-withheld")).toBe("unacknowledged");
  });

  it("float failed for 60 s, well for 30 s of its off-delay: float-failed still unacknowledged", () => {
    const watch = new Watch().see({ contacts: { "high-float": contact("unknown") } }, 60_000).see({}, 30_000);
    expect(watch.state("float-failed")).toBe("unacknowledged");
  });
});

describe("an alarm's detail", () => {
  const rows: [id: string, change: Change, words: string | null][] = [
    [
      "float-failed",
      { contacts: { "high-float": contact("unknown", "stale") } },
      "the high float has stopped reporting",
    ],
    ["thermometer-failed", { thermometers: [good(25), bad("no-answer")] }, "thermometer 2 does not answer"],
    ["top-off-withheld", topOff({ dueL: 1, blockers: ["reservoir-empty"] }), "the reservoir is empty"],
    [
      "heat-withheld",
      heat({ state: "waiting", why: "heat-starting" }),
      "just started; the heater waits until temperature and flow are shown",
    ],
    ["top-off-locked", topOff({ latch: latch("pour-too-long") }), "a pour ran longer than it ever may"],
    ["temperature-low", temperature(22.04), "22.0 °C"],
    ["salinity-falling-fast", trend(-0.72), "by 0.7 in 6 h"],
    ["salinity-falls-unexplained", falling(-1.23), "by 1.2 a day"],
    ["floor-wet", { contacts: { "floor-sensor": contact("on") } }, null],
    [
      "floor-wet",
      { contacts: { "floor-sensor": contact("unknown", "disconnected") } },
      "so counted, because the floor sensor is disconnected",
    ],
    ["heating-while-off", heat({ latch: latch("heater-welded") }), "the heater's relay does not open any more"],
    [
      "heating-while-off",
      heat({ latch: latch("heat-cut-out"), seenOn: true }),
      "the heater is powered although it was switched off",
    ],
    ["heating-while-off", heat({ why: "heating-while-off", guard: "open" }), null],
    ["front-restarted", { beside: { ...ALL_WELL_BESIDE, front: "away" } }, "they are away now"],
    ["front-restarted", { beside: { ...ALL_WELL_BESIDE, front: "restarted" } }, null],
    [
      "program-fault",
      { beside: { ...ALL_WELL_BESIDE, fault: "the sentence: no such word" } },
      "the sentence: no such word",
    ],
    [
      "heating-while-off",
      heat({ warming: "unexplained" }),
      "it went on with the heat guard open, and the room is not so warm",
    ],
    [
      "heating-while-off",
      heat({ finding: latch("one-contact-heating", true) }),
      "one of the heater's two contacts does not open any more; heating carefully by the other, part of the time",
    ],
    [
      "temperature-high",
      { ...heat({ warming: "room" }), quantities: { temperature: good(28.4), warmest: good(28.4) } },
      "28.4 °C, the heater is surely off: it is the room, a lamp or a pump",
    ],
  ];
  it.each(rows)("%s %j: %s", (id, change, words) => {
    expect(detailOf(id, recordOf(change), SETTINGS)).toBe(words);
  });

  it("every alarm, healthy or nothing known: no null, undefined or NaN in its words; unknown id: null", () => {
    const worst: Change = {
      thermometers: [bad("stale"), bad("stale")],
      quantities: { temperature: bad("stale"), salinity: bad("stale"), salinityChangePer6h: null },
      topOff: { daysInReservoir: null },
    };
    for (const { id } of CONDITIONS) {
      for (const change of [{}, worst])
        expect(detailOf(id, recordOf(change), SETTINGS) ?? "").not.toMatch(/null|undefined|NaN/);
    }
    expect(detailOf("unheard-of", recordOf(), SETTINGS)).toBeNull();
  });
});

describe("an alarm's words", () => {
  it('each id of the conditions: has words, in the same order; "all" and "__proto__": no alarm', () => {
    expect(ALARM_WORDS.map(({ id }) => id)).toEqual(CONDITIONS.map(({ id }) => id));
    expect(isAlarmId("floor-wet")).toBe(true);
    expect(isAlarmId("all")).toBe(false);
    expect(isAlarmId("__proto__")).toBe(false);
  });

  it.each(ALARM_WORDS.map((words) => [words.id, words] as const))(
    "%s: cause, consequence, what to do and time are whole sentences under 260 characters",
    (_id, words) => {
      for (const text of [words.cause, words.consequence, words.whatToDo, words.timeToRespond]) {
        expect(text).toMatch(/^[A-Z].*[.]$/s);
        expect(text.length).toBeLessThan(260);
      }
      expect(words.title).toMatch(/^[A-Z][^.]{5,59}$/);
    },
  );

  it("five alarms with hands near water: say to unplug or switch off", () => {
    for (const id of [
      "water-over-high-mark",
      "floor-wet",
      "return-pump-stopped",
      "water-under-low-mark",
      "float-failed",
    ]) {
      expect(condition(id).whatToDo).toMatch(/unplug|breaker/i);
    }
  });
});
