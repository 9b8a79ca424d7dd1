import { describe, expect, test } from "vitest";
import { HEAT } from "../../controller/decisions/heat/key.ts";
import type { Reason } from "../../shared/contract/index.ts";
import { Box, SETTINGS, type Sight } from "./box.ts";
import { Water } from "./heat-water.ts";

/** Stories of heat in time. Setpoint 25, band 24.85–25.15, cut-out 28.5 °C. */

const both = (celsius: number): Sight => ({
  "thermometer-1": celsius,
  "thermometer-2": celsius,
  probeTemperature: celsius,
});

describe("the band", () => {
  test("24.7 °C: on; 25.0 °C: stays on; 25.3 °C: off; 25.0 °C: stays off", () => {
    const box = Box.atRest(both(24.7)).afterSeconds(2);
    expect(box.heaterOn).toBe(true);
    expect(box.heatWhy).toBe("below-band");
    expect(box.commands["heat-guard"]).toBe(true);
    box.sees(both(25)).after(2);
    expect(box.heaterOn).toBe(true);
    box.sees(both(25.3)).afterSeconds(5);
    expect(box.heaterOn).toBe(false);
    expect(box.heatWhy).toBe("above-band");
    box.sees(both(25)).after(2);
    expect(box.heaterOn).toBe(false);
    expect(box.heatWhy).toBe("temperature-in-band");
  });

  test("25.5 °C 50 s after on: stays on until its minute is over; 24.5 °C 40 s after off: stays off until its minute is over", () => {
    const box = Box.atRest(both(24.7));
    box.untilHeating(1);
    box.sees(both(25.5)).afterSeconds(50);
    expect(box.heaterOn).toBe(true);
    expect(box.heatWhy).toBe("minimum-on");
    box.afterSeconds(15);
    expect(box.heaterOn).toBe(false);
    box.sees(both(24.5)).afterSeconds(40);
    expect(box.heaterOn).toBe(false);
    expect(box.heatWhy).toBe("minimum-off");
    box.afterSeconds(20);
    expect(box.heaterOn).toBe(true);
  });

  test("board silent 5 s after on: heater and guard off in the same scan, minimum on or not", () => {
    const box = Box.atRest(both(24.7));
    box.untilHeating(1);
    box.afterSeconds(5).sees({ board: "silent" }).scan();
    expect(box.heaterOn).toBe(false);
    expect(box.commands["heat-guard"]).toBe(false);
  });
});

describe("heater on, then in the same scan off", () => {
  const rows: [string, Sight, Reason, guard: boolean][] = [
    ["board silent", { board: "silent" }, "board-silent", false],
    ["board reset", { board: "restarted" }, "board-silent", false],
    ["nobody beside the box any more", { board: "unattended" }, "nobody-beside", false],
    [
      "no temperature",
      { "thermometer-1": "nothing", "thermometer-2": "nothing", conductivity: "nothing" },
      "no-temperature",
      true,
    ],
  ];
  test.each(rows)("%s: heater off as $2, guard closed $3", (_what, sight, why, guard) => {
    const box = Box.atRest(both(24.7));
    box.untilHeating(1);
    box.sees(sight).scan();
    expect(box.heaterOn).toBe(false);
    expect(box.heatWhy).toBe(why);
    expect(box.commands["heat-guard"]).toBe(guard);
  });

  const harmless: [string, Sight][] = [
    ["mains lost", { "mains-sensor": "gone" }],
    ["pump locked by the guard firmware", { pumpLocked: true }],
    ["high float wet", { "high-float": "wet" }],
    ["floor wet", { "floor-sensor": "wet" }],
    ["floats unplugged", { "working-float": "nothing", "high-float": "nothing", "low-float": "nothing" }],
    ["reservoir empty", { "reservoir-float": "dry" }],
    ["disk failed", { disk: "failed" }],
    ["return pump stopped, with a thermometer in the heater's chamber", { "return-sensor": "gone" }],
    ["conductivity probe gone", { conductivity: "nothing" }],
  ];
  test.each(harmless)("water cause for 5 min, heat goes on and its guard stays closed: %s", (_what, sight) => {
    const box = Box.atRest(both(24.7));
    box.untilHeating(1);
    box.sees(sight).after(5);
    expect(box.heaterOn).toBe(true);
    expect(box.commands["heat-guard"]).toBe(true);
  });

  test("return pump stops, no thermometer in the heater's chamber: off as no-flow; pump back: on after two minutes", () => {
    const settings = { ...SETTINGS, heat: { ...SETTINGS.heat, thermometerSharesHeaterChamber: false } };
    const box = Box.atRest(both(24.7), settings);
    box.untilHeating(1);
    box.sees({ "return-sensor": "gone" }).scan();
    expect(box.heaterOn).toBe(false);
    expect(box.heatWhy).toBe("no-flow");
    box.sees({ "return-sensor": "there" }).after(1.9);
    expect(box.heatWhy).toBe("heat-starting");
    box.after(0.2);
    expect(box.heaterOn).toBe(true);
  });

  test("low float dry, unknown or not fitted, heater in the last chamber: off as uncovered, guard open", () => {
    const settings = { ...SETTINGS, heat: { ...SETTINGS.heat, heaterPlace: "last-chamber" as const } };
    for (const says of ["dry", "nothing", "not-fitted"] as const) {
      const box = Box.atRest(both(24.7), settings);
      box.untilHeating(1);
      box.sees({ "low-float": says }).scan();
      expect(box.heaterOn).toBe(false);
      expect(box.heatWhy).toBe("heater-uncovered");
      expect(box.commands["heat-guard"]).toBe(false);
    }
  });
});

