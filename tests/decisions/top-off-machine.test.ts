import { describe, expect, test } from "vitest";
import type { TopOffFacts } from "../../controller/decisions/top-off/blockers.ts";
import { stepTopOff } from "../../controller/decisions/top-off/machine.ts";
import type { TopOffMemory } from "../../controller/decisions/top-off/memory.ts";
import type { Reason } from "../../shared/contract/index.ts";
import { elapsed } from "../elapsed.ts";
import { contact, facts, memory, PLAN } from "./top-off-scene.ts";

/**
 * One scan of top-off at a time, on both sides of each of its limits (SAFETY §3 and §4). The reference pump gives 25 mL/s
 * and is charged with 31.25; a slice of 250 mL and its coast are charged with 337.5 mL before the pump may run. A scan of
 * these tables lasts a second, of which half is credit.
 */
const CREDIT_MOST_MS = 500;
const CHARGE_UL = 337_500;
const FULL = { working: contact("on") };
const SURE = { confirmMs: 30_000 };

const scan = (before: Partial<TopOffMemory> = {}, seen: Partial<TopOffFacts> = {}) =>
  stepTopOff(memory(before), facts(seen), PLAN, CREDIT_MOST_MS);

describe("at rest", () => {
  test("water that is surely low is charged for, and the pump waits for the disk", () => {
    const verdict = scan(SURE, { nextSequence: 9 });
    expect(verdict).toMatchObject({ pour: false, why: "waiting-for-disk", blockers: [], urgent: true, proved: false });
    expect(verdict.memory).toMatchObject({
      state: "confirming",
      running: false,
      chargeUl: CHARGE_UL,
      chargeSequence: 9,
      chargeWaitMs: 0,
      bucketUl: 3_000_000 - CHARGE_UL,
      excessUl: CHARGE_UL,
    });
  });

  type Row = [story: string, before: Partial<TopOffMemory>, seen: Partial<TopOffFacts>, why: Reason];
  const rows: Row[] = [
    ["a ripple is not low water yet", { confirmMs: 29_499 }, {}, "low-confirming"],
    ["half a minute of it is", { confirmMs: 29_500 }, {}, "waiting-for-disk"],
    ["water at its mark wants nothing", SURE, FULL, "water-at-mark"],
    ["the last pour is still spreading", { ...SURE, restMs: 501 }, {}, "resting-after-pour"],
    ["and then it is judged anew", { ...SURE, restMs: 500 }, {}, "waiting-for-disk"],
    ["a rest is named before a ripple", { restMs: 501 }, {}, "resting-after-pour"],
    ["a day's litres are used", { ...SURE, bucketUl: CHARGE_UL - 20 }, {}, "daily-budget-used"],
    ["or come back in this very scan", { ...SURE, bucketUl: CHARGE_UL - 17 }, {}, "waiting-for-disk"],
    ["no litres are named before a rest", { bucketUl: 0, restMs: 60_000 }, {}, "daily-budget-used"],
    ["too much without evidence", { excessUl: PLAN.excessLimitUl }, {}, "excess-litres"],
  ];
  test.each(rows)("%s", (_, before, seen, why) => {
    const verdict = scan(before, seen);
    expect(verdict).toMatchObject({ pour: false, why, proved: false });
    expect(verdict.urgent).toBe(why === "waiting-for-disk");
    expect(verdict.memory.latch).toBeNull();
    expect(verdict.blockers).toEqual(why === "daily-budget-used" || why === "excess-litres" ? [why] : []);
  });

  test("too much without evidence locks when the water asks for more, for sure", () => {
    const spent = { excessUl: PLAN.excessLimitUl };
    expect(scan({ ...spent, confirmMs: 29_499 }).memory.latch).toBeNull();
    const verdict = scan({ ...spent, ...SURE });
    expect(verdict).toMatchObject({ pour: false, why: "excess-litres", blockers: ["excess-litres"], urgent: true });
    expect(verdict.memory.latch).toEqual({ reason: "excess-litres", occurrence: 1 });
    expect(scan({ ...SURE, bucketUl: 0 }).memory.latch).toBeNull();
  });

  test("rest is a credit: it is served by healthy scans, down to nothing", () => {
    expect(scan({ restMs: 60_000 }, FULL).memory.restMs).toBe(59_500);
    expect(scan({ restMs: 200 }, FULL).memory.restMs).toBe(0);
  });

  const waits: [Partial<TopOffFacts>, Reason][] = [
    [{ steady: false }, "starting"],
    [{ supplied: false }, "top-off-starting"],
    [{ supplied: false, pumpWatched: true }, "pump-being-proven"],
    [{ levelSettled: false }, "return-pump-settling"],
  ];
  test.each(waits)("a wait in which nothing is wrong serves the rest: %j", (seen, why) => {
    const verdict = scan({ ...SURE, restMs: 60_000 }, seen);
    expect(verdict).toMatchObject({ pour: false, why, blockers: [why], urgent: false });
    expect(verdict.memory.restMs).toBe(59_500);
    expect(scan({ ...SURE, restMs: 0 }, { ...seen, holding: true }).memory.restMs).toBe(120_000);
  });

  test("what clears by itself does so with the rest served, counted from when it has cleared", () => {
    const held = scan({ ...SURE, restMs: 60_000 }, { holding: true });
    expect(held).toMatchObject({ pour: false, why: "hold", blockers: ["hold"], urgent: false });
    expect(held.memory).toMatchObject({ state: "resting", restMs: 120_000 });
    expect(scan({ ...SURE, restMs: 120_000 }, { holding: true }).memory.restMs).toBe(120_000);
    expect(scan({ restMs: 120_499 }, { holding: true }).memory.restMs).toBe(120_000);
  });

  test("the half hour after a failed pour goes on behind what blocks, in healthy scans only", () => {
    expect(scan({ restMs: 1_800_000 }, { holding: true }).memory.restMs).toBe(1_799_500);
    expect(scan({ restMs: 1_800_000 }, { board: "silent" }).memory.restMs).toBe(1_800_000);
  });

  test("of several causes the most telling is said, and all are listed", () => {
    const verdict = scan(SURE, { question: true, levelSettled: false, proven: false });
    expect(verdict.why).toBe("hold-question");
    expect(verdict.blockers).toEqual(["hold-question", "return-pump-settling", "not-proven"]);
  });
});

