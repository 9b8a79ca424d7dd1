import { describe, expect, test } from "vitest";
import {
  blockersOf,
  contradicts,
  litresBlock,
  mayBeWet,
  provingBlockers,
  type TopOffFacts,
} from "../../controller/decisions/top-off/blockers.ts";
import {
  causeStands,
  isClearedAtTank,
  latched,
  latchReason,
  standingCause,
} from "../../controller/decisions/top-off/latches.ts";
import {
  accrue,
  charged,
  costOf,
  isHealthy,
  isUnanswered,
  poured,
  refunded,
  sliceIsFull,
} from "../../controller/decisions/top-off/litres.ts";
import type { TopOffMemory } from "../../controller/decisions/top-off/memory.ts";
import { clearTopOff, handTest, refill } from "../../controller/decisions/top-off/requests.ts";
import { watchReservoir } from "../../controller/decisions/top-off/reservoir.ts";
import type { ContactSignal, Reason } from "../../shared/contract/index.ts";
import { REASONS } from "../../shared/contract/reasons.ts";
import { contact, FACTS, facts, memory, PLAN } from "./top-off-scene.ts";

/** Top-off's rules one at a time, on both sides of each limit. */
describe("blockers of a pour", () => {
  const rows: [name: string, change: Partial<TopOffFacts>, blockers: Reason[]][] = [
    ["nothing", {}, []],
    ["board silent", { board: "silent" }, ["board-silent"]],
    ["guard firmware", { pumpLocked: true }, ["pump-locked-by-guard"]],
    ["floor wet", { floor: contact("on") }, ["floor-wet"]],
    ["floor unknown", { floor: contact("unknown") }, ["floor-sensor-unknown"]],
    ["no floor sensor", { floor: contact("not-fitted") }, []],
    ["high wet, working low", { high: contact("on") }, ["high-float-wet", "floats-contradict"]],
    ["high wet, working full", { high: contact("on"), working: contact("on") }, ["high-float-wet"]],
    ["high unknown, working low", { high: contact("unknown") }, ["high-float-unknown", "floats-contradict"]],
    ["working unknown", { working: contact("unknown") }, ["working-float-unknown"]],
    ["low dry, working low", { low: contact("off") }, []],
    ["low dry, working full", { low: contact("off"), working: contact("on") }, ["floats-contradict"]],
    ["low unknown, working full", { low: contact("unknown"), working: contact("on") }, ["floats-contradict"]],
    ["no low float, working full", { low: contact("not-fitted"), working: contact("on") }, []],
    ["pump seen on", { pumpSeenOn: true }, ["pump-seen-on"]],
    ["not yet steady", { steady: false }, ["starting"]],
    ["not yet steady or supplied", { steady: false, supplied: false }, ["starting"]],
    ["not yet supplied", { supplied: false }, ["top-off-starting"]],
    ["the pump being proven", { supplied: false, pumpWatched: true }, ["pump-being-proven"]],
    ["hold", { holding: true }, ["hold"]],
    ["question", { question: true }, ["hold-question"]],
    ["reservoir empty", { reservoir: contact("off") }, ["reservoir-empty"]],
    ["reservoir unknown", { reservoir: contact("unknown") }, ["reservoir-float-unknown"]],
    ["no reservoir float", { reservoir: contact("not-fitted") }, []],
    ["mains lost", { mains: contact("off") }, ["mains-lost"]],
    ["mains unknown", { mains: contact("unknown") }, ["mains-lost"]],
    ["no mains sensor", { mains: contact("not-fitted") }, []],
    ["return pump stopped", { returnPump: contact("off") }, ["return-pump-stopped"]],
    ["return pump unknown", { returnPump: contact("unknown") }, ["return-pump-stopped"]],
    ["no return sensor", { returnPump: contact("not-fitted") }, []],
    [
      "all three at once",
      { reservoir: contact("off"), mains: contact("off"), returnPump: contact("off") },
      ["reservoir-empty", "mains-lost", "return-pump-stopped"],
    ],
    ["level settling", { levelSettled: false }, ["return-pump-settling"]],
    ["diluted", { salinity: "diluted" }, ["salinity-falling"]],
    ["in doubt", { salinity: "doubtful" }, []],
    ["disk failed", { disk: "failed" }, ["disk-failed"]],
    ["not proven", { proven: false }, ["not-proven"]],
  ];
  test.each(rows)("%s: $2", (_name, change, blockers) => {
    expect(blockersOf(memory(), facts(change))).toEqual(blockers);
    // The question without a list, and with one: the same answer beside anything else.
    expect(blockersOf(memory(), facts({ ...change, question: true }))).toContain("hold-question");
  });
  test("latch before hold; dilution by hand test or reading; disk failed with a charge on disk: none", () => {
    const latch = { reason: "failed-pours", occurrence: 1 } as const;
    expect(blockersOf(memory({ latch }), facts({ holding: true }))).toEqual(["failed-pours", "hold"]);
    expect(blockersOf(memory({ latch }), facts())).toEqual(["failed-pours"]);
    expect(blockersOf(memory({ dilutedByTest: true }), facts())).toEqual(["salinity-falling"]);
    // What fell once waits until it has recovered, though the reading of this scan is credible again.
    expect(blockersOf(memory({ diluted: true }), facts())).toEqual(["salinity-falling"]);
    expect(blockersOf(memory({ chargeUl: 1 }), facts({ disk: "failed" }))).toEqual([]);
  });
  test("provingBlockers: eight named reasons left out, every other kept", () => {
    const without: Reason[] = [
      "hold",
      "hold-question",
      "return-pump-stopped",
      "return-pump-settling",
      "top-off-starting",
      "pump-being-proven",
      "salinity-falling",
      "not-proven",
    ];
    expect(provingBlockers([...without, "floor-wet"])).toEqual(["floor-wet"]);
    for (const reason of without) expect(provingBlockers([reason])).toEqual([]);
    for (const [, , blockers] of rows) {
      expect(provingBlockers(blockers)).toEqual(blockers.filter((reason) => !without.includes(reason)));
    }
  });
  test("mayBeWet: wet and unknown true, dry and not fitted false", () => {
    expect((["on", "off", "unknown", "not-fitted"] as const).map((position) => mayBeWet(contact(position)))).toEqual([
      true,
      false,
      true,
      false,
    ]);
    expect(contradicts(FACTS)).toBe(false);
  });
  test("charge just fits into both: null; 1 µL too much: excess-litres or daily-budget-used", () => {
    const room = PLAN.excessLimitUl - PLAN.chargeUl;
    expect(litresBlock(memory({ excessUl: room }), PLAN)).toBeNull();
    expect(litresBlock(memory({ excessUl: room + 1 }), PLAN)).toBe("excess-litres");
    expect(litresBlock(memory({ bucketUl: PLAN.chargeUl }), PLAN)).toBeNull();
    expect(litresBlock(memory({ bucketUl: PLAN.chargeUl - 1 }), PLAN)).toBe("daily-budget-used");
  });
});