describe("the cut-out", () => {
  test("28.46 °C: guard closed; 28.54 °C for three conversions with no recent heat: relay and guard open, no lock, clears at 27.4 not 27.6, and the guard closes with the next heat", () => {
    const box = Box.alwaysAt(both(28.2));
    box.drifts(28.46, 0.3);
    expect(box.commands["heat-guard"]).toBe(true);
    box.drifts(28.54, 0.3);
    expect(box.commands["heat-guard"]).toBe(false);
    expect(box.heatLatch).toBeNull();
    expect(box.heat.state).toBe("cut-out");
    box.drifts(27.6, 0.4).after(1);
    expect(box.heat.state).toBe("cut-out");
    box.drifts(27.4, 0.4).after(1);
    expect(box.heat.state).not.toBe("cut-out");
    expect(box.commands["heat-guard"]).toBe(false);
    box.drifts(25, 2.5).after(1);
    expect(box.commands["heat-guard"]).toBe(false);
    box.drifts(24.8, 1);
    box.untilHeating(2);
    expect(box.commands["heat-guard"]).toBe(true);
  });

  test("28.6 °C two minutes after heating: locked, guard open; clear refused while hot, over the network or without temperature; at the tank once cool: taken, heats again", () => {
    const box = Box.atRest(both(24.7));
    box.untilHeating(1);
    box.after(2).sees(both(28.6)).afterSeconds(10);
    expect(box.heatLatch).toBe("heat-cut-out");
    expect(box.commands["heat-guard"]).toBe(false);
    box.asks({ kind: "clear", machine: "heat", occurrence: 1, at: "tank" });
    expect(box.outcome).toMatch(/still stands/);
    box.sees(both(24.7)).after(30);
    expect(box.heaterOn).toBe(false);
    box.asks({ kind: "clear", machine: "heat", occurrence: 1, at: "network" });
    expect(box.outcome).toMatch(/at the tank/);
    box.sees({ ...both(24.7), "thermometer-1": "nothing", "thermometer-2": "nothing", conductivity: "nothing" });
    box.asks({ kind: "clear", machine: "heat", occurrence: 1, at: "tank" });
    expect(box.accepted).toBe(false);
    box.sees({ ...both(24.7), conductivity: 53 }).asks({ kind: "clear", machine: "heat", occurrence: 1, at: "tank" });
    expect(box.accepted).toBe(true);
    // The story cooled faster than water can, so that what is left is heated with care.
    box.untilHeating(15);
  });

  test("27 and 28.7 °C, mean below 28.5: cuts by the warmest, guard open", () => {
    const box = Box.atRest({ ...both(27), "thermometer-2": 28.7 }).after(35);
    expect(box.commands["heat-guard"]).toBe(false);
  });

  test("one sample of 60 °C: no cut-out, no lock", () => {
    const box = Box.atRest(both(24.7));
    box.untilHeating(1);
    box.after(1).sees({ "thermometer-1": 60 }).scan().sees({ "thermometer-1": 24.7 }).after(1);
    expect(box.heatLatch).toBeNull();
    expect(box.heat.state).not.toBe("cut-out");
  });

  test("29 °C with the working float dry: top-off pours all the same", () => {
    Box.atRest({ ...both(29), "working-float": "dry" }).untilPouring();
  });

  test("thermometer that cut at 29 °C goes open-circuit: cut-out stands; after ten minutes by what is left: clears", () => {
    const box = Box.atRest(both(25)).after(35);
    box.sees({ "thermometer-1": 29 }).afterSeconds(20);
    expect(box.heat.state).toBe("cut-out");
    box.sees({ "thermometer-1": "open-circuit" }).afterSeconds(30);
    expect(box.commands["heat-guard"]).toBe(false);
    expect(box.heaterOn).toBe(false);
    // In doubt it clears after ten minutes by what is left.
    box.after(9);
    expect(box.heat.state).toBe("cut-out");
    box.after(2);
    expect(box.heat.state).not.toBe("cut-out");
  });
});

