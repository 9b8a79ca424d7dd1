import { describe, expect, test } from "vitest";
import { HEAT } from "../../controller/decisions/heat/key.ts";
import { PROVING } from "../../controller/decisions/proving/key.ts";
import { everythingProven, setProof } from "../../controller/decisions/proving/memory.ts";
import type { ProofPart } from "../../shared/contract/index.ts";
import type { Settings } from "../../shared/settings/index.ts";
import type { Box } from "./box.ts";
import { CALM, Water } from "./heat-water.ts";

/**
 * Stories of heat in which something is lost, lies or welds, on water that follows what the heater does. Setpoint 25,
 * low limit 23, cut-out 28.5 °C, a heater of 200 W in 140 L. What a box may lose meanwhile: nothing where another
 * thermometer is left, half a kelvin a day else; and it is told within the hour.
 */
const ids = (box: Box): string[] => box.record.alarms.map(({ id }) => id);

/** Every alarm that was raised, and how warm the water was then. */
class Told {
  readonly at = new Map<string, number>();
  readonly look = (water: Water): void => {
    for (const { id, active } of water.box.record.alarms) {
      if (active && !this.at.has(id)) this.at.set(id, water.celsius);
    }
  };
}

const without = (box: Box, part: ProofPart): void => {
  const none = { ageMs: null, by: null, reading: null, changed: null };
  box.remembers(PROVING, setProof(everythingProven(box.settings), part, none));
};

/** The two have agreed and followed the heater for some hours. */
const followed = (roomC: number, settings: Settings = CALM): Water => Water.at(24.9, roomC, settings).flows(4).forget();

describe("one of two thermometers is lost, and the water is not", () => {
  test("its wire breaks on a cold night: within half a kelvin, and told", () => {
    const water = followed(15);
    water.swingC = 3;
    const told = new Told();
    water.hang("thermometer-1", "open-circuit").flows(14, told.look);
    expect(water.coldestC).toBeGreaterThan(24.5);
    expect(water.warmestC).toBeLessThan(25.5);
    expect(told.at.has("thermometer-failed")).toBe(true);
  });

  test.each(["thermometer-1", "thermometer-2"] as const)(
    "%s falls into a room of 16 °C, and two good ones stay",
    (part) => {
      const water = followed(16);
      const told = new Told();
      water.hang(part, "air").flows(10, told.look);
      expect(water.coldestC).toBeGreaterThan(24.5);
      expect(water.warmestC).toBeLessThan(25.5);
      expect(told.at.has("thermometer-failed")).toBe(true);
    },
  );

  test("it falls into a room of 16 °C in a box without a cell: the other one follows the heater", () => {
    const water = followed(14);
    water.box.sees({ conductivity: "not-fitted" });
    water.hang("cell", "disconnected").flows(1).forget();
    water.hang("thermometer-1", "air").flows(10);
    expect(water.coldestC).toBeGreaterThan(24.5);
    expect(water.warmestC).toBeLessThan(25.5);
  });

  test("it reads 4 K too warm from one moment to the next: the heat pauses, nothing is locked, and the water stays", () => {
    const water = followed(16).hang("thermometer-2", "water", 4);
    water.flows(0.1);
    expect(water.box.heat.state).toBe("cut-out");
    water.flows(8, ({ box }) => expect(box.heatLatch).toBeNull());
    expect(water.coldestC).toBeGreaterThan(24.5);
    expect(water.warmestC).toBeLessThan(25.5);
  });

  test.each([0.8, -0.8, 1.2, -1.5])(
    "it reads %d K wrong from one moment to the next: the two that agree are believed",
    (offsetK) => {
      const water = followed(14).hang("thermometer-1", "water", offsetK).flows(10);
      expect(water.coldestC).toBeGreaterThan(24.5);
      expect(water.warmestC).toBeLessThan(25.5);
    },
  );

  test("it repeats its last value: the other one, which follows the heater, is believed", () => {
    const water = followed(16).hang("thermometer-1", "frozen").flows(12);
    expect(water.coldestC).toBeGreaterThan(24.5);
    expect(water.warmestC).toBeLessThan(25.5);
  });

  test("without a proof of the heater's own thermostat one witness is heated by with care", () => {
    const water = followed(16);
    without(water.box, "heater-thermostat");
    water.hang("cell", "disconnected").box.sees({ conductivity: "nothing" });
    water.hang("thermometer-1", "open-circuit").flows(0.2);
    water.flows(2, ({ box }) => expect(box.heat.state).toBe("cautious"));
  });
});

test("both thermometers suddenly read 2 K too warm: the cell's own is believed, and somebody is told", () => {
  const water = followed(18);
  const told = new Told();
  water.hang("thermometer-1", "water", 2).hang("thermometer-2", "water", 2).flows(10, told.look);
  expect(water.coldestC).toBeGreaterThan(24.5);
  expect(water.warmestC).toBeLessThan(25.5);
  expect(told.at.has("thermometer-failed")).toBe(true);
});

