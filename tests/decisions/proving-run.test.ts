import { describe, expect, test } from "vitest";
import { FRESH_PROVING, type ProvingMemory, type Run } from "../../controller/decisions/proving/memory.ts";
import { followProving, type ProvingFacts, type SwitchedRun, stopped } from "../../controller/decisions/proving/run.ts";
import type { ProvingRun, Signal } from "../../shared/contract/index.ts";
import { REASONS } from "../../shared/contract/reasons.ts";
import { elapsed } from "../elapsed.ts";
import { heatSignal } from "./heat-scene.ts";
import { contact } from "./top-off-scene.ts";

/** One scan of a proving run at a time: what is seen becomes evidence, or ends it. A scan lasts a second, half is credit. */
const IDLE: SwitchedRun = { underWay: false, ended: false, on: false, why: "water-at-mark", powered: null };
const ON: SwitchedRun = { underWay: true, ended: false, on: true, why: "proving-pump", powered: null };
const DRY = contact("off");
const FACTS: ProvingFacts = {
  elapsed: elapsed(1_000, 500),
  contacts: {
    "high-float": DRY,
    "working-float": DRY,
    "low-float": DRY,
    "reservoir-float": DRY,
    "floor-sensor": DRY,
    "return-sensor": DRY,
  },
  thermometers: [heatSignal(25), heatSignal(25)],
  board: "ready",
  switched: null,
};
const SETTLED = { position: "off", stayedMs: 1_000, settled: "off", turns: 0, leftMs: 0 } as const;
const QUIET: ProvingMemory = {
  ...FRESH_PROVING,
  contacts: {
    "high-float": SETTLED,
    "working-float": SETTLED,
    "low-float": SETTLED,
    "reservoir-float": SETTLED,
    "floor-sensor": SETTLED,
  },
};
const MINE = { part: "siphon", leftMs: 500_000, ranMs: 0, reading: null } as const;
const under = (part: ProvingRun, change: Partial<Run> = {}): ProvingMemory => ({
  ...QUIET,
  run: { part, phase: "running", leftMs: 60_000, ranMs: 4_000, startC: null, otherC: null, sensedMs: 0, ...change },
});
const follow = (memory: ProvingMemory, facts: Partial<ProvingFacts> = {}) =>
  followProving(memory, { ...FACTS, ...facts });
const AGAIN = "Nothing is proven by it and nothing is lost: begin it again.";

describe("no run under way", () => {
  test("nothing moves: the very same memory", () => {
    const { memory, failed } = follow(QUIET);
    expect(memory).toBe(QUIET);
    expect(failed).toBeNull();
  });
  test("low float moves: noted", () => {
    const moved = follow(QUIET, { contacts: { ...FACTS.contacts, "low-float": contact("on") } });
    expect(moved).toEqual({
      memory: { ...QUIET, contacts: { ...QUIET.contacts, "low-float": { ...SETTLED, position: "on", stayedMs: 0 } } },
      failed: null,
    });
  });
  test("scan of 1 s: what was shown 1 s less, then gone", () => {
    const shown = (leftMs: number) => follow({ ...QUIET, shown: { ...MINE, leftMs } }).memory.shown;
    expect(shown(1_001)).toEqual({ ...MINE, leftMs: 1 });
    expect(shown(1_000)).toBeNull();
  });
});

/** The machine that switches the part, and what is sensed behind it. */
const machine = (own: SwitchedRun, powered: boolean | null = null): Partial<ProvingFacts> => ({
  switched: { ...own, powered },
});
const SWITCHED: [part: ProvingRun, done: string][] = [
  ["water-guard", "The relay was closed and the guard open: it is proven if the pump stood still."],
  ["top-off-pump", "Read the jug and say how many millilitres are in it."],
  ["heat-guard", "The relay was closed and the guard open: it is proven if the heater stayed dark."],
  ["heater-1", "The heater was switched on: it is proven if it came on."],
  ["heater-thermostat", "It is proven if its own thermostat cut and is back 1 to 1.5 K above the setpoint."],
  ["heat-guard-2", "The relay was closed and its guard open: it is proven if the second heater stayed dark."],
  ["heater-2", "The second heater was switched on: it is proven if it came on."],
  ["heater-2-thermostat", "It is proven if its own thermostat cut and is back 1 to 1.5 K above the setpoint."],
];