describe("charged, and waiting for the disk", () => {
  const CHARGED: Partial<TopOffMemory> = {
    ...SURE,
    state: "confirming",
    chargeUl: CHARGE_UL,
    chargeSequence: 7,
    bucketUl: 1_000_000,
    excessUl: 1_000_000,
  };
  /** Nothing is earned meanwhile, so that the litres can be read. */
  const waits = (before: Partial<TopOffMemory>, seen: Partial<TopOffFacts>) =>
    scan({ ...CHARGED, ...before }, { elapsed: elapsed(1_000, 0), ...seen });
  const GIVEN_BACK = {
    state: "resting",
    restMs: 120_000,
    chargeUl: 0,
    bucketUl: 1_000_000 + CHARGE_UL,
    excessUl: 1_000_000 - CHARGE_UL,
  };

  test("the pump runs in the scan in which the charge is on disk, and not in the one before", () => {
    const early = waits({ chargeWaitMs: 500 }, { durableSequence: 6 });
    expect(early).toMatchObject({ pour: false, why: "waiting-for-disk", blockers: [], urgent: false });
    expect(early.memory).toMatchObject({
      state: "confirming",
      running: false,
      chargeWaitMs: 1_500,
      bucketUl: 1_000_000,
    });
    const verdict = waits({ pourMs: 9, pourUl: 9 }, { durableSequence: 7 });
    expect(verdict).toMatchObject({ pour: true, why: "pouring-low", blockers: [], urgent: false, proved: false });
    expect(verdict.memory).toMatchObject({
      state: "pouring",
      running: true,
      pourMs: 0,
      pourUl: 0,
      chargeUl: CHARGE_UL,
    });
  });

  test("half a minute is enough for a disk: then the charge comes back and the disk is named", () => {
    expect(waits({ chargeWaitMs: 29_000 }, {})).toMatchObject({ why: "waiting-for-disk" });
    const verdict = waits({ chargeWaitMs: 29_001 }, {});
    expect(verdict).toMatchObject({ pour: false, why: "disk-failed", blockers: [], urgent: false });
    expect(verdict.memory).toMatchObject(GIVEN_BACK);
  });

  test("whatever forbids a pour gives it back, and comes before the disk", () => {
    const verdict = waits({}, { durableSequence: 7, holding: true, question: true });
    expect(verdict).toMatchObject({ pour: false, why: "hold", blockers: ["hold", "hold-question"], urgent: false });
    expect(verdict.memory).toMatchObject(GIVEN_BACK);
  });

  test("a ripple passes; water that stays at its mark gives it back", () => {
    const ripple = waits({ confirmMs: 17_000 }, { ...FULL, durableSequence: 7 });
    expect(ripple).toMatchObject({ pour: false, why: "water-at-mark", urgent: false });
    expect(ripple.memory).toMatchObject({ state: "confirming", confirmMs: 15_000, chargeUl: CHARGE_UL });
    const back = waits({ confirmMs: 16_999 }, { ...FULL, durableSequence: 7 });
    expect(back).toMatchObject({ pour: false, why: "water-at-mark", urgent: false });
    expect(back.memory).toMatchObject(GIVEN_BACK);
  });
});