describe("the thermometer that answers the heater is in the water", () => {
  test("two that were forgotten in the air do not outvote the cell's own in the water", () => {
    const water = Water.at(24.9, 22).hang("thermometer-1", "air").hang("thermometer-2", "air");
    const told = new Told();
    water.flows(8, told.look);
    // It takes an hour of heat to see that neither follows: the heater's own thermostat is above that.
    expect(water.warmestC).toBeLessThan(26.5);
    expect(water.forget().flows(6).warmestC).toBeLessThan(25.5);
    expect(water.coldestC).toBeGreaterThan(24.5);
    expect(water.box.record.quantities.temperature.value).toBeCloseTo(water.celsius, 1);
    expect(told.at.has("thermometers-disagree")).toBe(true);
  });

  test("one in a cup does not control, though the cup is warmer than the water", () => {
    const water = followed(16).cup("thermometer-2", 27).flows(12);
    expect(water.coldestC).toBeGreaterThan(24);
    expect(water.forget().flows(6).coldestC).toBeGreaterThan(24.5);
  });

  test("one beside the heater cuts and does not control", () => {
    const water = Water.at(24.9, 16).hang("thermometer-1", "beside-heater");
    water.flows(7);
    expect(water.coldestC).toBeGreaterThan(24.1);
    expect(water.forget().flows(4).coldestC).toBeGreaterThan(24.5);
    expect(water.warmestC).toBeLessThan(25.6);
  });

  test("the coldest that follows never falls below the low limit, whatever the doubt", () => {
    const water = followed(8);
    without(water.box, "heater-thermostat");
    water.box.remembers(HEAT["heater-1"], { dutyWeek: 0.1, dutyKnownMs: 700_000_000 });
    water.roomC = 13;
    water.box.sees({ conductivity: "nothing" });
    water.hang("cell", "disconnected").hang("thermometer-1", "open-circuit").flows(14);
    expect(water.coldestC).toBeGreaterThan(22.7);
    expect(water.box.heat.state).toBe("cautious");
  });
});

describe("nothing is broken, and nobody is told that it is", () => {
  test("a room of 26 ± 5 °C: no heating while it is switched off is told on any day", () => {
    const water = Water.at(25, 26);
    water.swingC = 5;
    const told = new Told();
    let tests = 0;
    let wasOpen = false;
    water.flows(60, (now) => {
      told.look(now);
      const isOpen = now.box.volatile(HEAT["heater-1"]).guardOpenMs > 0;
      if (isOpen && !wasOpen) tests += 1;
      wasOpen = isOpen;
    });
    // A weld was looked for, and disproved for the day.
    expect(tests).toBeGreaterThan(0);
    expect(tests).toBeLessThanOrEqual(3);
    expect(told.at.has("heating-while-off")).toBe(false);
    expect(water.box.heatLatch).toBeNull();
  });

  test.each(["with a room thermometer", "without"])(
    "a heatwave of 34 °C %s raises too warm, and no relay to replace",
    (how) => {
      const water = Water.at(25, 22, CALM, how === "without" ? { "room-thermometer": "not-fitted" } : {}).flows(1);
      water.roomC = 34;
      const told = new Told();
      water.flows(20, told.look);
      expect(told.at.has("temperature-high")).toBe(true);
      expect(told.at.has("heating-while-off")).toBe(false);
      expect(water.box.heatLatch).toBeNull();
    },
  );
});

test("heater dead and one thermometer frozen: told that they disagree before two kelvin are lost, and that the heater has no effect", () => {
  const water = followed(17);
  // Its last value is in the band, so that it asks for no heat.
  while (water.box.heaterOn || water.celsius > 25) water.flows(0.01);
  water.dead.add("heater-1");
  const told = new Told();
  water.hang("thermometer-1", "frozen").flows(12, told.look);
  // An hour of heat without an answer, at half of the time, after the two have contradicted each other.
  expect(told.at.get("heater-no-effect")).toBeGreaterThan(22.2);
  expect(told.at.get("thermometers-disagree")).toBeGreaterThan(23);
});

