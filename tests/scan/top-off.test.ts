import { describe, expect, test } from "vitest";
import { LEDGER } from "../../controller/decisions/ledger/key.ts";
import { TOP_OFF } from "../../controller/decisions/top-off/key.ts";
import type { Reason } from "../../shared/contract/index.ts";
import { Box, SETTINGS, type Sight } from "./box.ts";

/** Stories of top-off in time: what starts a pour, what stops it, and what keeps it stopped. */

const LOW: Sight = { "working-float": "dry" };
const FULL: Sight = { "working-float": "wet" };

describe("a pour begins", () => {
  test("low for 29.5 s: confirming; 30 s: charge waits for the disk; next scan: pump and guard on, 0.3375 L charged", () => {
    const box = Box.atRest(LOW).afterSeconds(29.5);
    expect(box.why).toBe("low-confirming");
    box.afterSeconds(0.5);
    expect(box.why).toBe("waiting-for-disk");
    expect(box.pumpOn).toBe(false);
    box.scan();
    expect(box.pumpOn).toBe(true);
    expect(box.commands["water-guard"]).toBe(true);
    expect(box.why).toBe("pouring-low");
    expect(box.stored(TOP_OFF).chargeUl).toBe(337_500);
  });

  test("disk slow: charge given back after half a minute, no pour in 30 min", () => {
    const box = Box.atRest({ ...LOW, disk: "slow" }).afterSeconds(31);
    const { bucketUl } = box.topOff;
    expect(box.why).toBe("waiting-for-disk");
    expect(box.topOff.chargeUl).toBe(337_500);
    box.afterSeconds(29);
    expect(box.why).toBe("waiting-for-disk");
    box.afterSeconds(3);
    expect(box.why).not.toBe("waiting-for-disk");
    expect(box.topOff.chargeUl).toBe(0);
    expect(box.topOff.bucketUl).toBeGreaterThan(bucketUl + 335_000);
    box.after(30);
    expect(box.pumpMs).toBe(0);
  });

  test("disk failed: blocked, no pour; disk working: pours", () => {
    const box = Box.atRest({ ...LOW, disk: "failed" }).after(30);
    expect(box.pumpMs).toBe(0);
    expect(box.record.topOff.blockers).toContain("disk-failed");
    box.sees({ disk: "working" }).untilPouring(5);
  });

  test("2 s low and 0.5 s full by turns: pours, later than at rest", () => {
    const quiet = Box.atRest(LOW).untilPouring();
    const rippled = Box.atRest(LOW);
    // Two seconds low, half a second full: gains 1 s in every 2.5 s.
    for (let wave = 0; wave < 100 && !rippled.pumpOn; wave++) {
      rippled.sees(LOW).afterSeconds(2);
      if (!rippled.pumpOn) rippled.sees(FULL).afterSeconds(0.5);
    }
    expect(quiet).toBeLessThan(32_000);
    expect(rippled.pumpOn).toBe(true);
  });

  test("ripple of 3 scans low and 1 full, disk takes 1 s: pours", () => {
    const box = Box.atRest({ disk: "slow" });
    for (let wave = 0; wave < 300 && !box.pumpOn; wave++) {
      for (const sight of [LOW, LOW, LOW, FULL]) {
        const sinceChargeMs = box.topOff.chargeUl > 0 ? box.topOff.chargeWaitMs : 0;
        box.sees({ ...sight, disk: sinceChargeMs >= 1_000 ? "working" : "slow" }).scan();
        if (box.pumpOn) break;
      }
    }
    expect(box.pumpOn).toBe(true);
  });

  test("2 s low and 1 s full by turns, 300 times: no pour", () => {
    const box = Box.atRest();
    for (let wave = 0; wave < 300; wave++) {
      box.sees(LOW).afterSeconds(2);
      box.sees(FULL).afterSeconds(1);
    }
    expect(box.pumpMs).toBe(0);
  });

  test("one scan of 70 s: 500 ms of confirm credited", () => {
    const box = Box.atRest(LOW).scan(70_000);
    expect(box.topOff.confirmMs).toBe(500);
  });
});

