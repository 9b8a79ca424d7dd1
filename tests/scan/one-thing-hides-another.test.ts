import { describe, expect, test } from "vitest";
import { sentenceOf } from "../../controller/alarms/index.ts";
import { CALIBRATION } from "../../controller/decisions/calibration/key.ts";
import { HEAT } from "../../controller/decisions/heat/key.ts";
import { LEDGER } from "../../controller/decisions/ledger/key.ts";
import { TOP_OFF } from "../../controller/decisions/top-off/key.ts";
import { Box, SETTINGS, type Sight } from "./box.ts";

/** Stories in which one thing hides another: each was once a way to water or heat that nobody had allowed. */

const both = (celsius: number): Sight => ({
  "thermometer-1": celsius,
  "thermometer-2": celsius,
  probeTemperature: celsius,
});
const LOW: Sight = { "working-float": "dry" };

test("high water behind an earlier lock has a number of its own, and is cleared where it is seen", () => {
  const box = Box.atRest();
  box.remembers(TOP_OFF, { failures: 6 }).afterSeconds(1);
  expect(box.record.topOff.latch).toMatchObject({ reason: "failed-pours", occurrence: 1, atTank: false });
  box.sees({ "high-float": "wet" }).afterSeconds(5).sees({ "high-float": "dry" }).after(2);
  expect(box.record.topOff.latch).toMatchObject({ reason: "failed-pours", occurrence: 2, atTank: true });
  expect(box.topOff.guardLatched).toBe(true);
  box.asks({ kind: "clear", machine: "top-off", occurrence: 1, at: "network" });
  expect(box.accepted).toBe(false);
  box.asks({ kind: "clear", machine: "top-off", occurrence: 2, at: "network" });
  expect(box.accepted).toBe(false);
  box.asks({ kind: "clear", machine: "top-off", occurrence: 2, at: "tank" });
  expect(box.accepted).toBe(true);
});

test("a hold that was started at the tank is not ended from afar, for the heater would come back", () => {
  const box = Box.atRest(both(24)).asks({ kind: "hold", at: "tank", minutes: 60 }).after(1);
  box.asks({ kind: "end-hold", at: "network", answer: "evaporation" });
  expect(box.accepted).toBe(false);
  expect(box.after(5).heaterOn).toBe(false);
  box.asks({ kind: "at-tank", at: "tank", minutes: 5 });
  box.asks({ kind: "end-hold", at: "network", answer: "evaporation" });
  expect(box.accepted).toBe(true);
});

test("a hold from the page stops the heat too while somebody is known to stand at the tank", () => {
  const box = Box.atRest(both(24)).after(2);
  box.asks({ kind: "hold", at: "network", minutes: 5 });
  expect(box.heaterOn).toBe(true);
  box.asks({ kind: "at-tank", at: "tank", minutes: 5 }).asks({ kind: "hold", at: "network", minutes: 5 });
  expect(box.record.hold.withHeat).toBe(true);
  expect(box.heaterOn).toBe(false);
});

test("the water that a standing return pump lets rise is no answer to where the water went", () => {
  const box = Box.atRest().asks({ kind: "hold", at: "network", minutes: 10 });
  box.sees({ "return-sensor": "gone" }).after(11);
  expect(box.record.hold.question).toBe(true);
  box.sees({ "return-sensor": "there", ...LOW }).after(20);
  expect(box.record.hold.question).toBe(true);
  expect(box.pumpMs).toBe(0);
});

describe("after a silence of the scan", () => {
  test("no wait was served by it", () => {
    const box = new Box(SETTINGS, LOW).after(2);
    const { topOffLeftMs } = box.record.start;
    box.scan(600_000);
    expect(box.record.start.topOffLeftMs).toBeGreaterThan(topOffLeftMs - 1_000);
    expect(box.after(5).pumpMs).toBe(0);
  });

  test("the heater waits for its steady time: outputs fell off meanwhile", () => {
    const box = Box.atRest(both(24)).after(2);
    expect(box.heaterOn).toBe(true);
    box.scan(600_000);
    expect(box.heaterOn).toBe(false);
    expect(box.commands["heat-guard"]).toBe(false);
    expect(box.afterSeconds(55).heaterOn).toBe(false);
    expect(box.afterSeconds(20).heaterOn).toBe(true);
  });

  test("a pour ends, and the next one waits", () => {
    const box = Box.atRest(LOW);
    box.untilPouring();
    box.scan(3_000);
    expect(box.pumpOn).toBe(false);
    expect(box.afterSeconds(50).pumpOn).toBe(false);
  });
});

