import { describe, expect, test } from "vitest";
import { LEDGER } from "../../controller/decisions/ledger/key.ts";
import { TOP_OFF } from "../../controller/decisions/top-off/key.ts";
import type { Reason } from "../../shared/contract/index.ts";
import { Box, SETTINGS, type Sight } from "./box.ts";

/** Stories of top-off in time: what starts a pour, what stops it, and what keeps it stopped. */

const LOW: Sight = { "working-float": "dry" };
const FULL: Sight = { "working-float": "wet" };

describe("a pour begins", () => {
  test("thirty seconds after the float fell, and after the litres are on disk", () => {
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

  test("never while the disk has not taken the charge, and gives it back after half a minute", () => {
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

  test("not at all on a disk that failed, until it works again", () => {
    const box = Box.atRest({ ...LOW, disk: "failed" }).after(30);
    expect(box.pumpMs).toBe(0);
    expect(box.record.topOff.blockers).toContain("disk-failed");
    box.sees({ disk: "working" }).untilPouring(5);
  });

  test("later in a ripple, which takes twice what low adds, but it does begin", () => {
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

  test("in a ripple even on a disk that takes longer than the water stands low", () => {
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

  test("never in a ripple that is full a third of the time", () => {
    const box = Box.atRest();
    for (let wave = 0; wave < 300; wave++) {
      box.sees(LOW).afterSeconds(2);
      box.sees(FULL).afterSeconds(1);
    }
    expect(box.pumpMs).toBe(0);
  });

  test("and confirm earns nothing from one long scan", () => {
    const box = Box.atRest(LOW).scan(70_000);
    expect(box.topOff.confirmMs).toBe(500);
  });
});

describe("a pour ends", () => {
  test("in the scan in which the float reads full", () => {
    const box = Box.atRest(LOW);
    box.untilPouring();
    box.afterSeconds(3).sees(FULL).scan();
    expect(box.pumpOn).toBe(false);
    expect(box.commands["water-guard"]).toBe(false);
    expect(box.why).toBe("letting-settle");
  });

  test("after one slice, and settles a minute before the next", () => {
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

  test("and gives back what was charged and not poured", () => {
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

  test("charged for the whole time when the scan was late", () => {
    const box = Box.atRest(LOW);
    box.untilPouring();
    box.afterSeconds(9).scan(5_000);
    expect(box.pumpOn).toBe(false);
    // 14 s at 31.25 µL/ms and the coast are more than the 338 mL that were charged.
    expect(box.topOff.chargeUl).toBeCloseTo(14_000 * 31.25 + 25_000, 3);
    expect(box.topOff.bucketUl).toBeLessThan(3_000_000 - box.topOff.chargeUl + 2_000);
  });

  test("and locks when one scan lasted longer than any pour may", () => {
    const box = Box.atRest(LOW);
    box.untilPouring();
    box.scan(70_000);
    expect(box.pumpOn).toBe(false);
    expect(box.latch).toBe("pour-too-long");
  });
});

describe("a pour stops in the same scan, whatever else says that it should go on", () => {
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
  test.each(trips)("%s", (_part, sight, why) => {
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
  test.each(harmless)("but not for: %s", (_part, sight) => {
    const box = Box.atRest(LOW);
    box.untilPouring();
    box.sees(sight).afterSeconds(1);
    expect(box.pumpOn).toBe(true);
  });
});

describe("what clears by itself", () => {
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
  test.each(passing)("%s for ten minutes latches nothing, and a pour follows", (_what, gone, back) => {
    const box = Box.atRest(LOW);
    box.untilPouring();
    box.sees(gone).after(10);
    expect(box.latch).toBeNull();
    expect(box.pumpOn).toBe(false);
    box.sees(back);
    expect(box.untilPouring(20)).toBeGreaterThan(0);
  });

  test("an unplugged cable without a return-pump sensor too", () => {
    const box = new Box(SETTINGS, { "return-sensor": "not-fitted", "mains-sensor": "not-fitted" }).after(16);
    box
      .sees({ board: "silent", "high-float": "nothing", "floor-sensor": "nothing", "working-float": "nothing" })
      .after(5);
    expect(box.latch).toBeNull();
  });
});

describe("the high float", () => {
  test("latches after two seconds wet in sum", () => {
    const box = Box.atRest({ "high-float": "wet" }).afterSeconds(1);
    box.sees({ "high-float": "dry" }).after(70);
    expect(box.latch).toBeNull();
    box.sees({ "high-float": "wet" }).afterSeconds(1);
    expect(box.latch).toBe("high-float-wet");
    expect(box.record.topOff.waterGuardLatch?.reason).toBe("high-float-wet");
  });

  test("latches at the third touch in an hour", () => {
    const box = Box.atRest();
    const touch = () => box.sees({ "high-float": "wet" }).scan().sees({ "high-float": "dry" }).after(15);
    touch();
    touch();
    expect(box.latch).toBeNull();
    box.sees({ "high-float": "wet" }).scan();
    expect(box.latch).toBe("high-float-wet");
  });

  test("does not latch when one ripple touches it twice", () => {
    const box = Box.atRest();
    for (let touch = 0; touch < 2; touch++) {
      box.sees({ "high-float": "wet" }).scan().sees({ "high-float": "dry" }).scan();
    }
    expect(box.latch).toBeNull();
  });

  test("does not latch at three touches in four hours", () => {
    const box = Box.atRest();
    for (let touch = 0; touch < 3; touch++)
      box.sees({ "high-float": "wet" }).scan().sees({ "high-float": "dry" }).after(80);
    expect(box.latch).toBeNull();
  });

  test("blocks in a hold and does not latch", () => {
    const box = Box.atRest().asks({ kind: "hold", at: "tank", minutes: 30 });
    box.sees({ "high-float": "wet" }).after(5);
    expect(box.latch).toBeNull();
    expect(box.record.topOff.blockers).toContain("high-float-wet");
  });

  test("blocks with the return pump off, and is judged again five minutes after it runs", () => {
    const box = Box.atRest({ "return-sensor": "gone", "high-float": "wet" }).after(60);
    expect(box.latch).toBeNull();
    box.sees({ "return-sensor": "there" }).after(4.9);
    expect(box.latch).toBeNull();
    box.after(0.5);
    expect(box.latch).toBe("high-float-wet");
  });
});

describe("floor, contradiction and power behind the contact", () => {
  test("a wet floor latches after two seconds and opens the guard", () => {
    const box = Box.atRest({ "floor-sensor": "wet" }).afterSeconds(1.75);
    expect(box.latch).toBeNull();
    box.scan();
    expect(box.latch).toBe("floor-wet");
    expect(box.topOff.guardLatched).toBe(true);
  });

  const contradictions: [string, Sight][] = [
    ["low-low dry with working full", { "low-float": "dry", "working-float": "wet" }],
  ];
  test.each(contradictions)("%s blocks at once and latches after a minute", (_what, sight) => {
    const box = Box.atRest(sight).scan();
    expect(box.record.topOff.blockers).toContain("floats-contradict");
    box.afterSeconds(59);
    expect(box.latch).toBeNull();
    box.afterSeconds(1);
    expect(box.latch).toBe("floats-contradict");
    expect(box.topOff.guardLatched).toBe(false);
  });

  test("a broken low float is no contradiction that latches", () => {
    const box = Box.atRest({ "low-float": "nothing" }).after(10);
    expect(box.latch).toBeNull();
  });

  test("power behind the pump's contact two seconds after it was switched off latches and opens the guard", () => {
    const box = Box.atRest(LOW);
    box.untilPouring();
    box.sees({ ...FULL, pumpPowered: true }).afterSeconds(2);
    expect(box.latch).toBeNull();
    box.afterSeconds(0.75);
    expect(box.latch).toBe("pump-seen-on");
    expect(box.topOff.guardLatched).toBe(true);
  });

  test("power behind the contact while it is commanded on is as it should be", () => {
    const box = Box.atRest({ ...LOW, pumpPowered: false });
    box.untilPouring();
    box.sees({ pumpPowered: true }).afterSeconds(5);
    expect(box.latch).toBeNull();
    expect(box.pumpOn).toBe(true);
  });
});

describe("a pour that is not answered", () => {
  /** Three litres since full against what is due and one litre more. */
  test("counts as failed after a litre more than is due, rests half an hour, and locks at the third", () => {
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

  test("is forgiven by one when the water answers", () => {
    const box = Box.atRest(LOW);
    box.until(({ why }) => why === "not-answered", 20);
    box.sees(FULL).after(1);
    expect(box.topOff.failures).toBe(1);
    expect(box.topOff.sinceFullUl).toBe(0);
  });
});

describe("litres", () => {
  test("the daily bucket blocks, then resumes as it refills", () => {
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

  test("excess latches, and only a hand test and a clear together open it again", () => {
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

  test("a hand test that finds the tank diluted blocks until another does not", () => {
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

  test("a low probe alone restricts the refill, a silent one too, and neither stops top-off", () => {
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

  test("time without healthy floats refills nothing", () => {
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

  test("from low to full twice running with nothing poured latches and opens the guard", () => {
    const box = Box.atRest();
    rises(box);
    expect(box.latch).toBeNull();
    rises(box);
    expect(box.latch).toBe("unordered-water");
    expect(box.topOff.guardLatched).toBe(true);
  });

  test("a pour between the two explains it", () => {
    const box = Box.atRest();
    rises(box);
    box.sees(LOW).untilPouring();
    box.sees(FULL).after(3);
    rises(box);
    expect(box.latch).toBeNull();
  });

  test("hands in a hold explain it, and do not wipe out what was seen before", () => {
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

  test("is refused while the cause stands, for another occurrence, and from afar for a flood", () => {
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

  test("from afar where the settings allow what it risks", () => {
    const settings = { ...SETTINGS, topOff: { ...SETTINGS.topOff, clearingAFloodFromADistance: true } };
    const box = Box.atRest({ "high-float": "wet" }, settings).afterSeconds(3).sees({ "high-float": "dry" }).scan();
    expect(box.asks({ kind: "clear", machine: "top-off", occurrence: 1, at: "network" }).accepted).toBe(true);
  });

  test("acts once: the same id again is answered and not carried out", () => {
    const box = flooded().sees({ "high-float": "dry" });
    box.asks({ kind: "clear", machine: "top-off", occurrence: 1, at: "tank", id: "mine" });
    box.sees({ "high-float": "wet" }).afterSeconds(3).sees({ "high-float": "dry" });
    box.asks({ kind: "clear", machine: "top-off", occurrence: 1, at: "tank", id: "mine" });
    expect(box.accepted).toBe(true);
    expect(box.latch).toBe("high-float-wet");
    expect(box.record.topOff.latch?.occurrence).toBe(2);
  });

  test("is never stored: nothing asked for before the latch opens it", () => {
    const box = Box.atRest().asks({ kind: "clear", machine: "top-off", occurrence: 1, at: "tank" });
    expect(box.accepted).toBe(false);
    box.sees({ "high-float": "wet" }).afterSeconds(3).sees({ "high-float": "dry" }).after(10);
    expect(box.latch).toBe("high-float-wet");
  });

  test("keeps the litres charged", () => {
    const box = Box.atRest(LOW);
    box.untilPouring();
    box.afterSeconds(2).sees({ "floor-sensor": "wet" }).afterSeconds(3).sees({ "floor-sensor": "dry" });
    const { bucketUl, excessUl } = box.topOff;
    box.asks({ kind: "clear", machine: "top-off", occurrence: 1, at: "tank" });
    expect(box.latch).toBeNull();
    expect(box.topOff.bucketUl).toBeLessThan(bucketUl + 50);
    expect(box.topOff.excessUl).toBeGreaterThan(excessUl - 50);
  });

  test("the first reason stays, a later one may still open the guard", () => {
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

  test("long before its litres can have been poured locks, and opens the guard", () => {
    const box = withReservoir(8).sees({ "reservoir-float": "dry" }).after(14);
    expect(box.latch).toBeNull();
    box.after(2);
    expect(box.latch).toBe("emptied-early");
    expect(box.topOff.guardLatched).toBe(true);
    expect(box.topOff.reservoirUl).toBe(0);
  });

  test("about when it should locks nothing, and the count begins anew with the next refill", () => {
    const box = withReservoir(2).sees({ "reservoir-float": "dry" }).after(30);
    expect(box.latch).toBeNull();
    expect(box.topOff.reservoirUl).toBe(0);
    box.asks({ kind: "refill", litres: 4, at: "network" }).after(30);
    expect(box.latch).toBeNull();
    expect(box.topOff.reservoirUl).toBe(4_000_000);
    box.sees({ "reservoir-float": "wet" }).after(30).sees({ "reservoir-float": "dry" }).after(16);
    expect(box.latch).toBe("emptied-early");
  });

  test("because it was carried to the tap and back locks nothing", () => {
    const box = withReservoir(8)
      .sees({ "reservoir-float": "dry" })
      .after(14)
      .sees({ "reservoir-float": "wet" })
      .after(5);
    expect(box.latch).toBeNull();
    expect(box.sees({ "reservoir-float": "dry" }).after(14).latch).toBeNull();
  });

  test("of which nobody has told the litres locks nothing", () => {
    const box = Box.atRest();
    box.remembers(TOP_OFF, { reservoirUl: null });
    expect(box.sees({ "reservoir-float": "dry" }).after(60).latch).toBeNull();
  });
});

describe("little is known to evaporate", () => {
  test("and no more than the lowest credible evaporation refills the budget", () => {
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
  test("a stop or a start of the return pump makes a pour wait five minutes", () => {
    const box = Box.atRest(LOW).afterSeconds(10);
    box.sees({ "return-sensor": "gone" }).afterSeconds(5).sees({ "return-sensor": "there" }).afterSeconds(1);
    expect(box.record.topOff.blockers).toContain("return-pump-settling");
    // After a stop, mains and return pump must have been steady for ten minutes again.
    const waitedMs = box.untilPouring(15);
    expect(waitedMs).toBeGreaterThan(5 * 60_000 - 1_000);
  });

  test("flapping mains begin the ten minutes anew", () => {
    const box = Box.atRest(LOW);
    for (let flap = 0; flap < 5; flap++)
      box.sees({ "mains-sensor": "gone" }).scan().sees({ "mains-sensor": "there" }).after(9);
    expect(box.pumpMs).toBe(0);
    box.untilPouring(2);
  });
});
