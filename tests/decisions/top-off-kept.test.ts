import { describe, expect, test } from "vitest";
import type { TopOffFacts } from "../../controller/decisions/top-off/blockers.ts";
import {
  lostTopOff,
  olderTopOff,
  type TopOffMemory,
  topOffAfterRestart,
} from "../../controller/decisions/top-off/memory.ts";
import { endPumpRun, provePump } from "../../controller/decisions/top-off/requests.ts";
import { topOffStatus } from "../../controller/decisions/top-off/status.ts";
import { REASONS } from "../../shared/contract/reasons.ts";
import { contact, facts, memory, PLAN } from "./top-off-scene.ts";

/** What top-off keeps through a restart, what it shows, and the proving run that somebody asks for. */
const LATCH = { reason: "floor-wet", occurrence: 3 } as const;

describe("a restart in the middle of a pour", () => {
  const after = (before: Partial<TopOffMemory>, offMs: number | null = 0) =>
    topOffAfterRestart(memory(before), offMs, PLAN);
  const IN_POUR: Partial<TopOffMemory> = {
    state: "pouring",
    running: true,
    confirmMs: 1,
    restMs: 0,
    pourMs: 1,
    pourUl: 1,
    chargeUl: 337_500,
    chargeWaitMs: 1,
    surgeLeftMs: 1,
    freeProofMs: 1,
    surgeSeen: true,
    returnWasOn: true,
    fullMs: 1,
    highWasDry: true,
    sinceFullUl: 10_000,
    pouredTotalUl: 20_000,
    reservoirUl: 1_000_000,
    bucketUl: 5,
    excessUl: 6,
    highWetMs: 7,
    failures: 2,
    latch: LATCH,
    guardLatched: true,
    occurrences: 3,
  };
  test("charge of 337.5 mL: counted as 270 mL poured, rest of 2 min; latch, wet time and failures stay", () => {
    // 337.5 mL at the charged flow are 270 mL at the proven one.
    expect(after(IN_POUR)).toEqual({
      ...memory(),
      restMs: 120_000,
      sinceFullUl: 280_000,
      pouredTotalUl: 290_000,
      reservoirUl: 730_000,
      bucketUl: 5,
      excessUl: 6,
      highWetMs: 7,
      failures: 2,
      latch: LATCH,
      guardLatched: true,
      occurrences: 3,
    });
  });
  test("reservoir holds less than was charged: 0; unknown: stays unknown", () => {
    expect(after({ chargeUl: 337_500, reservoirUl: 1_000 }).reservoirUl).toBe(0);
    expect(after({ chargeUl: 337_500, reservoirUl: null }).reservoirUl).toBeNull();
  });
  test("in a proving run: counted as poured, not as poured since full", () => {
    expect(after({ chargeUl: 337_500, provingMs: 10_000 })).toMatchObject({
      provingMs: 0,
      sinceFullUl: 0,
      pouredTotalUl: 270_000,
    });
  });
  test("30 min of rest left: stay; less than 2 min: 2 min", () => {
    expect(after({ restMs: 1_800_000 }).restMs).toBe(1_800_000);
    expect(after({ restMs: 119_999 }).restMs).toBe(120_000);
  });
  test("off for 60,000 s: that much evaporation due, a reservoir at most; for an unknown time: none", () => {
    expect(after({ dueUl: 5 }, 60_000_000).dueUl).toBe(5 + Math.round(60_000_000 * PLAN.evaporationUlPerMs));
    expect(after({ dueUl: 5 }, 1e12).dueUl).toBe(10_000_005);
    expect(after({ dueUl: 5 }, null).dueUl).toBe(5);
  });
});

describe("top-off memory missing", () => {
  test("locked as memory-lost, bucket empty, unexplained litres at their limit, reservoir unknown", () => {
    expect(lostTopOff(PLAN)).toEqual({
      ...memory(),
      bucketUl: 0,
      excessUl: PLAN.excessLimitUl,
      reservoirUl: null,
      latch: { reason: "memory-lost", occurrence: 1 },
      occurrences: 1,
    });
  });
  test("witness knows a lock and an open guard: those, under the given number; none: memory-lost", () => {
    const testimony = { lock: "floor-wet", guardLocked: true } as const;
    expect(lostTopOff(PLAN, 7, testimony)).toMatchObject({
      latch: { reason: "floor-wet", occurrence: 7 },
      guardLatched: true,
      occurrences: 7,
    });
    expect(lostTopOff(PLAN, 7, { lock: null, guardLocked: false })).toMatchObject({
      latch: { reason: "memory-lost", occurrence: 7 },
      guardLatched: false,
    });
  });
});