describe("a pour ends", () => {
  test("float full 3 s into it: pump and guard off in the same scan, settling", () => {
    const box = Box.atRest(LOW);
    box.untilPouring();
    box.afterSeconds(3).sees(FULL).scan();
    expect(box.pumpOn).toBe(false);
    expect(box.commands["water-guard"]).toBe(false);
    expect(box.why).toBe("letting-settle");
  });

  test("never full: off after one slice in 9 to 10 s, next one after 60 to 62 s of settling", () => {
    const box = Box.atRest(LOW);
    box.untilPouring();
    const pouredMs = box.until(({ pumpOn }) => !pumpOn, 1);
    // 0.25 L at 1.5 L/min are 10 s; the last possible late scan is kept in hand.
    expect(pouredMs).toBeGreaterThan(9_000);
    expect(pouredMs).toBeLessThanOrEqual(10_000);
    const settledMs = box.untilPouring();
    expect(settledMs).toBeGreaterThanOrEqual(60_000);
    expect(settledMs).toBeLessThan(62_000);
  });

  test("full after 2 s: litres poured and the coast stay charged at 1.25 times the flow, the rest given back", () => {
    const box = Box.atRest(LOW);
    const { bucketUl } = box.topOff;
    box.untilPouring();
    box.afterSeconds(2).sees(FULL).after(2);
    const pouredUl = box.pumpMs * 25;
    // At 1.25 times the proven flow, with 20 mL of coast.
    const costUl = (pouredUl + 20_000) * 1.25;
    expect(box.topOff.chargeUl).toBe(0);
    expect(box.topOff.excessUl).toBeGreaterThan(costUl - 3_000);
    expect(box.topOff.excessUl).toBeLessThanOrEqual(costUl);
    expect(box.topOff.bucketUl).toBeLessThanOrEqual(bucketUl - costUl + 10_000);
    expect(box.record.topOff.pouredTotalL * 1e6).toBeCloseTo(pouredUl, 3);
  });

  test("scan late by 5 s, after 9: charged for 14 s and the coast, more than was reserved", () => {
    const box = Box.atRest(LOW);
    box.untilPouring();
    box.afterSeconds(9).scan(5_000);
    expect(box.pumpOn).toBe(false);
    // 14 s at 31.25 µL/ms and the coast are more than the 338 mL that were charged.
    expect(box.topOff.chargeUl).toBeCloseTo(14_000 * 31.25 + 25_000, 3);
    expect(box.topOff.bucketUl).toBeLessThan(3_000_000 - box.topOff.chargeUl + 2_000);
  });

  test("one scan of 70 s: pump off, locked as pour-too-long", () => {
    const box = Box.atRest(LOW);
    box.untilPouring();
    box.scan(70_000);
    expect(box.pumpOn).toBe(false);
    expect(box.latch).toBe("pour-too-long");
  });
});

describe("pouring, then in the same scan pump and guard off with this reason", () => {
  const trips: [part: string, sight: Sight, why: Reason][] = [
    ["high float wet", { "high-float": "wet" }, "high-float-wet"],
    ["high float unplugged", { "high-float": "open-circuit" }, "high-float-unknown"],
    ["high float old", { "high-float": "old" }, "high-float-unknown"],
    ["high float not fitted", { "high-float": "not-fitted" }, "high-float-unknown"],
    ["working float silent", { "working-float": "nothing" }, "working-float-unknown"],
    ["floor wet", { "floor-sensor": "wet" }, "floor-wet"],
    ["floor sensor silent", { "floor-sensor": "nothing" }, "floor-sensor-unknown"],
    ["reservoir empty", { "reservoir-float": "dry" }, "reservoir-empty"],
    ["reservoir float silent", { "reservoir-float": "garbled" }, "reservoir-float-unknown"],
    ["mains gone", { "mains-sensor": "gone" }, "mains-lost"],
    ["mains sensor silent", { "mains-sensor": "nothing" }, "mains-lost"],
    ["return pump stopped", { "return-sensor": "gone" }, "return-pump-stopped"],
    ["return sensor silent", { "return-sensor": "nothing" }, "return-pump-stopped"],
    ["board silent", { board: "silent" }, "board-silent"],
    ["board reset", { board: "restarted" }, "board-silent"],
    ["nobody beside the box any more", { board: "unattended" }, "nobody-beside"],
    ["pump locked by the guard firmware", { pumpLocked: true }, "pump-locked-by-guard"],
  ];
  test.each(trips)("%s: $2", (_part, sight, why) => {
    const box = Box.atRest(LOW);
    box.untilPouring();
    box.afterSeconds(1).sees(sight).scan();
    expect(box.pumpOn).toBe(false);
    expect(box.commands["water-guard"]).toBe(false);
    expect(box.why).toBe(why);
    expect(box.record.topOff.blockers).toContain(why);
  });

  const harmless: [string, Sight][] = [
    ["room thermometer silent", { "room-thermometer": "nothing" }],
    ["no thermometer at all", { "thermometer-1": "nothing", "thermometer-2": "nothing" }],
    ["low float silent", { "low-float": "nothing" }],
    ["salinity high", { conductivity: 58 }],
    ["water hot", { "thermometer-1": 31, "thermometer-2": 31 }],
    ["a disk that failed after the charge was noted", { disk: "failed" }],
  ];
  test.each(harmless)("pour goes on with: %s", (_part, sight) => {
    const box = Box.atRest(LOW);
    box.untilPouring();
    box.sees(sight).afterSeconds(1);
    expect(box.pumpOn).toBe(true);
  });
});

