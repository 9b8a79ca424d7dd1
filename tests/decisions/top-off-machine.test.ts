import { describe, expect, test } from "vitest";
import type { TopOffFacts } from "../../controller/decisions/top-off/blockers.ts";
import { stepTopOff } from "../../controller/decisions/top-off/machine.ts";
import type { TopOffMemory } from "../../controller/decisions/top-off/memory.ts";
import type { Reason } from "../../shared/contract/index.ts";
import { elapsed } from "../elapsed.ts";
import { contact, facts, memory, PLAN } from "./top-off-scene.ts";

/**
 * One scan of top-off at a time, on both sides of each of its limits. The reference pump gives 25 mL/s
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
  test("low for its 30 s: 337.5 mL taken from the bucket, sequence noted, urgent, pump off", () => {
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
  test.each(rows)("%s: pump off as $3", (_, before, seen, why) => {
    const verdict = scan(before, seen);
    expect(verdict).toMatchObject({ pour: false, why, proved: false });
    expect(verdict.urgent).toBe(why === "waiting-for-disk");
    expect(verdict.memory.latch).toBeNull();
    expect(verdict.blockers).toEqual(why === "daily-budget-used" || why === "excess-litres" ? [why] : []);
  });

  test("no room in the unexplained litres, low not sure: no lock; sure: locked as excess-litres; empty bucket: no lock", () => {
    const spent = { excessUl: PLAN.excessLimitUl };
    expect(scan({ ...spent, confirmMs: 29_499 }).memory.latch).toBeNull();
    const verdict = scan({ ...spent, ...SURE });
    expect(verdict).toMatchObject({ pour: false, why: "excess-litres", blockers: ["excess-litres"], urgent: true });
    expect(verdict.memory.latch).toEqual({ reason: "excess-litres", occurrence: 1 });
    expect(scan({ ...SURE, bucketUl: 0 }).memory.latch).toBeNull();
  });

  test("rest of 60 s: 500 ms of credit less; 200 ms: 0", () => {
    expect(scan({ restMs: 60_000 }, FULL).memory.restMs).toBe(59_500);
    expect(scan({ restMs: 200 }, FULL).memory.restMs).toBe(0);
  });

  const waits: [Partial<TopOffFacts>, Reason][] = [
    [{ steady: false }, "starting"],
    [{ supplied: false }, "top-off-starting"],
    [{ supplied: false, pumpWatched: true }, "pump-being-proven"],
    [{ levelSettled: false }, "return-pump-settling"],
  ];
  test.each(waits)("wait with nothing wrong, rest goes on: %j: %s", (seen, why) => {
    const verdict = scan({ ...SURE, restMs: 60_000 }, seen);
    expect(verdict).toMatchObject({ pour: false, why, blockers: [why], urgent: false });
    expect(verdict.memory.restMs).toBe(59_500);
    expect(scan({ ...SURE, restMs: 0 }, { ...seen, holding: true }).memory.restMs).toBe(120_000);
  });

  test("hold: rest begins anew at 2 min, not above it", () => {
    const held = scan({ ...SURE, restMs: 60_000 }, { holding: true });
    expect(held).toMatchObject({ pour: false, why: "hold", blockers: ["hold"], urgent: false });
    expect(held.memory).toMatchObject({ state: "resting", restMs: 120_000 });
    expect(scan({ ...SURE, restMs: 120_000 }, { holding: true }).memory.restMs).toBe(120_000);
    expect(scan({ restMs: 120_499 }, { holding: true }).memory.restMs).toBe(120_000);
  });

  test("rest of 30 min behind a hold: 500 ms less; board silent: none", () => {
    expect(scan({ restMs: 1_800_000 }, { holding: true }).memory.restMs).toBe(1_799_500);
    expect(scan({ restMs: 1_800_000 }, { board: "silent" }).memory.restMs).toBe(1_800_000);
  });

  test("question, unsettled and not proven: hold-question is the reason, all three listed", () => {
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

  test("sequence before the charge on disk: pump off; the charge's: pump on, pour at 0", () => {
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

  test("30 s of waiting: still; 1 ms more: charge given back, disk-failed", () => {
    expect(waits({ chargeWaitMs: 29_000 }, {})).toMatchObject({ why: "waiting-for-disk" });
    const verdict = waits({ chargeWaitMs: 29_001 }, {});
    expect(verdict).toMatchObject({ pour: false, why: "disk-failed", blockers: [], urgent: false });
    expect(verdict.memory).toMatchObject(GIVEN_BACK);
  });

  test("hold and question: charge given back, reason hold, though on disk", () => {
    const verdict = waits({}, { durableSequence: 7, holding: true, question: true });
    expect(verdict).toMatchObject({ pour: false, why: "hold", blockers: ["hold", "hold-question"], urgent: false });
    expect(verdict.memory).toMatchObject(GIVEN_BACK);
  });

  test("full for a scan of 1 s: 2 s of confirm taken, charge stays above 15 s, given back below", () => {
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

  test("scan of 1 s: 31.25 mL charged, 25 mL since full, pump on", () => {
    const verdict = pours();
    expect(verdict).toMatchObject({ pour: true, why: "pouring-low", blockers: [], urgent: false, proved: false });
    expect(verdict.memory).toMatchObject({ state: "pouring", running: true, pourMs: 3_000, pourUl: 93_750 });
    expect(verdict.memory.sinceFullUl).toBe(25_000);
  });

  test("pump was off in the scan before: nothing counted", () => {
    expect(pours({ running: false }).memory).toMatchObject({ running: true, pourMs: 2_000, pourUl: 62_500 });
  });

  const SETTLES = { state: "settling", running: false, restMs: 60_000, chargeUl: CHARGE_UL };
  test("float full: pump off in that scan, settles for 60 s, charge kept", () => {
    const verdict = pours({}, FULL);
    expect(verdict).toMatchObject({ pour: false, why: "letting-settle", blockers: [], urgent: false, proved: false });
    expect(verdict.memory).toMatchObject({ ...SETTLES, bucketUl: 1_000_000, excessUl: 1_000_000 });
  });

  test("slice less one scan and one late scan: goes on; 1 µL more: settles", () => {
    // 312.5 mL are charged for a slice: less the scan just over and a late one to come.
    expect(pours({ pourUl: 312_500 - 31_250 - 15_625 })).toMatchObject({ pour: true, why: "pouring-low" });
    const verdict = pours({ pourUl: 312_501 - 31_250 - 15_625 });
    expect(verdict).toMatchObject({ pour: false, why: "letting-settle", urgent: false });
    expect(verdict.memory).toMatchObject(SETTLES);
  });

  test("hold in the scan in which the slice is full and the float too: reason hold", () => {
    const verdict = pours({ pourUl: 300_000 }, { ...FULL, holding: true, question: true });
    expect(verdict).toMatchObject({ pour: false, why: "hold", blockers: ["hold", "hold-question"] });
    expect(verdict.memory.state).toBe("settling");
  });

  test("poured 9 µL beyond the charge: 9 µL more charged, urgent; just the charge: not", () => {
    // 25 mL of coast come to what has run.
    const whole = pours({ pourUl: CHARGE_UL - 25_000 - 31_250 });
    expect(whole.urgent).toBe(false);
    expect(whole.memory).toMatchObject({ chargeUl: CHARGE_UL, bucketUl: 1_000_000, excessUl: 1_000_000 });
    const late = pours({ pourUl: CHARGE_UL - 25_000 - 31_250 + 9 });
    expect(late.urgent).toBe(true);
    expect(late.memory).toMatchObject({ chargeUl: CHARGE_UL + 9, bucketUl: 999_991, excessUl: 1_000_009 });
  });

  test("floor wet for 2 s: pump off, locked, guard open, urgent", () => {
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

  test("60 s of credited time; board silent: none; behind a hold: goes on", () => {
    const verdict = settles({ restMs: 501 });
    expect(verdict).toMatchObject({ pour: false, why: "letting-settle", blockers: [], urgent: false, proved: false });
    expect(verdict.memory).toMatchObject({ state: "settling", restMs: 1, chargeUl: CHARGE_UL, pourUl: 100_000 });
    const sick = settles({}, { board: "silent" });
    expect(sick).toMatchObject({ why: "board-silent", blockers: ["board-silent"] });
    expect(sick.memory).toMatchObject({ state: "settling", restMs: 500 });
    expect(settles({ restMs: 60_000 }, { holding: true })).toMatchObject({ why: "hold", memory: { restMs: 59_500 } });
  });

  test("over, still low: 125 of 337.5 mL spent, the rest given back, no further rest", () => {
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

  test("over, float full: rest of 2 min, no failure, however much it took", () => {
    const verdict = settles({ sinceFullUl: 3_000_000 }, FULL);
    expect(verdict).toMatchObject({ pour: false, why: "letting-settle", urgent: false });
    expect(verdict.memory).toMatchObject({ state: "resting", restMs: 120_000, failures: 0 });
    expect(settles({ restMs: 0 }, { ...FULL, holding: true }).why).toBe("hold");
  });

  test("over, still low, 1 µL beyond what is due, the float's way and a litre: failure of 2, rest of 30 min, urgent", () => {
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

  test("sequence before its charge on disk: off; the charge's: on as proving-pump", () => {
    const early = runs({ chargeWaitMs: 500 }, { durableSequence: 6 });
    expect(early).toMatchObject({ pour: false, why: "waiting-for-disk", blockers: [], urgent: false, proved: false });
    expect(early.memory).toMatchObject({ state: "proving", chargeWaitMs: 1_500 });
    const verdict = runs();
    expect(verdict).toMatchObject({ pour: true, why: "proving-pump", blockers: [], urgent: false, proved: false });
    expect(verdict.memory).toMatchObject({ state: "proving", running: true });
  });

  test("30 s of waiting: still; 1 ms more: disk-failed, settling, no proof", () => {
    expect(runs({ chargeWaitMs: 29_000 }, { durableSequence: 6 }).why).toBe("waiting-for-disk");
    const verdict = runs({ chargeWaitMs: 29_001 }, { durableSequence: 6 });
    expect(verdict).toMatchObject({ pour: false, why: "disk-failed", urgent: false, proved: false });
    expect(verdict.memory).toMatchObject({ state: "settling", restMs: 60_000, chargeUl: 337_500 });
  });

  test("8.5 s of 10 run: goes on; 1 ms more: off, proved, settling", () => {
    const last = runs({ running: true, pourMs: 8_500 });
    expect(last).toMatchObject({ pour: true, why: "proving-pump", proved: false });
    expect(last.memory).toMatchObject({ pourMs: 9_500, sinceFullUl: 0 });
    const verdict = runs({ running: true, pourMs: 8_501 });
    expect(verdict).toMatchObject({ pour: false, why: "letting-settle", blockers: [], urgent: false, proved: true });
    expect(verdict.memory).toMatchObject({ state: "settling", running: false, provingMs: 10_000 });
  });

  test("hold, not proven, unsettled: goes on", () => {
    expect(runs({}, { holding: true, proven: false, levelSettled: false })).toMatchObject({ pour: true, blockers: [] });
  });

  test("high float wet in its last scan: off, no proof", () => {
    const verdict = runs({ running: true, pourMs: 9_999 }, { holding: true, high: contact("on") });
    expect(verdict).toMatchObject({ pour: false, why: "high-float-wet", blockers: ["high-float-wet"], proved: false });
    expect(verdict.memory.state).toBe("settling");
  });
});

describe("time at rest", () => {
  test("confirm: low adds 500 ms, full or unknown takes 2 s of a scan of 1 s, floor zero; board or high float unknown: stays", () => {
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
  test("full for 30 s: nothing due or since full, one failure less; 1 ms less: not yet", () => {
    expect(scan(LAST, FULL).memory).toMatchObject({ fullMs: 30_000, sinceFullUl: 0, dueUl: 0, failures: 1 });
    expect(scan({ ...LAST, failures: 0 }, FULL).memory.failures).toBe(0);
    const early = scan({ ...LAST, fullMs: 29_499 }, FULL).memory;
    expect(early).toMatchObject({ fullMs: 29_999, sinceFullUl: 400_000, failures: 2 });
    expect(early.dueUl).toBeCloseTo(300_000 + 1_000 * PLAN.evaporationUlPerMs, 6);
  });
  test("full for 30 s without a pour: nothing due, failures stay", () => {
    expect(scan({ ...LAST, sinceFullUl: 0 }, FULL).memory).toMatchObject({ sinceFullUl: 0, dueUl: 0, failures: 2 });
  });

  test("diluted: from a diluted reading until recovered is true, not merely unknown", () => {
    const after = (diluted: boolean, seen: Partial<TopOffFacts>) => scan({ diluted }, seen).memory.diluted;
    expect(after(false, {})).toBe(false);
    expect(after(false, { salinity: "diluted" })).toBe(true);
    expect(after(false, { salinityRecovered: false })).toBe(false);
    expect(after(true, { salinityRecovered: false })).toBe(true);
    expect(after(true, {})).toBe(false);
    expect(after(true, { salinity: "diluted" })).toBe(true);
  });

  test("locked: urgent in its scan, not again; flood behind it: a new number, guard open, urgent", () => {
    const latch = { reason: "failed-pours", occurrence: 1 } as const;
    const first = scan({ failures: 6 });
    expect(first).toMatchObject({ pour: false, why: "failed-pours", urgent: true, memory: { latch, occurrences: 1 } });
    expect(scan({ failures: 6, latch, occurrences: 1 })).toMatchObject({ urgent: false, memory: { latch } });
    const flood = scan({ failures: 6, latch, occurrences: 1, floorWetMs: 1_000 }, { floor: contact("on") });
    expect(flood.urgent).toBe(true);
    expect(flood.memory).toMatchObject({ latch: { reason: "failed-pours", occurrence: 2 }, guardLatched: true });
  });
});