describe("top-off memory older than known", () => {
  const older = (before: Partial<TopOffMemory>, ...known: [number?, Parameters<typeof olderTopOff>[3]?]) =>
    olderTopOff(memory(before), PLAN, ...known);
  test("bucket 0 and unexplained litres at their limit, or worse where they were; reservoir unknown; locked", () => {
    expect(older({ failures: 2 })).toMatchObject({
      state: "resting",
      bucketUl: 0,
      excessUl: PLAN.excessLimitUl,
      reservoirUl: null,
      sinceHandTestMs: PLAN.handTestEveryMs,
      failures: 2,
      latch: { reason: "memory-lost", occurrence: 1 },
      guardLatched: false,
      occurrences: 1,
    });
    expect(older({ bucketUl: -9, excessUl: PLAN.excessLimitUl + 9 })).toMatchObject({
      bucketUl: -9,
      excessUl: PLAN.excessLimitUl + 9,
    });
  });
  test("its own lock comes before the witness's; guard open where either says so; neither: memory-lost", () => {
    const testimony = { lock: "emptied-early", guardLocked: true } as const;
    const open = { lock: null, guardLocked: false } as const;
    const floor = older({ latch: LATCH, guardLatched: true, occurrences: 3 }, 0, open);
    expect(floor).toMatchObject({ latch: { reason: "floor-wet", occurrence: 4 }, guardLatched: true, occurrences: 4 });
    expect(older({ latch: LATCH }, 0, testimony)).toMatchObject({ latch: { reason: "floor-wet" }, guardLatched: true });
    expect(older({}, 0, testimony)).toMatchObject({ latch: { reason: "emptied-early" }, guardLatched: true });
    expect(older({}, 0, open)).toMatchObject({ latch: { reason: "memory-lost" }, guardLatched: false });
  });
  test("number above its own and above the witness's", () => {
    expect(older({ occurrences: 3 }, 9).occurrences).toBe(9);
    expect(older({ occurrences: 9 }, 3).latch?.occurrence).toBe(10);
  });
});

describe("a proving run of the pump asked for", () => {
  const ask = (seconds: number, before: Partial<TopOffMemory> = {}, seen: Partial<TopOffFacts> = {}) =>
    provePump(
      memory(before),
      { kind: "prove", id: "x", at: "tank", part: "top-off-pump", seconds },
      facts({ working: contact("on"), nextSequence: 9, ...seen }),
      PLAN,
    );
  /** Ten seconds at 31.25 mL/s, and the coast. */
  const CHARGE_UL = 337_500;

  test("10 s: charged in whole, its ms and sequence noted, counters of a pour at 0", () => {
    const { memory: after, accepted, why } = ask(10, { pourMs: 3, pourUl: 3, chargeWaitMs: 3, excessUl: 5 });
    expect([accepted, why]).toEqual([true, "The pump runs."]);
    expect(after).toEqual({
      ...memory(),
      state: "proving",
      provingMs: 10_000,
      chargeUl: CHARGE_UL,
      chargeSequence: 9,
      bucketUl: 3_000_000 - CHARGE_UL,
      excessUl: 5 + CHARGE_UL,
    });
    expect(ask(1.0004).memory.provingMs).toBe(1_000);
    expect(ask(1.0006).memory.chargeUl).toBe(Math.ceil(1_001 * 31.25 + 25_000));
  });

  test.each([
    [0.99, false],
    [1, true],
    [30, true],
    [30.01, false],
    [Number.NaN, false],
  ])("%d s: accepted %s", (seconds, accepted) => {
    const answer = ask(seconds);
    expect(answer.accepted).toBe(accepted);
    if (!accepted) expect(answer.why).toBe("A proving run of the pump lasts from 1 to 30 seconds.");
  });

  test("settling: refused as busy; floor wet: refused for that; hold, not proven or level unsettled: accepted", () => {
    const busy = memory({ state: "settling" });
    expect(ask(10, { state: "settling" })).toEqual({
      memory: busy,
      accepted: false,
      why: "Top-off is busy; wait until it rests.",
    });
    expect(ask(10, {}, { floor: contact("on"), holding: true })).toMatchObject({
      accepted: false,
      why: REASONS["floor-wet"],
    });
    expect(ask(10, {}, { holding: true, proven: false, levelSettled: false }).accepted).toBe(true);
  });

  test("proven, bucket holds the charge: accepted; 1 µL less: refused as daily-budget-used", () => {
    expect(ask(10, { bucketUl: CHARGE_UL }).accepted).toBe(true);
    expect(ask(10, { bucketUl: CHARGE_UL - 1 })).toMatchObject({ accepted: false, why: REASONS["daily-budget-used"] });
  });
  test("never proven: bucket may go below 0, down to one bucket; 1 µL more: refused", () => {
    const unproven = (bucketUl: number) => ask(10, { bucketUl }, { proven: false });
    expect(unproven(0).memory.bucketUl).toBe(-CHARGE_UL);
    expect(unproven(CHARGE_UL - 3_000_000).accepted).toBe(true);
    expect(unproven(CHARGE_UL - 3_000_001)).toMatchObject({ accepted: false, why: REASONS["daily-budget-used"] });
  });
  test("charge passes the limit of unexplained litres by 1 µL: refused; just fits: accepted", () => {
    const room = PLAN.excessLimitUl - CHARGE_UL;
    expect(ask(10, { excessUl: room }).accepted).toBe(true);
    expect(ask(10, { excessUl: room + 1 })).toMatchObject({ accepted: false, why: REASONS["excess-litres"] });
  });

  test("ended by hand: 1 ms left, so that this scan ends it; pouring: unchanged", () => {
    expect(endPumpRun(memory({ state: "proving", provingMs: 10_000 })).provingMs).toBe(1);
    const pouring = memory({ state: "pouring" });
    expect(endPumpRun(pouring)).toBe(pouring);
  });
});