describe("causes that clear by themselves", () => {
  const passing: [string, Sight, Sight][] = [
    ["high float unplugged", { "high-float": "open-circuit" }, { "high-float": "dry" }],
    ["floor sensor silent", { "floor-sensor": "nothing" }, { "floor-sensor": "dry" }],
    [
      "board silent",
      { board: "silent", "high-float": "nothing", "working-float": "nothing" },
      { board: "ready", "high-float": "dry", "working-float": "dry" },
    ],
    ["pump locked by the guard firmware", { pumpLocked: true }, { pumpLocked: false }],
    ["reservoir empty", { "reservoir-float": "dry" }, { "reservoir-float": "wet" }],
    ["mains lost", { "mains-sensor": "gone" }, { "mains-sensor": "there" }],
  ];
  test.each(passing)("%s for 10 min in a pour: pump off, no lock; back: pours", (_what, gone, back) => {
    const box = Box.atRest(LOW);
    box.untilPouring();
    box.sees(gone).after(10);
    expect(box.latch).toBeNull();
    expect(box.pumpOn).toBe(false);
    box.sees(back);
    expect(box.untilPouring(20)).toBeGreaterThan(0);
  });

  test("board silent and floats without a reading for 5 min, no return sensor: no lock", () => {
    const box = new Box(SETTINGS, { "return-sensor": "not-fitted", "mains-sensor": "not-fitted" }).after(16);
    box
      .sees({ board: "silent", "high-float": "nothing", "floor-sensor": "nothing", "working-float": "nothing" })
      .after(5);
    expect(box.latch).toBeNull();
  });
});

describe("the high float", () => {
  test("wet 1 s, dry 70 s, wet 1 s: locked at 2 s in sum, water guard open", () => {
    const box = Box.atRest({ "high-float": "wet" }).afterSeconds(1);
    box.sees({ "high-float": "dry" }).after(70);
    expect(box.latch).toBeNull();
    box.sees({ "high-float": "wet" }).afterSeconds(1);
    expect(box.latch).toBe("high-float-wet");
    expect(box.record.topOff.waterGuardLatch?.reason).toBe("high-float-wet");
  });

  test("wet for one scan three times, 15 min apart: locked at the third", () => {
    const box = Box.atRest();
    const touch = () => box.sees({ "high-float": "wet" }).scan().sees({ "high-float": "dry" }).after(15);
    touch();
    touch();
    expect(box.latch).toBeNull();
    box.sees({ "high-float": "wet" }).scan();
    expect(box.latch).toBe("high-float-wet");
  });

  test("wet for one scan twice, a scan apart: no lock", () => {
    const box = Box.atRest();
    for (let touch = 0; touch < 2; touch++) {
      box.sees({ "high-float": "wet" }).scan().sees({ "high-float": "dry" }).scan();
    }
    expect(box.latch).toBeNull();
  });

  test("wet for one scan three times, 80 min apart: no lock", () => {
    const box = Box.atRest();
    for (let touch = 0; touch < 3; touch++)
      box.sees({ "high-float": "wet" }).scan().sees({ "high-float": "dry" }).after(80);
    expect(box.latch).toBeNull();
  });

  test("wet for 5 min in a hold: blocked, no lock", () => {
    const box = Box.atRest().asks({ kind: "hold", at: "tank", minutes: 30 });
    box.sees({ "high-float": "wet" }).after(5);
    expect(box.latch).toBeNull();
    expect(box.record.topOff.blockers).toContain("high-float-wet");
  });

  test("wet for an hour with the return pump off: no lock; 4.9 min after it runs: none; 5.4 min: locked", () => {
    const box = Box.atRest({ "return-sensor": "gone", "high-float": "wet" }).after(60);
    expect(box.latch).toBeNull();
    box.sees({ "return-sensor": "there" }).after(4.9);
    expect(box.latch).toBeNull();
    box.after(0.5);
    expect(box.latch).toBe("high-float-wet");
  });
});