test("one lost sample of the return pump's sensor does not end what a float that sticks owes", () => {
  const box = Box.atRest(LOW).sees({ "return-sensor": "gone" }).afterSeconds(30);
  box.sees({ "return-sensor": "garbled" }).scan().sees({ "return-sensor": "gone" }).afterSeconds(35);
  expect(box.latch).toBe("working-float-stuck");
  // While the pump still stands and the float still reads low, it has not been freed.
  box.asks({ kind: "clear", machine: "top-off", occurrence: 1, at: "tank" });
  expect(box.accepted).toBe(false);
  box.sees({ "working-float": "wet" }).asks({ kind: "clear", machine: "top-off", occurrence: 1, at: "tank" });
  expect(box.accepted).toBe(true);
});

test("a dilution that probe and ledger agreed upon is not ended by a probe that falls silent", () => {
  const box = Box.atRest();
  const { ledger } = box.volatile(LEDGER);
  const status = { ...ledger.status, classes: { evaporation: "unknown", unexplained: "above" } } as const;
  box.seems(LEDGER, { ledger: { ...ledger, status }, sinceMs: 0 });
  // 50 mS/cm at 25 °C are about 32.7.
  box.sees({ conductivity: 50, ...LOW }).afterSeconds(20);
  expect(box.record.topOff.blockers).toContain("salinity-falling");
  box.sees({ conductivity: "nothing" }).after(30);
  expect(box.pumpMs).toBe(0);
  box.isKilled(0).after(30);
  expect(box.pumpMs).toBe(0);
  box.asks({ kind: "hand-test", salinity: 34.8, at: "network" });
  box.untilPouring(20);
});

describe("thermometers in the air", () => {
  test("a cell that hangs dry has a thermometer that hangs dry: it votes for nothing", () => {
    const box = Box.alwaysAt({ ...both(26), "thermometer-2": 22, conductivity: 0.01, probeTemperature: 22 });
    expect(box.record.quantities.temperature.value).toBeCloseTo(26, 0);
  });

  test("one that fell out of the water is not believed because the process began anew", () => {
    const box = Box.atRest();
    for (let minute = 0; minute < 25; minute++) box.sees({ "thermometer-1": 25 - minute * 0.12 }).after(1);
    expect(box.record.thermometers[0].doubt).toBe("rate");
    box.sees({ "thermometer-1": 22 }).after(1).isKilled(5_000).after(30);
    expect(box.record.thermometers[0].doubt).toBe("rate");
  });
});

describe("a thermometer that garbles an answer now and then hides nothing", () => {
  const GARBLED: Sight = { "thermometer-1": "garbled" };
  /** Minutes of this water, as of its minute; in the first scan of every tenth the first thermometer answers nothing. */
  const flaky = (box: Box, minutes: number, waterAt: (minute: number) => Sight) => {
    for (let minute = 0; minute < minutes; minute++) {
      if (minute % 10 === 9) box.sees(GARBLED).scan();
      box.sees(waterAt(minute)).after(1);
    }
    return box;
  };

  test("a dead heater is found, with two thermometers of which one garbles, and with one alone", () => {
    const two = flaky(new Box(SETTINGS, both(24)), 85, () => ({ ...both(24), "thermometer-2": 24.4 }));
    expect(two.durable(HEAT["heater-1"]).noEffect).toBe(true);
    const only: Sight = { "thermometer-2": "not-fitted", conductivity: "not-fitted" };
    const one = flaky(new Box(SETTINGS, { ...both(24), ...only }), 85, () => ({ ...both(24), ...only }));
    expect(one.durable(HEAT["heater-1"]).noEffect).toBe(true);
  });

  test("a heater that works is not accused by the step between the two", () => {
    const box = new Box(SETTINGS, { ...both(23.5), "thermometer-2": 23.1 }).after(3);
    flaky(box, 80, (minute) => ({ "thermometer-1": 23.5 + minute * 0.008, "thermometer-2": 23.1 + minute * 0.008 }));
    expect(box.heaterMs).toBeGreaterThan(60 * 60_000);
    expect(box.durable(HEAT["heater-1"]).noEffect).toBe(false);
  });

  test("a welded relay is proven", () => {
    const box = Box.alwaysAt(both(25.5));
    // 200 W in 140 L make 1.26 K/h; with the guard open the room takes 0.2 K/h.
    flaky(box, 25, (minute) => both(25.5 + minute / 60));
    expect(box.heatWhy).toBe("heating-while-off");
    flaky(box, 32, (minute) => both(25.9 - (0.2 * minute) / 60));
    expect(box.heatLatch).toBe("heater-welded");
  });

  test("one in the air is doubted", () => {
    const box = flaky(Box.atRest(), 30, (minute) => ({ "thermometer-1": 25 - minute * 0.1 }));
    expect(box.record.thermometers[0].doubt).toBe("rate");
  });

  test("a loss that lasts begins everything anew", () => {
    const box = new Box(SETTINGS, both(24)).after(50).sees(GARBLED).afterSeconds(15).sees(both(24)).after(20);
    expect(box.durable(HEAT["heater-1"]).noEffect).toBe(false);
  });
});