describe("heater in the last chamber", () => {
  const LAST: Settings = { ...CALM, heat: { ...CALM.heat, heaterPlace: "last-chamber" } };

  test("the low float's wire breaks: the working float shows that it is covered, and the box stays warm", () => {
    const water = followed(16, LAST);
    water.box.sees({ "low-float": "open-circuit" });
    water.flows(0.1);
    expect(water.box.heatWhy).toBe("heater-uncovered");
    // A pour every hour and a half, and some minutes low before it.
    for (let pour = 0; pour < 6; pour++) {
      water.box.sees({ "working-float": "wet" });
      water.flows(1.4).box.sees({ "working-float": "dry" });
      water.flows(0.08);
    }
    expect(water.coldestC).toBeGreaterThan(24.5);
  });

  test("the level falls on: the heater counts as bare after ten minutes", () => {
    const water = followed(16, LAST);
    water.box.sees({ "low-float": "open-circuit" });
    water.flows(0.5).box.sees({ "working-float": "dry" });
    water.flows(0.2).flows(0.5, ({ box }) => expect(box.commands["heat-guard"]).toBe(false));
  });

  test("the low float said bare before its wire broke: its word stands", () => {
    const water = followed(16, LAST);
    water.box.sees({ "low-float": "dry" });
    water.flows(0.01).box.sees({ "low-float": "open-circuit" });
    water.flows(1, ({ box }) => expect(box.heaterOn).toBe(false));
    water.box.sees({ "low-float": "wet" });
    water.flows(0.1);
    expect(water.box.heaterOn).toBe(true);
  });
});

describe("a thermometer in its cup to be calibrated", () => {
  test("of 32 °C locks nothing, and is no water", () => {
    const water = followed(18);
    // Heat was on a moment ago: a cut-out would lock.
    while (!water.box.heaterOn) water.flows(0.01);
    water.box.asks({ kind: "calibrate", at: "tank", step: "begin", session: "thermometer-1" });
    expect(water.box.accepted).toBe(true);
    water.cup("thermometer-1", 32).flows(0.3, ({ box }) => {
      expect(box.heatLatch).toBeNull();
      expect(box.heat.state).not.toBe("cut-out");
    });
    expect(ids(water.box)).not.toContain("temperature-high");
    expect(ids(water.box)).not.toContain("thermometer-failed");
    expect(water.flows(1).coldestC).toBeGreaterThan(24.5);
  });

  test("and forgotten there after its session, is held to be out of the water, and locks nothing", () => {
    const water = followed(18);
    water.box.asks({ kind: "calibrate", at: "tank", step: "begin", session: "thermometer-1" });
    water.cup("thermometer-1", 32).flows(0.1);
    water.box.asks({ kind: "calibrate", at: "tank", step: "abandon" });
    water.flows(0.4, ({ box }) => expect(box.heatLatch).toBeNull());
    expect(water.box.record.thermometers[0].doubt).toBe("rate");
    expect(ids(water.box)).toContain("thermometer-failed");
    water.hang("thermometer-1", "water").flows(0.5);
    expect(water.box.record.thermometers[0].doubt).toBeNull();
  });

  test("the cell in its bottle has no opinion on the temperature", () => {
    const water = followed(18);
    water.box.asks({ kind: "calibrate", at: "tank", step: "begin", session: "conductivity" });
    water.cup("cell", 30).flows(0.5, ({ box }) => {
      expect(box.heat.state).not.toBe("cut-out");
      expect(box.record.quantities.cellTemperature.value).toBeNull();
      expect(box.record.quantities.temperature.quality).toBe("good");
    });
    expect(water.coldestC).toBeGreaterThan(24.5);
  });
});

describe("a return sensor that is wrong in winter, no thermometer beside the heater", () => {
  const FAR: Settings = { ...CALM, heat: { ...CALM.heat, thermometerSharesHeaterChamber: false } };
  const wrong = { "return-sensor": "gone", "working-float": "dry" } as const;

  test("heated with care at once, as usual once the water is seen to flow; told", () => {
    const water = followed(16, FAR);
    const told = new Told();
    water.box.sees(wrong);
    water.flows(8, told.look);
    expect(water.coldestC).toBeGreaterThan(24);
    expect(told.at.has("return-sensor-suspect")).toBe(true);
    expect(water.forget().flows(6).coldestC).toBeGreaterThan(24.5);
  });

  test("heater's own thermostat not proven: only below the low limit until then", () => {
    const water = followed(16, FAR);
    without(water.box, "heater-thermostat");
    water.box.sees(wrong);
    water.flows(8);
    expect(water.coldestC).toBeLessThan(23);
    expect(water.coldestC).toBeGreaterThan(22.7);
    expect(water.forget().flows(6).coldestC).toBeGreaterThan(24);
  });
});

test("return pump stopped, the heater's own chamber warm, the rest of the box cold: never heated by what is cold elsewhere", () => {
  const water = followed(18);
  water.box.sees({ "return-sensor": "gone", "working-float": "wet" });
  water.hang("thermometer-1", "water", 1.5).flows(3, ({ box }) => {
    expect(box.record.thermometers[0].doubt).not.toBe("rate");
    if (box.heaterOn) expect(box.record.quantities.warmest.value).toBeLessThan(25.2);
  });
});