describe("floor, contradiction and power behind the contact", () => {
  test("floor wet 1.75 s: no lock; 2 s: locked, guard open", () => {
    const box = Box.atRest({ "floor-sensor": "wet" }).afterSeconds(1.75);
    expect(box.latch).toBeNull();
    box.scan();
    expect(box.latch).toBe("floor-wet");
    expect(box.topOff.guardLatched).toBe(true);
  });

  const contradictions: [string, Sight][] = [
    ["low-low dry with working full", { "low-float": "dry", "working-float": "wet" }],
  ];
  test.each(contradictions)("%s: blocked at once, locked after 60 s, guard not latched", (_what, sight) => {
    const box = Box.atRest(sight).scan();
    expect(box.record.topOff.blockers).toContain("floats-contradict");
    box.afterSeconds(59);
    expect(box.latch).toBeNull();
    box.afterSeconds(1);
    expect(box.latch).toBe("floats-contradict");
    expect(box.topOff.guardLatched).toBe(false);
  });

  test("low float without a reading for 10 min: no lock", () => {
    const box = Box.atRest({ "low-float": "nothing" }).after(10);
    expect(box.latch).toBeNull();
  });

  test("pump powered 2 s after it was off: no lock; 2.75 s: locked as pump-seen-on, guard open", () => {
    const box = Box.atRest(LOW);
    box.untilPouring();
    box.sees({ ...FULL, pumpPowered: true }).afterSeconds(2);
    expect(box.latch).toBeNull();
    box.afterSeconds(0.75);
    expect(box.latch).toBe("pump-seen-on");
    expect(box.topOff.guardLatched).toBe(true);
  });

  test("pump powered for 5 s while commanded on: no lock, pours on", () => {
    const box = Box.atRest({ ...LOW, pumpPowered: false });
    box.untilPouring();
    box.sees({ pumpPowered: true }).afterSeconds(5);
    expect(box.latch).toBeNull();
    expect(box.pumpOn).toBe(true);
  });
});

describe("a pour that is not answered: three litres against what is due and one more", () => {
  /** Three litres since full against what is due and one litre more. */
  test("five slices without full: failed, half an hour of rest; three failures: locked as failed-pours, no pour in 10 h", () => {
    const box = Box.atRest(LOW);
    const slices = [1, 2, 3, 4, 5].map(() => {
      box.untilPouring(5);
      return box.until(({ pumpOn }) => !pumpOn, 1);
    });
    expect(slices).toHaveLength(5);
    box.until(({ why }) => why === "not-answered", 2);
    expect(box.topOff.sinceFullUl).toBeGreaterThan(1_000_000);
    expect(box.topOff.failures).toBe(2);
    const restedMs = box.untilPouring(40);
    expect(restedMs).toBeGreaterThan(29 * 60_000);
    box.until(({ record }) => record.topOff.failures >= 4, 5).toFixed();
    box.untilPouring(40);
    box.until(({ latch }) => latch !== null, 5);
    expect(box.latch).toBe("failed-pours");
    const { pumpMs } = box;
    box.after(600, 500);
    expect(box.pumpMs).toBe(pumpMs);
  });

  test("full after one failure: one of its two points taken back, litres since full 0", () => {
    const box = Box.atRest(LOW);
    box.until(({ why }) => why === "not-answered", 20);
    box.sees(FULL).after(1);
    expect(box.topOff.failures).toBe(1);
    expect(box.topOff.sinceFullUl).toBe(0);
  });
});