describe("amounts of top-off", () => {
  const before = memory({ bucketUl: 1_000_000, excessUl: 1_000_000, dueUl: 5, sinceHandTestMs: 0 });
  test("board and floats known: bucket, unexplained litres and hand-test wait by credited time; else none; due by all of it", () => {
    expect(accrue(before, FACTS, PLAN)).toEqual({
      bucketUl: 1_000_000 + 500 * PLAN.bucketUlPerMs,
      excessUl: 1_000_000 - 500 * PLAN.lowestEvaporationUlPerMs,
      dueUl: 5 + 1_000 * PLAN.evaporationUlPerMs,
      sinceHandTestMs: 500,
    });
    for (const sick of [
      facts({ board: "silent" }),
      facts({ working: contact("unknown") }),
      facts({ high: contact("unknown") }),
    ]) {
      expect(isHealthy(sick)).toBe(false);
      expect(accrue(before, sick, PLAN)).toMatchObject({
        bucketUl: 1_000_000,
        excessUl: 1_000_000,
        sinceHandTestMs: 0,
      });
    }
    expect(isHealthy(FACTS)).toBe(true);
  });
  test("fan blows: twice as much due, bucket and unexplained litres as without", () => {
    const fanned = { ...PLAN, fanEvaporationUlPerMs: 2 * PLAN.evaporationUlPerMs };
    const still = accrue(before, FACTS, fanned);
    const blown = accrue(before, facts({ fanBlows: true }), fanned);
    expect(blown).toEqual({ ...still, dueUl: 5 + 2_000 * PLAN.evaporationUlPerMs });
    expect(accrue(before, facts({ fanBlows: true }), PLAN)).toEqual(accrue(before, FACTS, PLAN));
  });
  test("salinity in doubt, proof overdue or evaporation below: bucket refills at the lowest evaporation, never faster", () => {
    const refill = (change: Partial<TopOffFacts>, plan = PLAN) =>
      (accrue(before, facts(change), plan).bucketUl - 1_000_000) / 500;
    const doubts: Partial<TopOffFacts>[] = [
      { salinity: "doubtful" },
      { salinity: "diluted" },
      { proofOverdue: true },
      { evaporation: "below" },
    ];
    for (const doubt of doubts) expect(refill(doubt)).toBeCloseTo(PLAN.lowestEvaporationUlPerMs, 6);
    expect(refill({ evaporation: "above" })).toBeCloseTo(PLAN.bucketUlPerMs, 6);
    const small = { ...PLAN, bucketUlPerMs: PLAN.lowestEvaporationUlPerMs / 2 };
    expect(refill({ salinity: "doubtful" }, small)).toBeCloseTo(small.bucketUlPerMs, 6);
  });
  test("full bucket and 0 unexplained: stay so; due and hand-test wait at their most", () => {
    const full = accrue(memory({ excessUl: 1, dueUl: 50_000_000, sinceHandTestMs: PLAN.handTestEveryMs }), FACTS, PLAN);
    expect(full).toEqual({
      bucketUl: PLAN.bucketSizeUl,
      excessUl: 0,
      dueUl: 50_000_000,
      sinceHandTestMs: PLAN.handTestEveryMs,
    });
  });
  test("charged: taken from the bucket; 100 mL spent: the rest back, within full bucket and 0 unexplained", () => {
    const taken = charged(before, PLAN, 7);
    expect(taken).toMatchObject({
      state: "confirming",
      chargeUl: PLAN.chargeUl,
      chargeSequence: 7,
      chargeWaitMs: 0,
      bucketUl: 1_000_000 - PLAN.chargeUl,
      excessUl: 1_000_000 + PLAN.chargeUl,
    });
    const back = refunded({ ...taken, pourUl: 9, pourMs: 9 }, 100_000, PLAN);
    expect(back).toMatchObject({ chargeUl: 0, pourUl: 0, pourMs: 0, bucketUl: 900_000, excessUl: 1_100_000 });
    expect(refunded(memory({ chargeUl: 10, excessUl: 5 }), 0, PLAN)).toMatchObject({
      bucketUl: PLAN.bucketSizeUl,
      excessUl: 0,
    });
  });
  test("1 s of pump: 31.25 mL charged, 25 mL poured and out of the reservoir, not below 0; coast charged at 1.25", () => {
    const after = poured(memory({ reservoirUl: 40_000 }), 1_000, PLAN);
    expect(after).toMatchObject({
      pourMs: 1_000,
      pourUl: 31_250,
      sinceFullUl: 25_000,
      pouredTotalUl: 25_000,
      reservoirUl: 15_000,
    });
    expect(poured(after, 1_000, PLAN).reservoirUl).toBe(0);
    expect(poured(memory({ reservoirUl: null }), 1_000, PLAN).reservoirUl).toBeNull();
    expect(costOf(after, PLAN)).toBeCloseTo(31_250 + PLAN.coastUl * 1.25, 6);
  });
  test("slice full: when 500 ms more at the charged flow would pass it", () => {
    const whole = PLAN.sliceUl * 1.25;
    expect(sliceIsFull(memory({ pourUl: whole - 500 * PLAN.chargedFlowUlPerMs }), PLAN, 500)).toBe(false);
    expect(sliceIsFull(memory({ pourUl: whole - 500 * PLAN.chargedFlowUlPerMs + 1 }), PLAN, 500)).toBe(true);
  });
  test("unanswered: 1 µL more than due, float's way and a litre; evaporation below: half of what is due", () => {
    const most = 300_000 + PLAN.hysteresisUl + PLAN.unansweredMarginUl;
    expect(isUnanswered(memory({ dueUl: 300_000, sinceFullUl: most }), FACTS, PLAN)).toBe(false);
    expect(isUnanswered(memory({ dueUl: 300_000, sinceFullUl: most + 1 }), FACTS, PLAN)).toBe(true);
    const little = facts({ evaporation: "below" });
    expect(isUnanswered(memory({ dueUl: 300_000, sinceFullUl: most - 150_000 }), little, PLAN)).toBe(false);
    expect(isUnanswered(memory({ dueUl: 300_000, sinceFullUl: most - 149_999 }), little, PLAN)).toBe(true);
  });
});