describe("power behind the heater's contact", () => {
  test("seen while the heater is off: guard open; still seen 3 s later: locked; clear refused while powered, taken once it is not", () => {
    const box = Box.atRest({ ...both(25), heaterPowered: true }).afterSeconds(1);
    expect(box.heat.finding?.reason).toBe("one-contact-heating");
    expect(box.commands["heat-guard"]).toBe(false);
    box.afterSeconds(3);
    expect(box.heatLatch).toBe("heater-seen-on");
    expect(box.commands["heat-guard"]).toBe(false);
    box.asks({ kind: "clear", machine: "heat", occurrence: 2, at: "tank" });
    expect(box.accepted).toBe(false);
    box.sees({ heaterPowered: false }).asks({ kind: "clear", machine: "heat", occurrence: 2, at: "tank" });
    expect(box.accepted).toBe(true);
  });
});

/** Water that follows what a heater would do: kelvin per hour, one scan a second. */
function drift(box: Box, fromC: number, kelvinPerHour: number, minutes: number, sight: Sight = {}): number {
  const scans = minutes * 60;
  for (let scan = 0; scan < scans; scan++) {
    const water = fromC + (kelvinPerHour * scan) / 3600;
    box
      .sees({ ...both(water), ...sight })
      .scan(500)
      .scan(500);
  }
  return fromC + (kelvinPerHour * minutes) / 60;
}

describe("rise while off", () => {
  /** 200 W in 140 L of sea water make 1.26 K/h. */
  test("1 K/h for 18 min: guard opens, no lock; slope falls to −0.2 K/h within 31 min: locked as welded", () => {
    const box = Box.alwaysAt(both(25.5));
    let water = drift(box, 25.5, 1, 18);
    // A room of 22 °C and a lamp do not warm water of 25 °C by 1 K/h.
    expect(box.heatWhy).toBe("heating-while-off");
    expect(box.commands["heat-guard"]).toBe(false);
    expect(box.heatLatch).toBeNull();
    water = drift(box, water, -0.2, 31);
    expect(box.heat.finding?.reason).toBe("one-contact-heating");
    drift(box, water, -0.2, 5);
    expect(box.commands["heat-guard"]).toBe(false);
  });

  test("0.8 K/h before and after the guard opened: no lock, guard closes again, heater stays off", () => {
    const box = Box.alwaysAt(both(25.5));
    drift(box, drift(box, 25.5, 0.8, 22), 0.8, 32);
    expect(box.heatLatch).toBeNull();
    expect(box.commands["heat-guard"]).toBe(true);
    expect(box.heaterOn).toBe(false);
  });

  test("warmer thermometer dies, reading steps down 0.6 K: no lock, guard closed", () => {
    const box = Box.alwaysAt({ "thermometer-1": 25.9, "thermometer-2": 25.3, probeTemperature: 25.5 });
    box.sees({ "thermometer-1": "nothing" }).after(60);
    expect(box.heatLatch).toBeNull();
    expect(box.commands["heat-guard"]).toBe(true);
  });

  test("one of two thermometers steps up 1.3 K: no lock, guard closed after 70 min", () => {
    const box = Box.alwaysAt(both(25.3));
    box.sees({ "thermometer-2": 26.6 }).after(70);
    expect(box.heatLatch).toBeNull();
    expect(box.commands["heat-guard"]).toBe(true);
  });

  test("0.7 K warmer water poured in a hold: no lock, guard closed after 90 min", () => {
    const box = Box.alwaysAt(both(25.3)).asks({ kind: "hold", at: "tank", minutes: 40 });
    box.after(35).sees(both(26)).after(2);
    box.asks({ kind: "end-hold", at: "tank", answer: "salt-water-added" }).after(90);
    expect(box.heatLatch).toBeNull();
    expect(box.commands["heat-guard"]).toBe(true);
  });
});