describe("a correction of the thermometers", () => {
  const corrected = (byK: number, celsius: number): Box => {
    const box = Box.atRest();
    const correction = { value: byK, doubt: 0.2, number: 2 };
    const { values } = box.durable(CALIBRATION);
    const moved = { ...values, "thermometer-1": correction, "thermometer-2": correction };
    box.remembers(CALIBRATION, { values: moved });
    // Half an hour without heat, so that a cut-out is no lock.
    return box
      .sees({ "thermometer-1": 25 - byK, "thermometer-2": 25 - byK })
      .after(31)
      .sees(both(celsius))
      .after(1);
  };

  test("downwards does not move the cut-out up, nor clear it earlier", () => {
    const box = corrected(-1.4, 28.6);
    expect(box.record.quantities.warmest.value).toBeCloseTo(27.2, 1);
    expect(box.heat.state).toBe("cut-out");
    expect(box.commands["heat-guard"]).toBe(false);
    expect(box.sees(both(27.8)).after(12).heat.state).toBe("cut-out");
    expect(box.sees(both(27.3)).after(12).heat.state).not.toBe("cut-out");
  });

  test("upwards makes it earlier", () => {
    expect(corrected(1.4, 27.2).heat.state).toBe("cut-out");
  });
});

test("of two that contradict each other and a third that is hotter still, the hottest cuts", () => {
  const box = Box.alwaysAt({ "thermometer-1": 22, "thermometer-2": 25, probeTemperature: 30 });
  expect(box.heatLatch).toBe("heat-cut-out");
});

describe("thermometers that come apart", () => {
  const apart: Sight = { "thermometer-1": 24.4, "thermometer-2": 25.4, probeTemperature: 25 };

  test("the warmer controls at once: a colder one that lies does not heat for five minutes first", () => {
    // The mean of the two is below the band; the warmer is not.
    const box = new Box(SETTINGS, { ...apart, "thermometer-1": 23.7 }).after(4.5);
    expect(box.heaterMs).toBe(0);
    expect(box.record.quantities.temperature).toMatchObject({ quality: "good", doubt: null });
    expect(box.record.alarms.map(({ id }) => id)).not.toContain("thermometers-disagree");
    expect(box.after(1).record.quantities.temperature).toMatchObject({ quality: "uncertain", doubt: "disagrees" });
  });

  test("agreement takes as long as disagreement has lasted, until the mean controls again", () => {
    const shownC = (box: Box) => box.record.quantities.temperature.value;
    const box = Box.atRest().sees(apart).after(2);
    expect(shownC(box)).toBeCloseTo(25.4, 1);
    box.sees({ "thermometer-1": 24.8 }).after(1.9);
    expect(shownC(box)).toBeCloseTo(25.4, 1);
    expect(shownC(box.after(0.2))).toBeCloseTo(25.1, 1);
  });

  test("noise about the limit does not let careful heating begin anew for ever", () => {
    const box = Box.atRest({ "thermometer-1": 23, "thermometer-2": 23.8 }).after(6);
    expect(box.heat.state).toBe("cautious");
    for (let second = 0; second < 900; second++)
      box.sees({ "thermometer-2": second % 2 ? 23.6 : 23.8 }).afterSeconds(1);
    expect(box.heat.state).toBe("cautious");
    expect(box.heaterMs).toBeGreaterThan(4 * 60_000);
  });
});