describe("litres", () => {
  test("bucket of 0.8 L used: blocked for 60 min, no lock; pours again within 12 h", () => {
    const small = { ...SETTINGS, topOff: { ...SETTINGS.topOff, dailyBudgetL: 0.8 } };
    const box = Box.atRest(LOW, small);
    box.untilPouring();
    box.until(({ why }) => why === "daily-budget-used", 10);
    expect(box.latch).toBeNull();
    const pumpMs = box.pumpMs;
    box.after(60);
    expect(box.pumpMs).toBe(pumpMs);
    // 338 mL at 0.8 L a day are 11 h at most.
    box.until(({ pumpOn }) => pumpOn, 60 * 12, 500);
  });

  test("8.3 L unexplained: locked; clear refused before a hand test of 34.9, which leaves 0.4 L; then taken, pours", () => {
    const box = Box.atRest(LOW);
    box.remembers(TOP_OFF, { excessUl: 8_300_000 });
    box.after(1);
    expect(box.latch).toBe("excess-litres");
    box.asks({ kind: "clear", machine: "top-off", occurrence: 1, at: "tank" });
    expect(box.accepted).toBe(false);
    box.asks({ kind: "hand-test", salinity: 34.9, at: "network" });
    expect(box.accepted).toBe(true);
    expect(box.latch).toBe("excess-litres");
    // 0.1 of 35 in 140 L is 0.4 L of fresh water: no more than that is still unexplained.
    expect(box.topOff.excessUl).toBeCloseTo((140e6 * 0.1) / 34.9, -3);
    box.asks({ kind: "clear", machine: "top-off", occurrence: 1, at: "network" });
    expect(box.accepted).toBe(true);
    box.untilPouring();
  });

  test("hand test of 33.5: blocked as salinity-falling; 35 within half an hour: refused; later: taken, pours", () => {
    const box = Box.atRest(LOW).asks({ kind: "hand-test", salinity: 33.5, at: "network" });
    box.after(30);
    expect(box.pumpMs).toBe(0);
    expect(box.why).toBe("salinity-falling");
    box.asks({ kind: "hand-test", salinity: 35, at: "network" });
    expect(box.accepted).toBe(false);
    box.after(31).asks({ kind: "hand-test", salinity: 35, at: "network" });
    expect(box.accepted).toBe(true);
    box.untilPouring();
  });

  test("bucket of an hour: 3 L a day; low or silent probe: 1.2; high probe: 3; pours with either", () => {
    const refill = (sight: Sight) => {
      const box = Box.atRest(sight);
      box.remembers(TOP_OFF, { bucketUl: 1_000_000 });
      box.after(60);
      return box.topOff.bucketUl - 1_000_000;
    };
    const usual = refill({});
    expect(usual).toBeCloseTo(3e6 / 24, -3);
    expect(refill({ conductivity: 50 })).toBeCloseTo(1.2e6 / 24, -3);
    expect(refill({ conductivity: "nothing" })).toBeCloseTo(1.2e6 / 24, -3);
    expect(refill({ conductivity: 58 })).toBeCloseTo(usual, -3);
    Box.atRest({ ...LOW, conductivity: 50 }).untilPouring();
    Box.atRest({ ...LOW, conductivity: "nothing" }).untilPouring();
  });

  test("high float without a reading for 60 min: bucket refills nothing", () => {
    const box = Box.atRest();
    box.remembers(TOP_OFF, { bucketUl: 1_000_000 });
    box.sees({ "high-float": "nothing" }).after(60);
    expect(box.topOff.bucketUl).toBe(1_000_000);
  });
});