test("a heater that is proven waits for the other one that has come on in the same scan", () => {
  const two = { heaterW: 100, heaterPlace: "pinned-chamber", thermometerSharesHeaterChamber: true } as const;
  const box = Water.at(25, 22, { ...CALM, heat: { ...CALM.heat, heaterW: 100, secondHeater: two } }).flows(0.2).box;
  const cold = { "thermometer-1": 24.7, "thermometer-2": 24.7, probeTemperature: 24.7 };
  const first = box.twin().sees(cold);
  first.until(({ commands }) => commands["heater-1"], 1);
  box.sees(cold);
  while (!box.twin().scan().commands["heater-1"]) box.scan();
  box.asks({ kind: "prove", at: "tank", part: "heater-2", seconds: 30 });
  expect(box.accepted).toBe(true);
  expect([box.commands["heater-1"], box.commands["heater-2"]]).toEqual([true, false]);
  const apartMs = box.until(({ commands }) => commands["heater-2"], 1);
  expect(apartMs).toBeGreaterThanOrEqual(10_000);
  expect(apartMs).toBeLessThan(11_000);
});

describe("one contact is welded, the other one opens", () => {
  /** Found in a room of 18 °C, after some hours of too warm water. */
  const found = (senses = false): { water: Water; told: Told } => {
    const water = followed(18);
    const told = new Told();
    water.senses = senses;
    water.welded.add("heater-1");
    water.flows(12, (now) => told.look(now));
    expect(water.box.heat.finding?.reason).toBe("one-contact-heating");
    return { water, told };
  };

  test.each([
    ["by its effect", false],
    ["by what is sensed", true],
  ] as const)(
    "found %s: heat goes on by that one, never far above the setpoint, and a person is told",
    (_how, senses) => {
      const { water, told } = found(senses);
      expect(told.at.has("heating-while-off")).toBe(true);
      const { heaterMs } = water.box;
      water.forget().flows(10, ({ box }) => {
        expect(box.heatLatch).toBeNull();
        expect(box.commands["heat-guard"]).toBe(box.heaterOn);
      });
      expect(water.coldestC).toBeGreaterThan(22.5);
      expect(water.warmestC).toBeLessThan(26);
      expect(water.box.heaterMs).toBeGreaterThan(heaterMs + 3_600_000);
      expect(water.box.heaterMs).toBeLessThan(heaterMs + 5.5 * 3_600_000);
    },
  );

  test.each([
    ["by its effect", false, 0.55],
    ["by what is sensed", true, 0.01],
  ] as const)(
    "the other one welds too, found %s: the first off that is not confirmed locks",
    (_how, senses, withinH) => {
      const { water } = found(senses);
      for (let hour = 0; hour < 8 && !water.box.heaterOn; hour += 0.01) water.flows(0.01);
      expect(water.box.heaterOn).toBe(true);
      water.welded.add("heat-guard");
      for (let hour = 0; hour < 2 && water.box.heaterOn; hour += 0.005) water.flows(0.005);
      water.flows(withinH);
      expect(water.box.heatLatch).toBe(senses ? "heater-seen-on" : "heater-welded");
      water.flows(1, ({ box }) => expect(box.heaterOn).toBe(false));
    },
  );

  test("without a proof of the heater's own thermostat it is locked at once", () => {
    const water = followed(18);
    without(water.box, "heater-thermostat");
    water.welded.add("heater-1");
    water.flows(12);
    expect(water.box.heatLatch).toBe("heater-welded");
  });

  test("a memory that comes back goes on in the same way, and one that is lost locks", () => {
    const { water } = found();
    const sound = water.box.twin().isKilled(1_000).after(5);
    expect(sound.heat.finding?.reason).toBe("one-contact-heating");
    const lost = water.box.twin().isKilled(1_000, "missing").after(5);
    expect(lost.heatLatch).toBe("heater-welded");
  });

  test("a person at the tank who has replaced it clears the finding, and nobody from afar", () => {
    const { water } = found();
    const occurrence = water.box.heat.finding?.occurrence ?? 0;
    water.box.asks({ kind: "clear", machine: "heat", occurrence, at: "network" });
    expect(water.box.accepted).toBe(false);
    water.box.asks({ kind: "clear", machine: "heat", occurrence: occurrence + 1, at: "tank" });
    expect(water.box.accepted).toBe(false);
    water.box.asks({ kind: "prove", at: "tank", part: "heater-1", seconds: 30 });
    expect(water.box.accepted).toBe(false);
    water.box.asks({ kind: "clear", machine: "heat", occurrence, at: "tank" });
    expect(water.box.accepted).toBe(true);
    expect(water.box.heat.finding).toBeNull();
  });
});

test("both contacts are welded, and the room is cold: told that nothing explains the warm water", () => {
  const water = followed(16);
  water.welded.add("heater-1").add("heat-guard");
  const told = new Told();
  water.flows(14, told.look);
  expect(told.at.has("heating-while-off")).toBe(true);
});