describe("pouring", () => {
  const POURING: Partial<TopOffMemory> = {
    ...SURE,
    state: "pouring",
    running: true,
    chargeUl: CHARGE_UL,
    pourMs: 2_000,
    pourUl: 62_500,
    bucketUl: 1_000_000,
    excessUl: 1_000_000,
  };
  const pours = (before: Partial<TopOffMemory> = {}, seen: Partial<TopOffFacts> = {}) =>
    scan({ ...POURING, ...before }, { elapsed: elapsed(1_000, 0), ...seen });

  test("goes on, and all of a scan counts", () => {
    const verdict = pours();
    expect(verdict).toMatchObject({ pour: true, why: "pouring-low", blockers: [], urgent: false, proved: false });
    expect(verdict.memory).toMatchObject({ state: "pouring", running: true, pourMs: 3_000, pourUl: 93_750 });
    expect(verdict.memory.sinceFullUl).toBe(25_000);
  });

  test("counts nothing for a pump that was off in the scan before", () => {
    expect(pours({ running: false }).memory).toMatchObject({ running: true, pourMs: 2_000, pourUl: 62_500 });
  });

  const SETTLES = { state: "settling", running: false, restMs: 60_000, chargeUl: CHARGE_UL };
  test("ends in the scan in which the float reads full", () => {
    const verdict = pours({}, FULL);
    expect(verdict).toMatchObject({ pour: false, why: "letting-settle", blockers: [], urgent: false, proved: false });
    expect(verdict.memory).toMatchObject({ ...SETTLES, bucketUl: 1_000_000, excessUl: 1_000_000 });
  });

  test("ends with its slice: one more late scan must not pour beyond it", () => {
    // 312.5 mL are charged for a slice: less the scan just over and a late one to come.
    expect(pours({ pourUl: 312_500 - 31_250 - 15_625 })).toMatchObject({ pour: true, why: "pouring-low" });
    const verdict = pours({ pourUl: 312_501 - 31_250 - 15_625 });
    expect(verdict).toMatchObject({ pour: false, why: "letting-settle", urgent: false });
    expect(verdict.memory).toMatchObject(SETTLES);
  });

  test("ends with whatever forbids it, which is named before the slice", () => {
    const verdict = pours({ pourUl: 300_000 }, { ...FULL, holding: true, question: true });
    expect(verdict).toMatchObject({ pour: false, why: "hold", blockers: ["hold", "hold-question"] });
    expect(verdict.memory.state).toBe("settling");
  });

  test("is charged for what a late scan let run beyond its charge, on disk at once", () => {
    // 25 mL of coast come to what has run.
    const whole = pours({ pourUl: CHARGE_UL - 25_000 - 31_250 });
    expect(whole.urgent).toBe(false);
    expect(whole.memory).toMatchObject({ chargeUl: CHARGE_UL, bucketUl: 1_000_000, excessUl: 1_000_000 });
    const late = pours({ pourUl: CHARGE_UL - 25_000 - 31_250 + 9 });
    expect(late.urgent).toBe(true);
    expect(late.memory).toMatchObject({ chargeUl: CHARGE_UL + 9, bucketUl: 999_991, excessUl: 1_000_009 });
  });

  test("locks in the scan in which the floor has been wet for two seconds: pump off, guard open, on disk", () => {
    const verdict = pours({ floorWetMs: 1_000 }, { floor: contact("on") });
    expect(verdict).toMatchObject({ pour: false, why: "floor-wet", urgent: true });
    expect(verdict.memory).toMatchObject({
      state: "settling",
      running: false,
      latch: { reason: "floor-wet", occurrence: 1 },
      guardLatched: true,
    });
  });
});