describe("what locks", () => {
  const rows: [reason: Reason | null, change: Partial<TopOffMemory>, opensGuard: boolean, atTank: boolean][] = [
    [null, { highWetMs: PLAN.highFloatLatchMs - 1 }, false, false],
    ["high-float-wet", { highWetMs: PLAN.highFloatLatchMs }, true, true],
    [null, { touchesMs: 2 * PLAN.hourMs }, false, false],
    ["high-float-wet", { touchesMs: 2 * PLAN.hourMs + 1 }, true, true],
    [null, { floorWetMs: PLAN.floorLatchMs - 1 }, false, false],
    ["floor-wet", { floorWetMs: PLAN.floorLatchMs }, true, true],
    [null, { unordered: 1 }, false, false],
    ["unordered-water", { unordered: 2 }, true, false],
    ["emptied-early", { emptiedEarly: true }, true, false],
    ["working-float-stuck", { stuckLow: true }, false, false],
    [null, { contradictionMs: PLAN.contradictionLatchMs - 1 }, false, false],
    ["floats-contradict", { contradictionMs: PLAN.contradictionLatchMs }, false, false],
    [null, { failures: 5 }, false, false],
    ["failed-pours", { failures: 6 }, false, false],
    [null, { pourMs: PLAN.longestPourMs - 1 }, false, false],
    ["pour-too-long", { pourMs: PLAN.longestPourMs }, false, false],
    [null, { excessUl: PLAN.excessLimitUl }, false, false],
    ["excess-litres", { excessUl: PLAN.excessLimitUl + 1 }, false, false],
  ];
  test.each(rows)("%s by %j: opens the guard %s, cleared at the tank %s", (reason, change, opensGuard, atTank) => {
    expect(latchReason(memory(change), FACTS, PLAN)).toBe(reason);
    if (reason === null) return;
    expect(latched(memory(), reason)).toMatchObject({
      latch: { reason, occurrence: 1 },
      guardLatched: opensGuard,
      occurrences: 1,
    });
    expect(isClearedAtTank(latched(memory(change), reason), PLAN)).toBe(atTank);
  });
  test("pump seen on while off: locked as that, guard open", () => {
    expect(latchReason(memory(), facts({ pumpSeenOn: true }), PLAN)).toBe("pump-seen-on");
    expect(latched(memory(), "pump-seen-on").guardLatched).toBe(true);
  });
  test("second cause: first reason stays; one that opens the guard: open, under a new number", () => {
    const first = latched(memory({ occurrences: 4 }), "failed-pours");
    expect(first.latch).toEqual({ reason: "failed-pours", occurrence: 5 });
    expect(latched(first, "excess-litres")).toBe(first);
    // With a number of its own, so that a clear meant for the lesser cause does not clear the greater.
    const latch = { reason: "failed-pours", occurrence: 6 } as const;
    expect(latched(first, "floor-wet")).toEqual({ ...first, latch, occurrences: 6, guardLatched: true });
    const open = latched(memory(), "floor-wet");
    expect(latched(open, "failed-pours")).toBe(open);
  });

  const latch = { reason: "failed-pours", occurrence: 3 } as const;
  const standing: [name: string, change: Partial<TopOffFacts>, cause: Reason | null][] = [
    ["all is dry and known", {}, null],
    ["high wet", { high: contact("on") }, "high-float-wet"],
    ["high unknown", { high: contact("unknown") }, "high-float-unknown"],
    ["floor wet", { floor: contact("on") }, "floor-wet"],
    ["floor unknown", { floor: contact("unknown") }, "floor-sensor-unknown"],
    ["floats contradict", { low: contact("off"), working: contact("on") }, "floats-contradict"],
    ["pump seen on", { pumpSeenOn: true }, "pump-seen-on"],
    ["working unknown", { working: contact("unknown") }, "working-float-unknown"],
    ["board silent", { board: "silent" }, "board-silent"],
    ["of several the first", { board: "silent", floor: contact("on"), pumpSeenOn: true }, "board-silent"],
    ["water before a pump", { floor: contact("on"), high: contact("on"), pumpSeenOn: true }, "floor-wet"],
  ];
  test.each(standing)("clear with %s: cause $2", (_name, change, cause) => {
    expect(standingCause(memory({ latch }), facts(change), PLAN)).toBe(cause);
    expect(causeStands(memory({ latch }), facts(change), PLAN)).toBe(cause !== null);
    expect(causeStands(memory(), facts(change), PLAN)).toBe(false);
    const request = { kind: "clear", id: "x", at: "tank", machine: "top-off", occurrence: 3 } as const;
    const answer = clearTopOff(memory({ latch }), request, facts(change), PLAN);
    expect(answer.accepted).toBe(cause === null);
    expect(answer.why).toBe(
      cause === null
        ? "Cleared. Top-off rests, then looks at the level again."
        : `Something else stands in the way of a clear. ${REASONS[cause]}`,
    );
    if (cause === null) return;
    const own = clearTopOff(memory({ latch: { reason: cause, occurrence: 3 } }), request, facts(change), PLAN);
    expect(own.why).toBe(`The cause still stands. ${REASONS[cause]}`);
  });
  test("excess lock: stands until a whole charge fits; another lock: not for that", () => {
    const room = PLAN.excessLimitUl - PLAN.chargeUl;
    const excess = { latch: { reason: "excess-litres", occurrence: 1 } } as const;
    expect(causeStands(memory({ ...excess, excessUl: room }), FACTS, PLAN)).toBe(false);
    expect(causeStands(memory({ ...excess, excessUl: room + 1 }), FACTS, PLAN)).toBe(true);
    expect(causeStands(memory({ latch, excessUl: room + 1 }), FACTS, PLAN)).toBe(false);
  });
  test("clear of number 3: taken at the tank; number 2, a flood over the network or no lock: refused", () => {
    const flood = memory({
      latch: { reason: "floor-wet", occurrence: 3 },
      guardLatched: true,
      floorWetMs: 9,
      failures: 2,
    });
    const clear = (at: "tank" | "network", occurrence = 3, plan = PLAN, of = flood) =>
      clearTopOff(of, { kind: "clear", id: "x", at, machine: "top-off", occurrence }, FACTS, plan);
    expect(clear("tank").memory).toMatchObject({ latch: null, guardLatched: false, floorWetMs: 0, failures: 0 });
    const found = memory({ latch, state: "settling", stuckLow: true, emptiedEarly: true });
    expect(clear("tank", 3, PLAN, found).memory).toMatchObject({
      state: "resting",
      stuckLow: false,
      emptiedEarly: false,
      restMs: PLAN.restMs,
    });
    expect(clear("tank", 2)).toEqual({
      memory: flood,
      accepted: false,
      why: "That was another lock. The one that stands has the number 3.",
    });
    expect(clear("network").why).toBe("This one is cleared at the tank, by somebody who sees the water.");
    expect(clear("network", 3, { ...PLAN, clearFromADistance: true }).accepted).toBe(true);
    expect(clear("network", 3, PLAN, memory({ latch })).accepted).toBe(true);
    expect(clear("tank", 3, PLAN, memory()).why).toBe("Top-off is not locked.");
    const spent = memory({ latch, excessUl: PLAN.excessLimitUl });
    expect(clear("tank", 3, PLAN, spent).why).toBe(
      "Cleared. Now measure the salinity by hand and enter it: until then no litre is free to be poured.",
    );
  });
});