test("a clear that was meant for an earlier finding of the heater does not take back a later one", () => {
  const box = new Box(SETTINGS, both(24)).after(65);
  expect(box.heat.finding?.occurrence).toBe(1);
  box.asks({ kind: "clear", machine: "heat", occurrence: 1, at: "network" }).after(65);
  expect(box.heat.finding?.occurrence).toBe(2);
  box.asks({ kind: "clear", machine: "heat", occurrence: 1, at: "network" });
  expect(box.accepted).toBe(false);
  expect(box.durable(HEAT["heater-1"]).noEffect).toBe(true);
  expect(box.asks({ kind: "clear", machine: "heat", occurrence: 2, at: "network" }).accepted).toBe(true);
});

test("no more is owed after a leap of the wall clock than a reservoir holds", () => {
  const box = Box.atRest(LOW)
    .isKilled(30 * 86_400_000)
    .after(1);
  expect(box.record.topOff.dueL).toBeLessThanOrEqual(SETTINGS.topOff.reservoirL + 0.2);
});

test("a heater that was found without effect stays found, although last week left no share to heat carefully by", () => {
  const box = Box.atRest(both(24));
  box.remembers(HEAT["heater-1"], { noEffect: true, dutyWeek: 0, dutyKnownMs: 7 * 86_400_000 }).after(30);
  expect(box.heat.why).toBe("heater-no-effect");
  expect(box.record.alarms.map(({ id }) => id)).toContain("heater-no-effect");
});

test("why the scan stopped itself is told after the start, until somebody who was told says so", () => {
  const box = Box.atRest();
  const told = () => box.record.alarms.find(({ id }) => id === "scan-stopped-itself")?.state;
  const stopped = { ...box.onDisk, stoppedBy: "a bin below zero" };
  box.starts(stopped, { memory: "sound", offMs: 1_000 });
  // In the very scan that announces it nobody can have been told.
  box.asks({ kind: "acknowledge", at: "network", alarm: "all" });
  expect(told()).toBe("unacknowledged");
  expect(box.afterSeconds(5).record.stoppedBy).toBe("a bin below zero");
  expect(sentenceOf(box.record, SETTINGS)).toContain("The controller had stopped itself: a bin below zero");
  box.isKilled(1_000).afterSeconds(5);
  expect(told()).toBe("unacknowledged");
  box.asks({ kind: "acknowledge", at: "network", alarm: "scan-stopped-itself" }).afterSeconds(5);
  expect(told()).toBeUndefined();
  box.isKilled(1_000).afterSeconds(5);
  expect(box.record.stoppedBy).toBeNull();
});

test("heat that never comes, because every garbled answer begins the careful pause anew, is told of", () => {
  const box = Box.atRest({ ...both(24), conductivity: "not-fitted" }).sees({ "thermometer-2": "nothing" });
  for (let minutes = 0; minutes < 40; minutes += 2) {
    box.sees({ "thermometer-1": 24 }).after(2).sees({ "thermometer-1": "garbled" }).scan();
  }
  expect(box.heatWhy).toBe("no-temperature");
  box.sees({ "thermometer-1": 24 }).after(1);
  expect(box.heatWhy).toBe("cautious-pause");
  expect(box.record.alarms.map(({ id }) => id)).toContain("heat-withheld");
});