describe("settling", () => {
  const SETTLING: Partial<TopOffMemory> = {
    ...SURE,
    state: "settling",
    restMs: 500,
    chargeUl: CHARGE_UL,
    pourMs: 3_200,
    pourUl: 100_000,
    bucketUl: 1_000_000,
    excessUl: 1_000_000,
  };
  /** No time passes but the credit, so that what is due stays as it is. */
  const settles = (before: Partial<TopOffMemory> = {}, seen: Partial<TopOffFacts> = {}) =>
    scan({ ...SETTLING, ...before }, { elapsed: elapsed(0, 500), ...seen });

  test("takes its minute, in healthy scans", () => {
    const verdict = settles({ restMs: 501 });
    expect(verdict).toMatchObject({ pour: false, why: "letting-settle", blockers: [], urgent: false, proved: false });
    expect(verdict.memory).toMatchObject({ state: "settling", restMs: 1, chargeUl: CHARGE_UL, pourUl: 100_000 });
    const sick = settles({}, { board: "silent" });
    expect(sick).toMatchObject({ why: "board-silent", blockers: ["board-silent"] });
    expect(sick.memory).toMatchObject({ state: "settling", restMs: 500 });
    expect(settles({ restMs: 60_000 }, { holding: true })).toMatchObject({ why: "hold", memory: { restMs: 59_500 } });
  });

  test("then gives back what was not spent, and water that is still low is poured at once", () => {
    const verdict = settles();
    expect(verdict).toMatchObject({ pour: false, why: "letting-settle", urgent: false });
    expect(verdict.memory).toMatchObject({
      state: "resting",
      restMs: 0,
      chargeUl: 0,
      pourUl: 0,
      pourMs: 0,
      failures: 0,
    });
    expect(verdict.memory.bucketUl).toBeCloseTo(1_000_000 + CHARGE_UL - 125_000 + 500 * PLAN.bucketUlPerMs, 3);
    expect(verdict.memory.excessUl).toBeCloseTo(
      1_000_000 - CHARGE_UL + 125_000 - 500 * PLAN.lowestEvaporationUlPerMs,
      3,
    );
  });

  test("water that has answered rests longer, whatever it took", () => {
    const verdict = settles({ sinceFullUl: 3_000_000 }, FULL);
    expect(verdict).toMatchObject({ pour: false, why: "letting-settle", urgent: false });
    expect(verdict.memory).toMatchObject({ state: "resting", restMs: 120_000, failures: 0 });
    expect(settles({ restMs: 0 }, { ...FULL, holding: true }).why).toBe("hold");
  });

  test("a litre more than is due and missing is not answered: half an hour of rest, and known on disk", () => {
    // The way of the float is 0.1 L.
    expect(settles({ sinceFullUl: 1_100_000 })).toMatchObject({ why: "letting-settle", memory: { failures: 0 } });
    const verdict = settles({ sinceFullUl: 1_100_001, failures: 1 }, { holding: true });
    expect(verdict).toMatchObject({ pour: false, why: "not-answered", blockers: ["hold"], urgent: true });
    expect(verdict.memory).toMatchObject({ state: "resting", restMs: 1_800_000, failures: 3, chargeUl: 0 });
    expect(settles({ sinceFullUl: 1_100_000 }, { holding: true })).toMatchObject({ why: "hold", urgent: false });
  });
});

describe("a proving run of the pump", () => {
  const RUN: Partial<TopOffMemory> = {
    state: "proving",
    provingMs: 10_000,
    chargeUl: 337_500,
    chargeSequence: 7,
    bucketUl: 1_000_000,
    excessUl: 1_000_000,
  };
  const runs = (before: Partial<TopOffMemory> = {}, seen: Partial<TopOffFacts> = {}) =>
    scan({ ...RUN, ...before }, { elapsed: elapsed(1_000, 0), durableSequence: 7, ...FULL, ...seen });

  test("begins when its litres are on disk", () => {
    const early = runs({ chargeWaitMs: 500 }, { durableSequence: 6 });
    expect(early).toMatchObject({ pour: false, why: "waiting-for-disk", blockers: [], urgent: false, proved: false });
    expect(early.memory).toMatchObject({ state: "proving", chargeWaitMs: 1_500 });
    const verdict = runs();
    expect(verdict).toMatchObject({ pour: true, why: "proving-pump", blockers: [], urgent: false, proved: false });
    expect(verdict.memory).toMatchObject({ state: "proving", running: true });
  });

  test("is given up by a disk that takes longer than half a minute, and proves nothing", () => {
    expect(runs({ chargeWaitMs: 29_000 }, { durableSequence: 6 }).why).toBe("waiting-for-disk");
    const verdict = runs({ chargeWaitMs: 29_001 }, { durableSequence: 6 });
    expect(verdict).toMatchObject({ pour: false, why: "disk-failed", urgent: false, proved: false });
    expect(verdict.memory).toMatchObject({ state: "settling", restMs: 60_000, chargeUl: 337_500 });
  });

  test("ends before a late scan could make it longer, and is a proof", () => {
    const last = runs({ running: true, pourMs: 8_500 });
    expect(last).toMatchObject({ pour: true, why: "proving-pump", proved: false });
    expect(last.memory).toMatchObject({ pourMs: 9_500, sinceFullUl: 0 });
    const verdict = runs({ running: true, pourMs: 8_501 });
    expect(verdict).toMatchObject({ pour: false, why: "letting-settle", blockers: [], urgent: false, proved: true });
    expect(verdict.memory).toMatchObject({ state: "settling", running: false, provingMs: 10_000 });
  });

  test("goes on in a hold and without proof, for that is what it is for", () => {
    expect(runs({}, { holding: true, proven: false, levelSettled: false })).toMatchObject({ pour: true, blockers: [] });
  });

  test("is ended by every trip that is not under test, even in its last scan, and proves nothing", () => {
    const verdict = runs({ running: true, pourMs: 9_999 }, { holding: true, high: contact("on") });
    expect(verdict).toMatchObject({ pour: false, why: "high-float-wet", blockers: ["high-float-wet"], proved: false });
    expect(verdict.memory.state).toBe("settling");
  });
});