test("29 °C on one thermometer: cut-out within 3 s to 10 s, three samples to believe the jump and three conversions", () => {
  const box = Box.atRest(both(25)).after(31);
  box.sees({ "thermometer-1": 29 });
  // Three samples until the jump is no spike any more, then three seconds.
  const cutMs = box.until(({ heat }) => heat.state === "cut-out", 1);
  expect(cutMs).toBeGreaterThanOrEqual(3_000);
  expect(cutMs).toBeLessThanOrEqual(10_000);
});

describe("effect of the heater", () => {
  test("60 min on without a rise: cautious duty, at most 31 min on in the next hour; 0.4 K/h then: cleared", () => {
    const box = new Box(SETTINGS, both(24));
    box.untilHeating(3);
    box.after(59);
    expect(box.heat.state).toBe("heating");
    box.after(2);
    expect(box.heatWhy).toBe("heater-no-effect");
    expect(box.durable(HEAT["heater-1"]).noEffect).toBe(true);
    const { heaterMs } = box;
    box.after(60);
    expect(box.heaterMs - heaterMs).toBeLessThanOrEqual(31 * 60_000);
    expect(box.heaterMs - heaterMs).toBeGreaterThan(20 * 60_000);
    new Water(box, 24).flows(2.5);
    expect(box.durable(HEAT["heater-1"]).noEffect).toBe(false);
  });

  test("5 h of cautious heating in a cold room, water just holds: not found without effect", () => {
    const water = Water.at(23.6, 16.5).hang("thermometer-2", "no-answer").hang("cell", "no-answer");
    water.box.sees({ conductivity: "nothing" });
    // Nobody knows yet whether the one that is left follows the heater: half the time on, and the box just holds.
    water.flows(0.1).flows(0.2, ({ box }) => expect(box.heat.state).toBe("cautious"));
    water.flows(5);
    expect(water.box.heaterMs).toBeGreaterThan(2 * 3_600_000);
    expect(water.box.durable(HEAT["heater-1"]).noEffect).toBe(false);
  });

  test("found without effect, cleared by a person over the network: finding gone", () => {
    const box = new Box(SETTINGS, both(24)).after(65);
    expect(box.durable(HEAT["heater-1"]).noEffect).toBe(true);
    expect(box.heat.finding).toMatchObject({ reason: "heater-no-effect", occurrence: 1 });
    box.asks({ kind: "clear", machine: "heat", occurrence: 1, at: "network" });
    expect(box.accepted).toBe(true);
    expect(box.heat.finding).toBeNull();
    expect(box.durable(HEAT["heater-1"]).noEffect).toBe(false);
  });

  test("90 min on, water rising 1 K/h: no finding, heater stays on", () => {
    const box = new Box(SETTINGS, both(23.2));
    box.untilHeating(3);
    drift(box, 23.2, 1, 90);
    expect(box.durable(HEAT["heater-1"]).noEffect).toBe(false);
    expect(box.heaterOn).toBe(true);
  });

  test("8 h of 24 min up and 36 min down in its band, room takes more than the settings say: no finding", () => {
    const box = Box.alwaysAt(both(25));
    // Twenty minutes up, forty down, again and again, and a loss that is larger than the settings say.
    for (let hour = 0; hour < 8; hour++) drift(box, drift(box, 24.8, 0.9, 24), -0.6, 36);
    expect(box.heaterMs).toBeGreaterThan(90 * 60_000);
    expect(box.durable(HEAT["heater-1"]).noEffect).toBe(false);
  });

  test("on for 3 h: off for ten minutes as slope-check, then on again", () => {
    const box = new Box(SETTINGS, both(23.1));
    box.untilHeating(3);
    const water = drift(box, 23.1, 0.4, 179);
    expect(box.heaterOn).toBe(true);
    drift(box, water, 0, 2);
    expect(box.heatWhy).toBe("slope-check");
    drift(box, water, 0, 8);
    expect(box.heaterOn).toBe(false);
    drift(box, water, 0, 3);
    expect(box.heaterOn).toBe(true);
  });
});