describe.each(SWITCHED)("a run of %s", (part, why) => {
  test("its machine on: 1 s more counted; commanded off: none", () => {
    const before = under(part);
    expect(follow(before, machine(ON))).toEqual({
      memory: { ...before, run: { ...before.run, ranMs: 5_000 } },
      failed: null,
    });
    expect(follow(before, machine({ ...ON, on: false })).memory.run?.ranMs).toBe(4_000);
  });
  test("ended by its machine: done, to be judged for ten minutes, with 5 s as reading", () => {
    const { memory, failed } = follow({ ...under(part), shown: MINE }, machine({ ...IDLE, on: true, ended: true }));
    expect(failed).toBeNull();
    expect(memory).toEqual({
      ...QUIET,
      shown: { part, leftMs: 600_000, ranMs: 5_000, reading: { value: 5, unit: "s" } },
      lastRun: { part, ending: "done", why },
    });
  });
  test("ended before its time, or only another machine on: interrupted, with that machine's reason", () => {
    expect(follow(under(part), machine({ ...IDLE, why: "floor-wet" }))).toEqual({
      memory: { ...QUIET, lastRun: { part, ending: "interrupted", why: `${REASONS["floor-wet"]} ${AGAIN}` } },
      failed: null,
    });
  });
});

test("run of heater-2 in a box with one heater: interrupted as not proven", () => {
  const { memory, failed } = follow(under("heater-2"), { switched: null });
  expect([memory.run, memory.shown, failed]).toEqual([null, null, null]);
  expect(memory.lastRun).toEqual({
    part: "heater-2",
    ending: "interrupted",
    why: `${REASONS["not-proven"]} ${AGAIN}`,
  });
});

describe("a guard under test", () => {
  const guards = ["water-guard", "heat-guard", "heat-guard-2"] as const;
  test.each(guards)("power behind it for 2 s: goes on; longer: failed, its proof falls: %s", (part) => {
    const sensed = (sensedMs: number, own: SwitchedRun, powered: boolean | null) =>
      follow({ ...under(part, { sensedMs }), shown: MINE }, machine(own, powered));
    expect(sensed(1_000, ON, true).memory.run?.sensedMs).toBe(2_000);
    expect(sensed(1_001, ON, true)).toEqual({
      memory: {
        ...QUIET,
        lastRun: {
          part,
          ending: "failed",
          why: "There is power behind the open guard: its contact is stuck. Unplug what hangs on it and replace the guard.",
        },
      },
      failed: part,
    });
    for (const powered of [false, null]) expect(sensed(1_001, ON, powered).memory.run?.sensedMs).toBe(1_001);
    expect(sensed(1_001, { ...ON, on: false }, true).memory.run?.sensedMs).toBe(1_001);
    // Even in its last scan.
    expect(sensed(1_001, { ...ON, ended: true }, true).failed).toBe(part);
  });
  test("power sensed behind a pump or heater run for 9 s: no failure", () => {
    for (const part of ["top-off-pump", "heater-1", "heater-2"] as const) {
      expect(follow(under(part, { sensedMs: 9_000 }), machine(ON, true)).failed).toBeNull();
    }
  });
});

const THERMOSTATS = ["heater-thermostat", "heater-2-thermostat"] as const;
describe.each(THERMOSTATS)("own thermostat: %s", (part) => {
  const ends = (sensedMs: number, powered: boolean | null) =>
    follow(under(part, { sensedMs }), machine({ ...ON, ended: true }, powered)).memory;
  test("ended with power sensed, cut seen for 2 s at most: interrupted as not seen to cut; for 2.001 s: done", () => {
    const lastRun = {
      part,
      ending: "interrupted",
      why: `The heater's own thermostat was not seen to cut: turn it below the water. ${AGAIN}`,
    };
    expect(ends(0, true)).toEqual({ ...QUIET, lastRun });
    expect(ends(2_000, true).lastRun).toEqual(lastRun);
    expect(ends(1_000, false).lastRun).toEqual(lastRun);
    expect(ends(1_001, false).lastRun?.ending).toBe("done");
    expect(ends(2_001, true).lastRun?.ending).toBe("done");
  });
  test("ended, power not sensed: done", () => {
    expect(ends(0, null).lastRun?.ending).toBe("done");
  });
  test("no power while the heater is commanded off: not counted as a cut; while on: counted", () => {
    const off = follow(under(part), machine({ ...ON, on: false }, false));
    expect(off.memory.run?.sensedMs).toBe(0);
    const cut = follow(under(part), machine(ON, false));
    expect(cut.memory.run?.sensedMs).toBe(1_000);
  });
});