describe("what is shown of top-off", () => {
  const shown = (before: Partial<TopOffMemory> = {}, seen: Partial<TopOffFacts> = {}, plan = PLAN) =>
    topOffStatus(
      { memory: memory(before), pour: false, why: "hold", blockers: ["hold"], urgent: false, proved: false },
      facts(seen),
      plan,
    );
  test("amounts in litres, 6 L in the reservoir as 4 days, limit of 8.48 L; reservoir unknown: both null", () => {
    const amounts = {
      bucketUl: 1_000_000,
      excessUl: 2_000_000,
      sinceFullUl: 3_000_000,
      dueUl: 4_000_000,
      pouredTotalUl: 5_000_000,
      reservoirUl: 6_000_000,
      failures: 2,
      surgeMissing: true,
    };
    const { daysInReservoir, excessLimitL, ...rest } = shown(amounts);
    expect(rest).toEqual({
      state: "confirming",
      why: "hold",
      blockers: ["hold"],
      latch: null,
      waterGuardLatch: null,
      bucketL: 1,
      bucketSizeL: 3,
      excessL: 2,
      pouredSinceFullL: 3,
      dueL: 4,
      pouredTotalL: 5,
      reservoirL: 6,
      failures: 2,
      surgeMissing: true,
    });
    // The reference tank loses 1.5 L a day, and 140 L may be diluted by 2 of 35.
    expect(daysInReservoir).toBeCloseTo(4, 9);
    expect(excessLimitL).toBe(8.484848);
    expect(shown({ reservoirUl: null })).toMatchObject({ reservoirL: null, daysInReservoir: null });
  });

  const rows: [state: string, before: Partial<TopOffMemory>, seen: Partial<TopOffFacts>][] = [
    ["locked", { latch: LATCH, state: "proving" }, { holding: true }],
    ["proving", { state: "proving" }, { holding: true }],
    ["held", { state: "settling" }, { holding: true }],
    ["held", { state: "settling" }, { question: true }],
    ["settling", { state: "settling" }, {}],
    ["pouring", { state: "pouring" }, {}],
    ["confirming", { confirmMs: 29_999 }, {}],
    ["resting", { confirmMs: 30_000 }, {}],
    ["resting", {}, { working: contact("on") }],
  ];
  test.each(rows)("state %s: %j %j", (state, before, seen) => {
    expect(shown(before, seen).state).toBe(state);
  });

  test("lock: clearable while its cause is gone, at the tank for a flood unless allowed from afar; guard's lock beside it", () => {
    expect(shown({ latch: LATCH })).toMatchObject({
      latch: { ...LATCH, clearable: true, atTank: true },
      waterGuardLatch: null,
    });
    const open = shown({ latch: LATCH, guardLatched: true }, { floor: contact("on") });
    expect(open.latch).toEqual({ ...LATCH, clearable: false, atTank: true });
    expect(open.waterGuardLatch).toEqual(open.latch);
    expect(shown({ latch: LATCH }, {}, { ...PLAN, clearFromADistance: true }).latch?.atTank).toBe(false);
    expect(shown({ latch: { reason: "failed-pours", occurrence: 1 } }).latch?.atTank).toBe(false);
  });

  const FAILED = { reason: "failed-pours", occurrence: 2 } as const;
  const HIGH = { reason: "high-float-wet", occurrence: 2 } as const;
  const guards: [
    why: string,
    first: TopOffMemory["latch"],
    before: Partial<TopOffMemory>,
    seen: Partial<TopOffFacts>,
  ][] = [
    ["high-float-wet", HIGH, {}, {}],
    ["pump-seen-on", HIGH, {}, { pumpSeenOn: true }],
    ["unordered-water", HIGH, { unordered: 2 }, {}],
    ["high-float-wet", HIGH, { unordered: 1 }, {}],
    ["unordered-water", FAILED, { unordered: 2 }, {}],
    ["emptied-early", FAILED, { emptiedEarly: true }, {}],
    ["floor-wet", FAILED, { floorWetMs: PLAN.floorLatchMs }, {}],
    ["high-float-wet", FAILED, { highWetMs: PLAN.highFloatLatchMs }, {}],
    // A pump that had power and has none any more: nothing remembers that, and it is told all the same.
    ["unordered-water", FAILED, { failures: 6 }, {}],
  ];
  test.each(guards)(
    "lock that holds the guard open is shown as %s, whatever came first: %j %j %j",
    (why, latch, before, seen) => {
      const status = shown({ latch, guardLatched: true, ...before }, seen);
      expect(status.latch?.reason).toBe(latch?.reason);
      expect(status.waterGuardLatch).toEqual({ ...status.latch, reason: why });
      expect(shown({ latch, ...before }, seen).waterGuardLatch).toBeNull();
    },
  );
});