describe("water that nobody ordered", () => {
  const rises = (box: Box) =>
    box
      .sees(LOW)
      .afterSeconds(20)
      .sees({ "reservoir-float": "dry" })
      .afterSeconds(20)
      .sees(FULL)
      .after(1)
      .sees({ "reservoir-float": "wet" });

  test("low, then full, nothing poured, twice: locked as unordered-water at the second, guard open", () => {
    const box = Box.atRest();
    rises(box);
    expect(box.latch).toBeNull();
    rises(box);
    expect(box.latch).toBe("unordered-water");
    expect(box.topOff.guardLatched).toBe(true);
  });

  test("a pour between the two rises: no lock", () => {
    const box = Box.atRest();
    rises(box);
    box.sees(LOW).untilPouring();
    box.sees(FULL).after(3);
    rises(box);
    expect(box.latch).toBeNull();
  });

  test("a rise in a hold: not counted; the next one after it: locked", () => {
    const box = Box.atRest();
    rises(box);
    box.asks({ kind: "hold", at: "tank", minutes: 30 });
    rises(box);
    box.asks({ kind: "end-hold", at: "tank", answer: "salt-water-added" });
    expect(box.latch).toBeNull();
    rises(box);
    expect(box.latch).toBe("unordered-water");
  });
});

describe("a clear", () => {
  const flooded = () => Box.atRest({ "high-float": "wet" }).afterSeconds(3);

  test("flood: refused while wet, unknown, for occurrence 2, over the network; at the tank for occurrence 1: taken, pump off", () => {
    const box = flooded();
    box.asks({ kind: "clear", machine: "top-off", occurrence: 1, at: "tank" });
    expect(box.outcome).toMatch(/still stands/);
    box.sees({ "high-float": "nothing" }).asks({ kind: "clear", machine: "top-off", occurrence: 1, at: "tank" });
    expect(box.outcome).toMatch(/The high float cannot be trusted/);
    box.sees({ "high-float": "dry" }).asks({ kind: "clear", machine: "top-off", occurrence: 2, at: "tank" });
    expect(box.outcome).toMatch(/another lock/);
    box.asks({ kind: "clear", machine: "top-off", occurrence: 1, at: "network" });
    expect(box.outcome).toMatch(/at the tank/);
    expect(box.latch).toBe("high-float-wet");
    box.asks({ kind: "clear", machine: "top-off", occurrence: 1, at: "tank" });
    expect(box.accepted).toBe(true);
    expect(box.latch).toBeNull();
    expect(box.pumpOn).toBe(false);
  });

  test("flood, clearing at a distance allowed by the settings: taken over the network", () => {
    const settings = { ...SETTINGS, topOff: { ...SETTINGS.topOff, clearingAFloodFromADistance: true } };
    const box = Box.atRest({ "high-float": "wet" }, settings).afterSeconds(3).sees({ "high-float": "dry" }).scan();
    expect(box.asks({ kind: "clear", machine: "top-off", occurrence: 1, at: "network" }).accepted).toBe(true);
  });

  test("same id after a second flood: answered as accepted, still locked as occurrence 2", () => {
    const box = flooded().sees({ "high-float": "dry" });
    box.asks({ kind: "clear", machine: "top-off", occurrence: 1, at: "tank", id: "mine" });
    box.sees({ "high-float": "wet" }).afterSeconds(3).sees({ "high-float": "dry" });
    box.asks({ kind: "clear", machine: "top-off", occurrence: 1, at: "tank", id: "mine" });
    expect(box.accepted).toBe(true);
    expect(box.latch).toBe("high-float-wet");
    expect(box.record.topOff.latch?.occurrence).toBe(2);
  });

  test("before there is a lock: refused, and the lock that follows stays", () => {
    const box = Box.atRest().asks({ kind: "clear", machine: "top-off", occurrence: 1, at: "tank" });
    expect(box.accepted).toBe(false);
    box.sees({ "high-float": "wet" }).afterSeconds(3).sees({ "high-float": "dry" }).after(10);
    expect(box.latch).toBe("high-float-wet");
  });

  test("floor was wet in a pour: lock gone, bucket and unexplained litres as before", () => {
    const box = Box.atRest(LOW);
    box.untilPouring();
    box.afterSeconds(2).sees({ "floor-sensor": "wet" }).afterSeconds(3).sees({ "floor-sensor": "dry" });
    const { bucketUl, excessUl } = box.topOff;
    box.asks({ kind: "clear", machine: "top-off", occurrence: 1, at: "tank" });
    expect(box.latch).toBeNull();
    expect(box.topOff.bucketUl).toBeLessThan(bucketUl + 50);
    expect(box.topOff.excessUl).toBeGreaterThan(excessUl - 50);
  });

  test("locked as floats-contradict, then floor wet: reason stays, guard open", () => {
    const box = Box.atRest({ "low-float": "dry" }).after(2);
    expect(box.latch).toBe("floats-contradict");
    box.sees({ "floor-sensor": "wet" }).afterSeconds(3);
    expect(box.latch).toBe("floats-contradict");
    expect(box.topOff.guardLatched).toBe(true);
  });
});