describe("a run of the siphon", () => {
  const watches = (leftMs: number) => under("siphon", { phase: "watching", leftMs, ranMs: 30_000 });
  test("pump at its end: watched for 60 s of credited time, then done, to be judged for ten minutes, no reading", () => {
    const { memory } = follow(under("siphon"), machine({ ...IDLE, on: true, ended: true }));
    expect(memory.run).toEqual({ ...under("siphon").run, phase: "watching", leftMs: 60_000, ranMs: 5_000 });
    expect(memory.lastRun).toBeNull();
    expect(follow(watches(501)).memory).toEqual(watches(1));
    expect(follow(watches(500))).toEqual({
      memory: {
        ...QUIET,
        shown: { part: "siphon", leftMs: 600_000, ranMs: 30_000, reading: null },
        lastRun: {
          part: "siphon",
          ending: "done",
          why: "Read what ran into the jug after the stop, and say it in millilitres.",
        },
      },
      failed: null,
    });
    expect(follow(watches(400)).memory.run).toBeNull();
  });
  test("board silent, restarted or unattended in the watch: interrupted", () => {
    for (const board of ["silent", "restarted", "unattended"] as const) {
      expect(follow(watches(501), { board }).memory.lastRun).toEqual({
        part: "siphon",
        ending: "interrupted",
        why: `${REASONS["board-silent"]} ${AGAIN}`,
      });
    }
  });
});

describe("the watch of the level with the return pump off", () => {
  const watches = (leftMs: number, contacts: Partial<ProvingFacts["contacts"]> = {}) =>
    follow(under("pump-off-level", { phase: "watching", leftMs }), {
      contacts: { ...FACTS.contacts, "working-float": contact("on"), ...contacts },
    });
  const ended = (ending: "done" | "failed" | "interrupted", why: string) => ({
    part: "pump-off-level",
    ending,
    why: ending === "interrupted" ? `${why} ${AGAIN}` : why,
  });
  test("60 s without the high float wet, working float full at the end: done, to be judged", () => {
    expect(watches(501).memory.run?.leftMs).toBe(1);
    const { memory, failed } = watches(500);
    expect([memory.run, failed]).toEqual([null, null]);
    expect(memory.shown).toEqual({ part: "pump-off-level", leftMs: 600_000, ranMs: 4_000, reading: null });
    expect(memory.lastRun).toEqual(
      ended(
        "done",
        "The high float stayed dry and the working float read full. Measure how far the water stands above the working mark.",
      ),
    );
  });
  test("high float wet: failed as hanging too low, its proof to fall", () => {
    const { memory, failed } = watches(60_000, { "high-float": contact("on") });
    expect(failed).toBe("pump-off-level");
    expect(memory).toMatchObject({ run: null, shown: null });
    expect(memory.lastRun).toEqual(
      ended("failed", "The high float got wet with the return pump off: it hangs too low. Raise it."),
    );
  });
  type Row = [story: string, leftMs: number, contacts: Partial<ProvingFacts["contacts"]>, why: string];
  const RUNS = "The return pump runs: it must stand still until the watch is over.";
  const STICKS = "The working float did not rise with the water: look whether it sticks.";
  const rows: Row[] = [
    ["a high float that falls silent", 60_000, { "high-float": contact("unknown") }, REASONS["high-float-unknown"]],
    ["a return pump that runs", 60_000, { "return-sensor": contact("on") }, RUNS],
    ["one that may run", 60_000, { "return-sensor": contact("unknown") }, RUNS],
    ["even at the very end", 500, { "return-sensor": contact("on") }, RUNS],
    ["a working float that stays low", 500, { "working-float": contact("off") }, STICKS],
    ["one that says nothing", 500, { "working-float": contact("unknown") }, STICKS],
  ];
  test.each(rows)("%s, %d ms left: interrupted", (_, leftMs, contacts, why) => {
    const { memory, failed } = watches(leftMs, contacts);
    expect([memory.run, memory.shown, failed]).toEqual([null, null, null]);
    expect(memory.lastRun).toEqual(ended("interrupted", why));
  });
  test("working float low before the end: goes on; return pump not fitted: done", () => {
    expect(watches(501, { "working-float": contact("off") }).memory.run).not.toBeNull();
    expect(watches(500, { "return-sensor": contact("not-fitted") }).memory.lastRun?.ending).toBe("done");
  });
});