describe("thermometers that differ", () => {
  test("24.7 and 25.3 °C for 10 min: good, mean of 25.0 controls", () => {
    const box = Box.atRest({ "thermometer-1": 24.7, "thermometer-2": 25.3 }).after(10);
    expect(box.record.quantities.temperature).toMatchObject({ quality: "good" });
    expect(box.record.quantities.temperature.value).toBeCloseTo(25, 1);
  });

  test("23 and 24.5 °C: warmer controls at once; after 5 min uncertain as disagrees, cautious heating goes on", () => {
    const box = new Box(SETTINGS, { "thermometer-1": 23, "thermometer-2": 24.5, conductivity: "nothing" }).after(4.5);
    expect(box.record.quantities.temperature.quality).toBe("good");
    expect(box.record.quantities.temperature.value).toBeCloseTo(24.5, 1);
    box.after(1);
    expect(box.record.quantities.temperature).toMatchObject({ quality: "uncertain", doubt: "disagrees" });
    expect(box.record.quantities.temperature.value).toBeCloseTo(24.5, 1);
    box.untilHeating(12);
    expect(box.heatWhy).toBe("cautious-heating");
  });

  test("1.2 K apart for 6 min, one sample lost each minute: disagrees all the same", () => {
    const box = new Box(SETTINGS, { "thermometer-1": 24, "thermometer-2": 24.9, conductivity: "nothing" });
    for (let minute = 0; minute < 6; minute++) {
      box.after(1).sees({ "thermometer-1": "no-answer" }).scan().sees({ "thermometer-1": 24 }).scan();
    }
    expect(box.after(1).record.quantities.temperature.doubt).toBe("disagrees");
  });

  test("22 and 25 °C: the cell's 25.2 or 21.8 decides at once which counts; the warmest stays 25 for the cut-out", () => {
    const seen = (probeTemperature: number) =>
      new Box(SETTINGS, { "thermometer-1": 22, "thermometer-2": 25, probeTemperature }).after(1);
    const box = seen(25.2);
    expect(box.record.quantities.temperature.value).toBeCloseTo(25, 1);
    const other = seen(21.8);
    expect(other.record.quantities.temperature.value).toBeCloseTo(22, 1);
    // Whoever wins the vote, the warmest cuts.
    expect(other.record.quantities.warmest.value).toBeCloseTo(25, 1);
  });

  test("22 and 26 °C without a third: cautious heating; 22 and 27.8, or 23.5 and 26: no heat", () => {
    const seen = (first: number, second: number) =>
      new Box(SETTINGS, { "thermometer-1": first, "thermometer-2": second, probeTemperature: null });
    const cold = seen(22, 26);
    cold.untilHeating(15);
    expect(cold.heatWhy).toBe("cautious-heating");
    expect(seen(22, 27.8).after(30).heaterMs).toBe(0);
    expect(seen(23.5, 26).after(30).heaterMs).toBe(0);
  });

  test("one thermometer left at 24 °C: cautious heating after its pause; only the cell's: the same; none: off as no-temperature", () => {
    const one = Box.atRest({ ...both(24), "thermometer-1": "nothing" });
    expect(one.untilHeating(12)).toBeGreaterThan(4.5 * 60_000);
    const third = Box.atRest({ ...both(24), "thermometer-1": "nothing", "thermometer-2": "power-on-value" });
    third.untilHeating(12);
    const none = Box.atRest({
      ...both(24),
      "thermometer-1": "nothing",
      "thermometer-2": "nothing",
      conductivity: "nothing",
    });
    none.after(60);
    expect(none.heaterMs).toBe(0);
    expect(none.heatWhy).toBe("no-temperature");
  });

  test("last thermometer 24 °C, cell 29 °C: no heat, guard open", () => {
    const box = Box.atRest({ "thermometer-1": "nothing", "thermometer-2": 24, probeTemperature: 29 }).after(60);
    expect(box.heaterMs).toBe(0);
    expect(box.commands["heat-guard"]).toBe(false);
  });

  test("25.9 °C lost, cell says 24.4 °C: heater stays off in that scan and for the next minute", () => {
    const box = Box.atRest({ "thermometer-1": 25.9, "thermometer-2": "nothing", probeTemperature: 24.4 }).after(17);
    expect(box.heaterOn).toBe(false);
    box.sees({ "thermometer-1": "nothing" }).scan();
    expect(box.heaterOn).toBe(false);
    box.afterSeconds(60);
    expect(box.heaterOn).toBe(false);
  });

  test("thermometer held out of the water: trust over the network or for a sound one: refused; at the tank: good within 30 min", () => {
    const box = Box.atRest();
    for (let minute = 0; minute < 25; minute++) box.sees({ "thermometer-1": 25 - minute * 0.12 }).after(1);
    expect(box.record.thermometers[0].doubt).toBe("rate");
    box.sees({ "thermometer-1": 24.2 }).after(2);
    box.asks({ kind: "trust", part: "thermometer-1", at: "network" });
    expect(box.accepted).toBe(false);
    box.asks({ kind: "trust", part: "thermometer-2", at: "tank" });
    expect(box.outcome).toBe("Nothing is held against thermometer 2.");
    box.asks({ kind: "trust", part: "thermometer-1", at: "tank" });
    expect(box.accepted).toBe(true);
    expect(box.after(30).record.thermometers[0].doubt).toBeNull();
  });

  test("thermometer falls 0.1 K a minute for 22 min, then back at 25 °C: in doubt for ten minutes more, then believed", () => {
    const box = Box.atRest(both(25)).after(15);
    const air: Sight = { "thermometer-1": 25, "thermometer-2": 25 };
    for (let minute = 0; minute < 22; minute++) {
      box.sees({ ...air, "thermometer-1": 25 - minute * 0.1 }).after(1);
    }
    expect(box.record.thermometers[0].doubt).toBe("rate");
    box.sees(both(25)).after(9.5);
    expect(box.record.thermometers[0].doubt).toBe("rate");
    box.after(2);
    expect(box.record.thermometers[0].doubt).toBeNull();
  });

  test("both fall 2.25 K in 9 min without a hold, cell agrees with them for 35 min: both believed again", () => {
    const box = Box.atRest(both(25)).after(15);
    for (let minute = 0; minute < 9; minute++) box.sees(both(25 - minute * 0.25)).after(1);
    box.sees(both(22.75)).after(2);
    expect(box.record.thermometers[0].doubt).toBe("rate");
    expect(box.record.thermometers[1].doubt).toBe("rate");
    box.after(35);
    expect(box.record.thermometers[0].doubt).toBeNull();
    expect(box.record.thermometers[1].doubt).toBeNull();
  });
});