describe("told by a keeper", () => {
  const told = (salinity: number, of = memory({ excessUl: 3_000_000 })) =>
    handTest(of, { kind: "hand-test", id: "x", at: "tank", salinity }, PLAN);
  test.each([
    [4.99, false],
    [5, true],
    [42, true],
    [42.01, false],
    [Number.NaN, false],
  ])("hand test of %d: accepted %s", (salinity, accepted) => {
    expect(told(salinity).accepted).toBe(accepted);
    if (!accepted) expect(told(salinity).why).toBe("A salinity from 5 to 42 is expected.");
  });
  test("35: 0 unexplained; 34.5: what dilutes 35 to it; above: the charge alone; 33.9: diluted by test; earlier dilution gone", () => {
    expect(told(35)).toMatchObject({
      memory: { excessUl: 0, sinceHandTestMs: 0, dilutedByTest: false },
      why: "Noted: 35.0. The count of unexplained litres begins anew from this.",
    });
    // V (S − s)/s: 140 L × 0.5 / 34.5.
    expect(told(34.5).memory.excessUl).toBe(Math.round((140e6 * 0.5) / 34.5));
    expect(told(36, memory({ chargeUl: 77 })).memory.excessUl).toBe(77);
    expect(told(34).memory.dilutedByTest).toBe(false);
    // A dilution that readings have seen is over, for the hand knows better.
    expect(told(35, memory({ diluted: true })).memory.diluted).toBe(false);
    expect(told(33.9)).toMatchObject({
      memory: { dilutedByTest: true },
      why: "Noted: 33.9. The tank is diluted, so top-off waits. Let it evaporate or add salt water, then test again.",
    });
  });
  test("hand test within an hour: refused; after it: accepted", () => {
    const soon = memory({ sinceHandTestMs: PLAN.handTestEveryMs - 1 });
    expect(told(35, soon)).toEqual({
      memory: soon,
      accepted: false,
      why: "The last hand test is less than an hour old; the water has hardly changed.",
    });
    expect(told(35, memory({ sinceHandTestMs: PLAN.handTestEveryMs })).accepted).toBe(true);
  });
  test("2 L into 1: 3 L; into unknown: 2; 100: full; 0, 100.1 or no number: refused", () => {
    const fill = (litres: number, reservoirUl: number | null) =>
      refill(memory({ reservoirUl }), { kind: "refill", id: "x", at: "tank", litres }, PLAN);
    expect(fill(2, 1_000_000)).toMatchObject({
      memory: { reservoirUl: 3_000_000 },
      accepted: true,
      why: "Noted: the reservoir holds 3.0 L.",
    });
    expect(fill(2, null).memory.reservoirUl).toBe(2_000_000);
    expect(fill(100, 0).memory.reservoirUl).toBe(PLAN.reservoirUl);
    for (const litres of [0, 100.1, Number.NaN]) {
      expect(fill(litres, 0)).toMatchObject({ accepted: false, why: "Litres from 0 to 100 are expected." });
    }
  });
  test.each([
    ["all of it, by somebody whose reservoir was seen empty", 4, 5_000, PLAN.reservoirUl, true],
    ["far more than there is room for", 100, 5_000, PLAN.reservoirUl, true],
    ["what was missing by the count", 2, 5_000, PLAN.reservoirUl - 2_000_000, false],
    ["a little more than was missing", 2, 5_000, PLAN.reservoirUl - 2_000_000 + PLAN.earlyUl, false],
    ["clearly more than was missing", 2, 5_000, PLAN.reservoirUl - 2_000_000 + PLAN.earlyUl + 1, true],
    ["all of it, where the count had nearly ended", 100, 5_000, PLAN.earlyUl, false],
    ["all of it, into one that was not seen empty", 4, 0, PLAN.reservoirUl, false],
    ["all of it, told twice", 4, PLAN.emptyJudgedMs, PLAN.reservoirUl, false],
    ["all of it, where nobody counted", 4, 5_000, null, false],
  ] as const)("refill, %s: %d L, empty %d ms, count %d: early %s", (_, litres, emptyMs, reservoirUl, emptiedEarly) => {
    const told = (before: TopOffMemory) => refill(before, { kind: "refill", id: "x", at: "tank", litres }, PLAN);
    const answer = told(memory({ emptyMs, reservoirUl }));
    expect(answer).toMatchObject({ accepted: true, memory: { emptiedEarly, emptyMs: PLAN.emptyJudgedMs } });
    expect(told(memory({ emptiedEarly: true })).memory.emptiedEarly).toBe(true);
  });
});