describe.each(["thermometer-1", "thermometer-2"] as const)("%s in a warm hand, begun at 25 °C beside 24 °C", (part) => {
  const says = (own: Signal, other: Signal): Partial<ProvingFacts> => ({
    thermometers: part === "thermometer-1" ? [own, other] : [other, own],
  });
  const warms = (own: number | null, other: number | null, change: Partial<Run> = {}) =>
    follow(
      { ...under(part, { phase: "watching", startC: 25, otherC: 24, ...change }), shown: MINE },
      says(heatSignal(own), heatSignal(other)),
    );
  test("first scan: both readings kept to compare with; later: they stay", () => {
    const first = warms(25, 24, { startC: null, otherC: null });
    expect(first.memory.run).toMatchObject({ startC: 25, otherC: 24, leftMs: 59_500 });
    expect(warms(25.9, 24.1).memory.run).toMatchObject({ startC: 25, otherC: 24 });
  });
  test("1 K up, the other 0.4 K: done, reading of 1 K; 0.99 K, or the other half as much: goes on", () => {
    const { memory, failed } = warms(26, 24.4);
    expect(failed).toBeNull();
    expect(memory).toEqual({
      ...QUIET,
      shown: { part, leftMs: 600_000, ranMs: 4_000, reading: { value: 1, unit: "K" } },
      lastRun: { part, ending: "done", why: "It rose and the other did not." },
    });
    expect(warms(25.99, 24).memory.run).not.toBeNull();
    // Both rose: the hand warms the water, and nobody knows which is which.
    expect(warms(27, 25).memory.run).not.toBeNull();
    expect(warms(27, 24.99).memory.run).toBeNull();
  });
  test("the other 1 K up, itself 0.4 K: failed as swapped, proof to fall; the other 0.99 K: goes on", () => {
    const { memory, failed } = warms(25.4, 25);
    expect(failed).toBe(part);
    expect(memory.shown).toBeNull();
    expect(memory.lastRun).toEqual({
      part,
      ending: "failed",
      why: "The other thermometer rose: the two are swapped, in the water or in the settings.",
    });
    expect(warms(25, 24.99).failed).toBeNull();
    expect([warms(25.5, 25).failed, warms(25.99, 26).failed]).toEqual([null, part]);
  });
  test("1 K up, the other without a reading now or at the beginning: done", () => {
    expect(warms(26, null).memory.lastRun?.ending).toBe("done");
    expect(warms(26, 25.9, { otherC: null }).memory.lastRun?.ending).toBe("done");
    expect(warms(25, null).memory.run).not.toBeNull();
  });
  test("no reading: interrupted at once, look at its wire", () => {
    const { memory, failed } = warms(null, 24);
    expect(failed).toBeNull();
    expect(memory.lastRun).toEqual({
      part,
      ending: "interrupted",
      why: `It gives no temperature: look at its wire first. ${AGAIN}`,
    });
  });
  test("0.9 K up at the end: interrupted as less than 1 K; what another run has shown stays", () => {
    expect(warms(25.9, 24, { leftMs: 501 }).memory.run?.leftMs).toBe(1);
    expect(warms(25.9, 24, { leftMs: 500 }).memory).toMatchObject({
      run: null,
      shown: MINE_AFTER,
      lastRun: {
        part,
        ending: "interrupted",
        why: `It rose by less than 1 K: hold it in a warm hand for longer. ${AGAIN}`,
      },
    });
  });
});
/** What another run has shown is left to be judged. */
const MINE_AFTER = { ...MINE, leftMs: 499_000 };

test("stopped by hand: no run, last run interrupted with that reason", () => {
  expect(stopped(under("siphon"), "siphon", "By hand.")).toEqual({
    ...QUIET,
    lastRun: { part: "siphon", ending: "interrupted", why: "By hand." },
  });
});
