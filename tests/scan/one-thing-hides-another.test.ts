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

test("locked by failed pours, then high float wet: a new number, guard open, clear only at the tank", () => {
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

test("hold of 60 min from the tank, ended over the network: refused, heater off; taken while somebody stands at the tank", () => {
  const box = Box.atRest(both(24)).asks({ kind: "hold", at: "tank", minutes: 60 }).after(1);
  box.asks({ kind: "end-hold", at: "network", answer: "evaporation" });
  expect(box.accepted).toBe(false);
  expect(box.after(5).heaterOn).toBe(false);
  box.asks({ kind: "at-tank", at: "tank", minutes: 5 });
  box.asks({ kind: "end-hold", at: "network", answer: "evaporation" });
  expect(box.accepted).toBe(true);
});

test("hold over the network: heater stays on; with somebody known at the tank: heater off", () => {
  const box = Box.atRest(both(24)).after(2);
  box.asks({ kind: "hold", at: "network", minutes: 5 });
  expect(box.heaterOn).toBe(true);
  box.asks({ kind: "at-tank", at: "tank", minutes: 5 }).asks({ kind: "hold", at: "network", minutes: 5 });
  expect(box.record.hold.withHeat).toBe(true);
  expect(box.heaterOn).toBe(false);
});

test("hold over, return pump stopped, water rises to full: question stays open, no pour", () => {
  const box = Box.atRest().asks({ kind: "hold", at: "network", minutes: 10 });
  box.sees({ "return-sensor": "gone" }).after(11);
  expect(box.record.hold.question).toBe(true);
  box.sees({ "return-sensor": "there", ...LOW }).after(20);
  expect(box.record.hold.question).toBe(true);
  expect(box.pumpMs).toBe(0);
});

describe("after a silence of the scan", () => {
  test("10 min without a scan during a start: no wait served by them", () => {
    const box = new Box(SETTINGS, LOW).after(2);
    const { topOffLeftMs } = box.record.start;
    box.scan(600_000);
    expect(box.record.start.topOffLeftMs).toBeGreaterThan(topOffLeftMs - 1_000);
    expect(box.after(5).pumpMs).toBe(0);
  });

  test("10 min without a scan while heating: heater and guard off, on again only after the steady time", () => {
    const box = Box.atRest(both(24)).after(2);
    expect(box.heaterOn).toBe(true);
    box.scan(600_000);
    expect(box.heaterOn).toBe(false);
    expect(box.commands["heat-guard"]).toBe(false);
    expect(box.afterSeconds(55).heaterOn).toBe(false);
    expect(box.afterSeconds(20).heaterOn).toBe(true);
  });

  test("3 s without a scan during a pour: pump off, none in the next 50 s", () => {
    const box = Box.atRest(LOW);
    box.untilPouring();
    box.scan(3_000);
    expect(box.pumpOn).toBe(false);
    expect(box.afterSeconds(50).pumpOn).toBe(false);
  });
});

test("return pump stopped, float still low, one sample of its sensor garbled: locked as working-float-stuck; cleared only once full", () => {
  const box = Box.atRest(LOW).sees({ "return-sensor": "gone" }).afterSeconds(30);
  box.sees({ "return-sensor": "garbled" }).scan().sees({ "return-sensor": "gone" }).afterSeconds(35);
  expect(box.latch).toBe("working-float-stuck");
  // While the pump still stands and the float still reads low, it has not been freed.
  box.asks({ kind: "clear", machine: "top-off", occurrence: 1, at: "tank" });
  expect(box.accepted).toBe(false);
  box.sees({ "working-float": "wet" }).asks({ kind: "clear", machine: "top-off", occurrence: 1, at: "tank" });
  expect(box.accepted).toBe(true);
});

test("conductivity of 50 with the ledger in agreement, then no reading, then a kill: no pour until a hand test", () => {
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
  test("cell dry at 22 °C, thermometers 26 and 22 °C: the dry cell has no vote, 26 counts", () => {
    const box = Box.alwaysAt({ ...both(26), "thermometer-2": 22, conductivity: 0.01, probeTemperature: 22 });
    expect(box.record.quantities.temperature.value).toBeCloseTo(26, 0);
  });

  test("thermometer that fell out of the water, killed and started again: still in doubt by rate", () => {
    const box = Box.atRest();
    for (let minute = 0; minute < 25; minute++) box.sees({ "thermometer-1": 25 - minute * 0.12 }).after(1);
    expect(box.record.thermometers[0].doubt).toBe("rate");
    box.sees({ "thermometer-1": 22 }).after(1).isKilled(5_000).after(30);
    expect(box.record.thermometers[0].doubt).toBe("rate");
  });
});

describe("first thermometer garbles its answer every ten minutes", () => {
  const GARBLED: Sight = { "thermometer-1": "garbled" };
  /** Minutes of this water, as of its minute; in the first scan of every tenth the first thermometer answers nothing. */
  const flaky = (box: Box, minutes: number, waterAt: (minute: number) => Sight) => {
    for (let minute = 0; minute < minutes; minute++) {
      if (minute % 10 === 9) box.sees(GARBLED).scan();
      box.sees(waterAt(minute)).after(1);
    }
    return box;
  };

  test("85 min of heating without a rise, second thermometer fitted or not: found without effect", () => {
    const two = flaky(new Box(SETTINGS, both(24)), 85, () => ({ ...both(24), "thermometer-2": 24.4 }));
    expect(two.durable(HEAT["heater-1"]).noEffect).toBe(true);
    const only: Sight = { "thermometer-2": "not-fitted", conductivity: "not-fitted" };
    const one = flaky(new Box(SETTINGS, { ...both(24), ...only }), 85, () => ({ ...both(24), ...only }));
    expect(one.durable(HEAT["heater-1"]).noEffect).toBe(true);
  });

  test("water rising 0.48 K/h with the heater on, thermometers 0.4 K apart: no finding", () => {
    const box = new Box(SETTINGS, { ...both(23.5), "thermometer-2": 23.1 }).after(3);
    flaky(box, 80, (minute) => ({ "thermometer-1": 23.5 + minute * 0.008, "thermometer-2": 23.1 + minute * 0.008 }));
    expect(box.heaterMs).toBeGreaterThan(60 * 60_000);
    expect(box.durable(HEAT["heater-1"]).noEffect).toBe(false);
  });

  test("1 K/h with the heater off, falling with the guard open: found welded, heats by the other contact", () => {
    const box = Box.alwaysAt(both(25.5));
    // 200 W in 140 L make 1.26 K/h; with the guard open the room takes 0.2 K/h.
    flaky(box, 25, (minute) => both(25.5 + minute / 60));
    expect(box.heatWhy).toBe("heating-while-off");
    flaky(box, 32, (minute) => both(25.9 - (0.2 * minute) / 60));
    // Its own thermostat was seen to cut: it heats on by the contact that opens.
    expect(box.durable(HEAT["heater-1"]).oneContact?.reason).toBe("heater-welded");
  });

  test("falling 0.1 K a minute for 30 min: in doubt by rate", () => {
    const box = flaky(Box.atRest(), 30, (minute) => ({ "thermometer-1": 25 - minute * 0.1 }));
    expect(box.record.thermometers[0].doubt).toBe("rate");
  });

  test("15 s lost after 50 min of heating: the hour of no effect begins anew", () => {
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
    // Half an hour without heat, so that a cut-out is no lock; and a hold, in which water may jump.
    return box
      .sees({ "thermometer-1": 25 - byK, "thermometer-2": 25 - byK })
      .after(31)
      .asks({ kind: "hold", at: "network", minutes: 60 })
      .sees({ ...both(celsius), probeTemperature: celsius + byK })
      .after(1);
  };

  test("by −1.4 K, raw 28.6 °C: cut-out by the raw value, clears at raw 27.3 and not 27.8", () => {
    const box = corrected(-1.4, 28.6);
    expect(box.record.quantities.warmest.value).toBeCloseTo(27.2, 1);
    expect(box.heat.state).toBe("cut-out");
    expect(box.commands["heat-guard"]).toBe(false);
    const seen = (celsius: number) => box.sees({ ...both(celsius), probeTemperature: celsius - 1.4 }).after(12);
    expect(seen(27.8).heat.state).toBe("cut-out");
    expect(seen(27.3).heat.state).not.toBe("cut-out");
  });

  test("by +1.4 K, raw 27.2 °C: cut-out", () => {
    expect(corrected(1.4, 27.2).heat.state).toBe("cut-out");
  });
});

test("thermometers 22 and 25 °C, cell 30 °C: locked as heat-cut-out", () => {
  const box = Box.alwaysAt({ "thermometer-1": 22, "thermometer-2": 25, probeTemperature: 30 });
  expect(box.heatLatch).toBe("heat-cut-out");
});

describe("thermometers that come apart", () => {
  const apart: Sight = { "thermometer-1": 24.4, "thermometer-2": 25.4, probeTemperature: 25 };

  test("23.7 and 25.4 °C: no heat, good, no alarm for 4.5 min; then uncertain as disagrees", () => {
    // The mean of the two is below the band; the warmer is not.
    const box = new Box(SETTINGS, { ...apart, "thermometer-1": 23.7 }).after(4.5);
    expect(box.heaterMs).toBe(0);
    expect(box.record.quantities.temperature).toMatchObject({ quality: "good", doubt: null });
    expect(box.record.alarms.map(({ id }) => id)).not.toContain("thermometers-disagree");
    expect(box.after(1).record.quantities.temperature).toMatchObject({ quality: "uncertain", doubt: "disagrees" });
  });

  test("1 K apart for 2 min, then agreed: the warmer controls for 2 min more, then the mean", () => {
    const shownC = (box: Box) => box.record.quantities.temperature.value;
    const box = Box.atRest().sees(apart).after(2);
    expect(shownC(box)).toBeCloseTo(25.4, 1);
    box.sees({ "thermometer-1": 24.8 }).after(1.9);
    expect(shownC(box)).toBeCloseTo(25.4, 1);
    expect(shownC(box.after(0.2))).toBeCloseTo(25.1, 1);
  });

  test("0.6 and 0.8 K apart by turns about the limit for 15 min: cautious heating goes on", () => {
    const box = Box.atRest({ "thermometer-1": 23, "thermometer-2": 23.8 }).after(6);
    expect(box.heat.state).toBe("cautious");
    for (let second = 0; second < 900; second++)
      box.sees({ "thermometer-2": second % 2 ? 23.6 : 23.8 }).afterSeconds(1);
    expect(box.heat.state).toBe("cautious");
    expect(box.heaterMs).toBeGreaterThan(4 * 60_000);
  });
});

test("heater found without effect twice: clear of number 1 refused, of number 2 taken", () => {
  const box = new Box(SETTINGS, both(24)).after(65);
  expect(box.heat.finding?.occurrence).toBe(1);
  box.asks({ kind: "clear", machine: "heat", occurrence: 1, at: "network" }).after(65);
  expect(box.heat.finding?.occurrence).toBe(2);
  box.asks({ kind: "clear", machine: "heat", occurrence: 1, at: "network" });
  expect(box.accepted).toBe(false);
  expect(box.durable(HEAT["heater-1"]).noEffect).toBe(true);
  expect(box.asks({ kind: "clear", machine: "heat", occurrence: 2, at: "network" }).accepted).toBe(true);
});

test("off for 30 days by the wall clock: no more owed than the reservoir holds", () => {
  const box = Box.atRest(LOW)
    .isKilled(30 * 86_400_000)
    .after(1);
  expect(box.record.topOff.dueL).toBeLessThanOrEqual(SETTINGS.topOff.reservoirL + 0.2);
});

test("found without effect, last week's duty 0: finding stands, alarm stands, over 30 min", () => {
  const box = Box.atRest(both(24));
  box.remembers(HEAT["heater-1"], { noEffect: true, dutyWeek: 0, dutyKnownMs: 7 * 86_400_000 }).after(30);
  expect(box.heat.why).toBe("heater-no-effect");
  expect(box.record.alarms.map(({ id }) => id)).toContain("heater-no-effect");
});

test("scan stopped itself: told over starts and sentences until acknowledged, but not in the scan that announces it; then forgotten", () => {
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

test("single thermometer garbles every 2 min, cautious pause begins anew each time: alarm heat-withheld within 40 min", () => {
  const box = Box.atRest({ ...both(24), conductivity: "not-fitted" }).sees({ "thermometer-2": "nothing" });
  for (let minutes = 0; minutes < 40; minutes += 2) {
    box.sees({ "thermometer-1": 24 }).after(2).sees({ "thermometer-1": "garbled" }).scan();
  }
  expect(box.heatWhy).toBe("no-temperature");
  box.sees({ "thermometer-1": 24 }).after(1);
  expect(box.heatWhy).toBe("cautious-pause");
  expect(box.record.alarms.map(({ id }) => id)).toContain("heat-withheld");
});

describe("hold and proving runs of the pump", () => {
  const pumpRun = (box: Box, part: "top-off-pump" | "water-guard" = "top-off-pump") =>
    box.asks({ kind: "prove", at: "tank", part, seconds: 20 }).afterSeconds(5);

  test.each(["tank", "network"] as const)("hold from the %s 5 s into a run: pump off in its scan", (at) => {
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

  test("hold of 999 min refused: run goes on", () => {
    const box = pumpRun(Box.atRest()).asks({ kind: "hold", at: "tank", minutes: 999 });
    expect(box.accepted).toBe(false);
    expect(box.pumpOn).toBe(true);
  });

  test("water guard found stuck: pump behind it off for good", () => {
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

  test("5 s into a jug between two rises that nobody ordered: nothing counted as poured, second rise locks as unordered-water", () => {
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

  test("killed in the middle of a run: nothing counted as poured into the tank, all of it charged", () => {
    const box = pumpRun(Box.atRest({ ...LOW, "mains-sensor": "there" }).after(0));
    const before = box.topOff.excessUl;
    box.isKilled(1_000).scan();
    expect(box.record.topOff.pouredSinceFullL).toBe(0);
    expect(box.topOff.excessUl).toBeGreaterThanOrEqual(before * 0.99);
  });

  test("board silent for an hour in a hold of 10 min: still active and heater off once heard, over 8 min later", () => {
    const box = Box.atRest(both(24)).asks({ kind: "hold", at: "tank", minutes: 10 }).after(2);
    box.sees({ board: "silent" }).after(60).sees({ board: "ready" }).after(5);
    expect(box.record.hold.active).toBe(true);
    expect(box.heaterOn).toBe(false);
    box.after(4);
    expect(box.record.hold.active).toBe(false);
  });
});

test("float that flips by way of garbled samples: chattering, alarm; one that comes back where it was: not", () => {
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

describe("rest before a pour", () => {
  test("reservoir float dry, then wet again: full rest served before the pump", () => {
    const box = Box.atRest({ ...LOW, "reservoir-float": "dry" }).after(3);
    box.sees({ "reservoir-float": "wet" });
    expect(box.untilPouring(3)).toBeGreaterThanOrEqual(SETTINGS.topOff.restS * 1000 - 500);
  });

  test("25 min left of a failed pour's rest, off for an hour: none served, pours after the 25 min", () => {
    const box = Box.atRest(LOW);
    box.startsWith(TOP_OFF, { ...box.topOff, restMs: 25 * 60_000, failures: 2 }, 3_600_000).after(20);
    expect(box.pumpMs).toBe(0);
    expect(box.why).toBe("resting-after-pour");
    box.untilPouring(10);
  });
});

test("high float touched twice, lost for 65 min, touched once more: locked as high-float-wet", () => {
  const touch = (box: Box) => box.sees({ "high-float": "wet" }).scan().sees({ "high-float": "dry" }).afterSeconds(2);
  const box = touch(touch(Box.atRest()));
  box.sees({ "high-float": "nothing" }).after(65).sees({ "high-float": "dry" }).after(1);
  expect(box.latch).toBeNull();
  expect(touch(box).latch).toBe("high-float-wet");
});