describe("a reservoir that runs empty", () => {
  const withReservoir = (litres: number) => {
    const box = Box.atRest();
    box.remembers(TOP_OFF, { reservoirUl: litres * 1e6 });
    return box;
  };

  test("8 L by count, dry: no lock after 14 min; after 16: locked as emptied-early, guard open", () => {
    const box = withReservoir(8).sees({ "reservoir-float": "dry" }).after(14);
    expect(box.latch).toBeNull();
    box.after(2);
    expect(box.latch).toBe("emptied-early");
    expect(box.topOff.guardLatched).toBe(true);
    expect(box.topOff.reservoirUl).toBe(0);
  });

  test("2 L by count, dry: no lock; 4 L refilled: counted, dry early again: locked", () => {
    const box = withReservoir(2).sees({ "reservoir-float": "dry" }).after(30);
    expect(box.latch).toBeNull();
    expect(box.topOff.reservoirUl).toBe(0);
    box.asks({ kind: "refill", litres: 4, at: "network" }).after(30);
    expect(box.latch).toBeNull();
    expect(box.topOff.reservoirUl).toBe(4_000_000);
    box.sees({ "reservoir-float": "wet" }).after(30).sees({ "reservoir-float": "dry" }).after(16);
    expect(box.latch).toBe("emptied-early");
  });

  test("8 L by count, dry for 14 min, back for 5, dry for 14: no lock", () => {
    const box = withReservoir(8)
      .sees({ "reservoir-float": "dry" })
      .after(14)
      .sees({ "reservoir-float": "wet" })
      .after(5);
    expect(box.latch).toBeNull();
    expect(box.sees({ "reservoir-float": "dry" }).after(14).latch).toBeNull();
  });

  test("litres never told, dry for 60 min: no lock", () => {
    const box = Box.atRest();
    box.remembers(TOP_OFF, { reservoirUl: null });
    expect(box.sees({ "reservoir-float": "dry" }).after(60).latch).toBeNull();
  });
});

describe("evaporation learned as below what was commissioned", () => {
  test("bucket refills at 1.2 L a day instead of 3", () => {
    const refilled = (evaporation: "below" | "expected") => {
      const box = Box.atRest();
      const { ledger } = box.volatile(LEDGER);
      const status = { ...ledger.status, classes: { ...ledger.status.classes, evaporation } };
      box.remembers(TOP_OFF, { bucketUl: 1_000_000 }).seems(LEDGER, { ledger: { ...ledger, status }, sinceMs: 0 });
      return box.afterSeconds(55).topOff.bucketUl - 1_000_000;
    };
    expect(refilled("below") / refilled("expected")).toBeCloseTo((1.5 * 0.8) / 3, 2);
  });
});

describe("the return pump and the mains", () => {
  test("return pump stops for 5 s: pour waits 5 min at least", () => {
    const box = Box.atRest(LOW).afterSeconds(10);
    box.sees({ "return-sensor": "gone" }).afterSeconds(5).sees({ "return-sensor": "there" }).afterSeconds(1);
    expect(box.record.topOff.blockers).toContain("return-pump-settling");
    // After a stop, mains and return pump must have been steady for ten minutes again.
    const waitedMs = box.untilPouring(15);
    expect(waitedMs).toBeGreaterThan(5 * 60_000 - 1_000);
  });

  test("mains flap every 9 min: no pour; steady then: pours within 2 min", () => {
    const box = Box.atRest(LOW);
    for (let flap = 0; flap < 5; flap++)
      box.sees({ "mains-sensor": "gone" }).scan().sees({ "mains-sensor": "there" }).after(9);
    expect(box.pumpMs).toBe(0);
    box.untilPouring(2);
  });
});