describe("cautious duty", () => {
  /** The last one of all, and nothing is known of whether it follows the heater. */
  const doubtful: Sight = { ...both(23.5), "thermometer-1": "nothing", conductivity: "nothing" };

  test("one thermometer at 23.5 °C, 3 h: no more than half of any hour, and not much less", () => {
    const box = Box.atRest(doubtful);
    const onAt: boolean[] = [];
    for (let second = 0; second < 3 * 3600; second++) {
      box.scan(500).scan(500);
      onAt.push(box.heaterOn);
    }
    let most = 0;
    for (let start = 0; start + 3600 <= onAt.length; start += 60) {
      most = Math.max(most, onAt.slice(start, start + 3600).filter(Boolean).length);
    }
    expect(most).toBeGreaterThan(1_500);
    expect(most).toBeLessThanOrEqual(1_802);
  });

  test("mean duty of last week 0.2: 20 to 26 min on in two hours", () => {
    const box = Box.atRest(doubtful);
    box.remembers(HEAT["heater-1"], { dutyDay: 0.2, dutyWeek: 0.2, dutyKnownMs: 7 * 86_400_000 });
    box.after(120);
    expect(box.heaterMs).toBeGreaterThan(20 * 60_000);
    expect(box.heaterMs).toBeLessThanOrEqual(26 * 60_000);
  });

  test("scans 5 s late whenever the heater is on, 6 h: share on stays below 0.52", () => {
    const box = Box.atRest(doubtful);
    let onMs = 0;
    let allMs = 0;
    while (allMs < 6 * 3_600_000) {
      const elapsedMs = box.heaterOn ? 5_000 : 500;
      if (box.heaterOn) onMs += elapsedMs;
      allMs += elapsedMs;
      box.scan(elapsedMs);
    }
    expect(onMs / allMs).toBeLessThan(0.52);
  });
});