describe("reservoir float dry", () => {
  const watch = (before: Partial<TopOffMemory>, position: ContactSignal["position"]) =>
    watchReservoir(memory(before), facts({ reservoir: contact(position) }), PLAN);
  const last = PLAN.emptyJudgedMs - 1_000;
  test("for 15 min: judged once, early above a third by count, count 0; unknown count: never early", () => {
    const left = PLAN.earlyUl + 1;
    expect(watch({ emptyMs: last - 1, reservoirUl: left }, "off")).toEqual({
      emptyMs: PLAN.emptyJudgedMs - 1,
      emptiedEarly: false,
      reservoirUl: left,
    });
    expect(watch({ emptyMs: last, reservoirUl: left }, "off")).toEqual({
      emptyMs: PLAN.emptyJudgedMs,
      emptiedEarly: true,
      reservoirUl: 0,
    });
    expect(watch({ emptyMs: last, reservoirUl: PLAN.earlyUl }, "off")).toMatchObject({
      emptiedEarly: false,
      reservoirUl: 0,
    });
    expect(watch({ emptyMs: PLAN.emptyJudgedMs, reservoirUl: left }, "off").emptiedEarly).toBe(false);
    expect(watch({ emptyMs: last, reservoirUl: null }, "off")).toMatchObject({
      emptiedEarly: false,
      reservoirUl: null,
    });
    expect(watch({ emptyMs: last, emptiedEarly: true, reservoirUl: 1 }, "off").emptiedEarly).toBe(true);
  });
  test("full again: time 0; unknown: stays", () => {
    expect(watch({ emptyMs: 500, reservoirUl: 7 }, "on")).toEqual({ emptyMs: 0, emptiedEarly: false, reservoirUl: 7 });
    expect(watch({ emptyMs: 500, reservoirUl: 7 }, "unknown").emptyMs).toBe(500);
  });
});