describe("hands, jugs and runs", () => {
  const pumpRun = (box: Box, part: "top-off-pump" | "water-guard" = "top-off-pump") =>
    box.asks({ kind: "prove", at: "tank", part, seconds: 20 }).afterSeconds(5);

  test.each(["tank", "network"] as const)("a hold from the %s stops a proving run of the pump in its scan", (at) => {
    const box = pumpRun(Box.atRest());
    expect(box.pumpOn).toBe(true);
    box.asks({ kind: "hold", at, minutes: 10 });
    expect(box.accepted).toBe(true);
    expect(box.pumpOn).toBe(false);
    const { pumpMs } = box.afterSeconds(120);
    expect(pumpMs).toBeLessThan(6_000);
    expect(box.asks({ kind: "proven", at: "tank", part: "top-off-pump", ml: 100 }).accepted).toBe(false);
    expect(box.record.hold.active).toBe(true);
    // In the hold it may be begun anew, by whoever stands there: hands are what it is made with.
    expect(pumpRun(box).pumpOn).toBe(true);
  });

  test("a hold that is refused stops nothing", () => {
    const box = pumpRun(Box.atRest()).asks({ kind: "hold", at: "tank", minutes: 999 });
    expect(box.accepted).toBe(false);
    expect(box.pumpOn).toBe(true);
  });

  test("a guard that was found stuck ends the run of the pump behind it", () => {
    const box = Box.atRest().asks({ kind: "prove", at: "tank", part: "water-guard", seconds: 10 });
    box
      .afterSeconds(1)
      .sees({ pumpPowered: true })
      .until(({ record }) => record.proving.lastRun?.ending === "failed", 1);
    box.sees({ pumpPowered: null }).scan();
    expect(box.pumpOn).toBe(false);
    expect(box.commands["water-guard"]).toBe(false);
    const { pumpMs } = box;
    expect(box.afterSeconds(60).pumpMs).toBe(pumpMs);
  });

  test("litres that ran into a jug make no rise of the water an ordered one", () => {
    const rises = (box: Box) => box.sees({ "working-float": "wet" }).after(2).sees(LOW).after(2);
    const box = Box.atRest({ ...LOW, "reservoir-float": "dry" }).after(2);
    rises(box);
    // Somebody looks at the pump between the two rises.
    box.sees({ "reservoir-float": "wet" }).asks({ kind: "prove", at: "tank", part: "top-off-pump", seconds: 5 });
    box.until(({ record }) => record.topOff.state === "settling", 1);
    expect(box.pumpMs).toBeGreaterThan(4_000);
    box.sees({ "reservoir-float": "dry" }).after(3);
    expect(box.record.topOff.pouredSinceFullL).toBe(0);
    expect(box.latch).toBeNull();
    rises(box);
    expect(box.latch).toBe("unordered-water");
  });

  test("nor after a kill in the middle of that run, which charges all of it", () => {
    const box = pumpRun(Box.atRest({ ...LOW, "mains-sensor": "there" }).after(0));
    const before = box.topOff.excessUl;
    box.isKilled(1_000).scan();
    expect(box.record.topOff.pouredSinceFullL).toBe(0);
    expect(box.topOff.excessUl).toBeGreaterThanOrEqual(before * 0.99);
  });

  test("a hold is not served while the board is silent: hands may be in when it is heard again", () => {
    const box = Box.atRest(both(24)).asks({ kind: "hold", at: "tank", minutes: 10 }).after(2);
    box.sees({ board: "silent" }).after(60).sees({ board: "ready" }).after(5);
    expect(box.record.hold.active).toBe(true);
    expect(box.heaterOn).toBe(false);
    box.after(4);
    expect(box.record.hold.active).toBe(false);
  });
});

test("a float that flips by way of lost samples chatters as any other", () => {
  const box = Box.atRest();
  for (let flip = 0; flip < 4; flip++) {
    box.sees({ "floor-sensor": "dry", "working-float": flip % 2 === 0 ? "dry" : "wet" }).afterSeconds(5);
    box.sees({ "working-float": "garbled" }).afterSeconds(1);
  }
  expect(box.record.contacts["working-float"].chattering).toBe(true);
  expect(box.record.alarms.map(({ id }) => id)).toContain("float-chattering");
  // One that only falls silent and comes back where it was has not moved.
  const still = Box.atRest();
  for (let gap = 0; gap < 6; gap++) {
    still.sees({ "working-float": "garbled" }).afterSeconds(2).sees({ "working-float": "wet" }).afterSeconds(2);
  }
  expect(still.record.contacts["working-float"].chattering).toBe(false);
});

describe("a rest", () => {
  test("is served after what cleared by itself, so that a reservoir float at its edge is no switch of the pump", () => {
    const box = Box.atRest({ ...LOW, "reservoir-float": "dry" }).after(3);
    box.sees({ "reservoir-float": "wet" });
    expect(box.untilPouring(3)).toBeGreaterThanOrEqual(SETTINGS.topOff.restS * 1000 - 500);
  });

  test("after a failed pour is not made shorter by a restart", () => {
    const box = Box.atRest(LOW);
    box.startsWith(TOP_OFF, { ...box.topOff, restMs: 25 * 60_000, failures: 2 }, 3_600_000).after(20);
    expect(box.pumpMs).toBe(0);
    expect(box.why).toBe("resting-after-pour");
    box.untilPouring(10);
  });
});

test("touches of the high float are not forgotten in scans that cannot see it", () => {
  const touch = (box: Box) => box.sees({ "high-float": "wet" }).scan().sees({ "high-float": "dry" }).afterSeconds(2);
  const box = touch(touch(Box.atRest()));
  box.sees({ "high-float": "nothing" }).after(65).sees({ "high-float": "dry" }).after(1);
  expect(box.latch).toBeNull();
  expect(touch(box).latch).toBe("high-float-wet");
});