describe("time and water", () => {
  test("low adds to what is sure, anything else takes twice of all the time that passes", () => {
    const sure = (confirmMs: number, seen: Partial<TopOffFacts>) => scan({ confirmMs }, seen).memory.confirmMs;
    expect(sure(5_000, {})).toBe(5_500);
    expect(sure(29_800, { holding: true })).toBe(30_000);
    expect(sure(5_000, FULL)).toBe(3_000);
    expect(sure(5_000, { working: contact("unknown") })).toBe(3_000);
    expect(sure(1_999, FULL)).toBe(0);
    expect(sure(5_000, { board: "silent" })).toBe(5_000);
    expect(sure(5_000, { high: contact("unknown") })).toBe(5_000);
  });

  const LAST = { fullMs: 29_500, sinceFullUl: 400_000, dueUl: 300_000, failures: 2 };
  test("full for its time, nothing is owed any more, and the pour that led there has succeeded", () => {
    expect(scan(LAST, FULL).memory).toMatchObject({ fullMs: 30_000, sinceFullUl: 0, dueUl: 0, failures: 1 });
    expect(scan({ ...LAST, failures: 0 }, FULL).memory.failures).toBe(0);
    const early = scan({ ...LAST, fullMs: 29_499 }, FULL).memory;
    expect(early).toMatchObject({ fullMs: 29_999, sinceFullUl: 400_000, failures: 2 });
    expect(early.dueUl).toBeCloseTo(300_000 + 1_000 * PLAN.evaporationUlPerMs, 6);
  });
  test("water that rose without a pour forgives none", () => {
    expect(scan({ ...LAST, sinceFullUl: 0 }, FULL).memory).toMatchObject({ sinceFullUl: 0, dueUl: 0, failures: 2 });
  });

  test("a dilution stands until readings of full hours contradict it", () => {
    const after = (diluted: boolean, seen: Partial<TopOffFacts>) => scan({ diluted }, seen).memory.diluted;
    expect(after(false, {})).toBe(false);
    expect(after(false, { salinity: "diluted" })).toBe(true);
    expect(after(false, { salinityRecovered: false })).toBe(false);
    expect(after(true, { salinityRecovered: false })).toBe(true);
    expect(after(true, {})).toBe(false);
    expect(after(true, { salinity: "diluted" })).toBe(true);
  });

  test("what locks is on disk at once, and what stands is not written again", () => {
    const latch = { reason: "failed-pours", occurrence: 1 } as const;
    const first = scan({ failures: 6 });
    expect(first).toMatchObject({ pour: false, why: "failed-pours", urgent: true, memory: { latch, occurrences: 1 } });
    expect(scan({ failures: 6, latch, occurrences: 1 })).toMatchObject({ urgent: false, memory: { latch } });
    const flood = scan({ failures: 6, latch, occurrences: 1, floorWetMs: 1_000 }, { floor: contact("on") });
    expect(flood.urgent).toBe(true);
    expect(flood.memory).toMatchObject({ latch: { reason: "failed-pours", occurrence: 2 }, guardLatched: true });
  });
});
