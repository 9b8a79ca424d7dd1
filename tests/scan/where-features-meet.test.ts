import { describe, expect, test } from "vitest";
import { HEAT } from "../../controller/decisions/heat/key.ts";
import { TOP_OFF } from "../../controller/decisions/top-off/key.ts";
import { standardConductivity } from "../../shared/seawater/index.ts";
import type { Settings } from "../../shared/settings/index.ts";
import { settingsSchema } from "../../shared/settings/schema.ts";
import { celsius } from "../../shared/units/index.ts";
import { Box, SETTINGS, type Sight } from "./box.ts";

/** Stories in which two features meet, each of them sound by itself. */

const both = (celsius: number): Sight => ({
  "thermometer-1": celsius,
  "thermometer-2": celsius,
  probeTemperature: celsius,
});
const LOW: Sight = { "working-float": "dry" };
const SEA = standardConductivity("sea-water-35", celsius(25)) as number;
const FAR: Settings = { ...SETTINGS, heat: { ...SETTINGS.heat, thermometerSharesHeaterChamber: false } };

const alarms = (box: Box) => box.record.alarms.filter(({ active }) => active).map(({ id }) => id);
const calibrates = (box: Box, step: object) =>
  box.asks({ kind: "calibrate", at: "tank", ...step } as Parameters<Box["asks"]>[0]);
/** Several pours that changed nothing have locked top-off. */
const failed = () => {
  const box = Box.atRest();
  return box.remembers(TOP_OFF, { failures: 6 }).afterSeconds(1);
};

describe("locked by an earlier cause, told all the same", () => {
  test("high float wet, then the pump powered for 30 s: blocker pump-seen-on, alarm water-not-ordered", () => {
    const box = Box.atRest(LOW);
    box.untilPouring();
    box.sees({ "high-float": "wet", "working-float": "wet", pumpPowered: true }).afterSeconds(30);
    expect(box.latch).toBe("high-float-wet");
    expect(box.record.topOff.blockers).toContain("pump-seen-on");
    expect(alarms(box)).toContain("water-not-ordered");
  });

  test("failed pours, then two rises that nobody ordered: guard open, alarm water-not-ordered", () => {
    const box = failed();
    for (let rise = 0; rise < 2; rise++) box.sees(LOW).after(2).sees({ "working-float": "wet" }).after(2);
    expect(box.topOff.guardLatched).toBe(true);
    expect(box.record.alarms.map(({ id }) => id)).toContain("water-not-ordered");
  });

  test("failed pours, then the reservoir dry 20 min too early: guard open, alarm water-not-ordered", () => {
    const box = failed().sees({ "reservoir-float": "dry" }).after(20);
    expect(box.topOff.guardLatched).toBe(true);
    expect(box.record.alarms.map(({ id }) => id)).toContain("water-not-ordered");
  });

  test("cut-out, then the heater powered for 2 min: alarm heating-while-off", () => {
    const box = Box.atRest(both(24)).after(5);
    box.sees(both(29)).afterSeconds(10).sees({ heaterPowered: true }).after(2);
    expect(box.heatLatch).toBe("heat-cut-out");
    expect(alarms(box)).toContain("heating-while-off");
  });
});

describe("a thermometer known to be out of the water", () => {
  test("second at 21.5 °C, first lost, cell 25.4 °C: in doubt by rate, no heat for an hour", () => {
    const box = Box.alwaysAt(both(25.4)).sees({ "thermometer-1": "nothing" }).after(2);
    box.sees({ "thermometer-2": 21.5 }).after(60);
    expect(box.record.thermometers[1].doubt).toBe("rate");
    // The cell's own says 25.4 °C: above the band. Nothing is cold.
    expect(box.heaterMs).toBe(0);
  });

  test("second at 23.5 °C, first lost, cell 25.4 °C: in doubt by rate, no heat for an hour", () => {
    const box = Box.alwaysAt(both(25.4)).sees({ "thermometer-1": "nothing" }).after(2);
    box.sees({ "thermometer-2": 23.5 }).after(60);
    expect(box.record.thermometers[1].doubt).toBe("rate");
    expect(box.heaterMs).toBe(0);
  });
});

describe("a hold", () => {
  test("hold of an hour in the test for a weld, room cools since: no lock", () => {
    const box = Box.alwaysAt(both(25.5)).drifts(25.9, 0.8);
    expect(box.heatWhy).toBe("heating-while-off");
    box.asks({ kind: "hold", at: "network", minutes: 60 });
    // The sun is gone before there is a rate again.
    box.drifts(26.1, 0.2).drifts(25.8, 0.3);
    expect(box.heatLatch).toBeNull();
  });

  test("hold of 2 h in the test for a weld, no rate known: no alarm heating-while-off", () => {
    const box = Box.alwaysAt(both(25.5)).drifts(25.9, 1);
    expect(box.heatWhy).toBe("heating-while-off");
    box.asks({ kind: "hold", at: "network", minutes: 120 }).after(50);
    expect(alarms(box)).not.toContain("heating-while-off");
  });

  test("heater works, water 1.1 K colder in a hold: no finding", () => {
    const box = Box.alwaysAt(both(24)).after(1).drifts(24.7, 1.1);
    expect(box.heaterOn).toBe(true);
    box.asks({ kind: "hold", at: "tank", minutes: 12 }).drifts(23.6, 12).after(7);
    box.drifts(24.5, 1.1);
    expect(box.durable(HEAT["heater-1"]).noEffect).toBe(false);
  });

  test("60 min at the tank, then 5 min over the network, killed after 50: still active 15 min later", () => {
    const box = Box.atRest(both(24)).asks({ kind: "hold", at: "tank", minutes: 60 }).after(50);
    box.asks({ kind: "hold", at: "network", minutes: 5 });
    expect(box.accepted).toBe(true);
    box.afterSeconds(1).isKilled(0).after(15);
    expect(box.record.hold.active).toBe(true);
  });

  test("surge missing, 22.5 °C: cautious heating, also after a hold over the network", () => {
    const box = Box.atRest(both(22.5), FAR).after(3);
    box.sees({ "return-sensor": "gone" }).after(2).sees(LOW).after(20);
    expect(box.heat.state).toBe("cautious");
    const heated = box.heaterMs;
    expect(heated).toBeGreaterThan(0);
    box.asks({ kind: "hold", at: "network", minutes: 1 }).after(60);
    expect(box.heaterMs).toBeGreaterThan(heated + 10 * 60_000);
  });

  test.each(["corrupt", "missing"] as const)(
    "memory %s with the question open: no pour in ten hours after the clear",
    (found) => {
      const box = Box.atRest().asks({ kind: "hold", at: "tank", minutes: 5 }).sees(LOW).after(8);
      expect(box.record.hold.question).toBe(true);
      box.isKilled(0, found).after(16).asks({ kind: "hand-test", at: "tank", salinity: 35 });
      const { occurrence = 0 } = box.record.topOff.latch ?? {};
      box.asks({ kind: "clear", machine: "top-off", occurrence, at: "tank" });
      expect(box.accepted).toBe(true);
      // Ten hours, for the bucket of a lost memory fills slowly.
      for (let hour = 0; hour < 10; hour++) box.after(60);
      expect(box.pumpMs).toBe(0);
    },
  );
});

test("hold question open, memory falls back to before the hold: question open", () => {
  const box = Box.atRest();
  const { onDisk } = box;
  box.asks({ kind: "hold", at: "tank", minutes: 5 }).sees(LOW).after(8);
  box.isKilled(0, "older", onDisk).after(16);
  expect(box.record.hold.question).toBe(true);
});

describe("an undo", () => {
  test("earlier calibration undone within a session: accept refused, or right at 1.045", () => {
    const box = Box.atRest();
    const taken = () => {
      calibrates(box, { step: "begin", session: "conductivity" }).sees({ conductivity: 0.02 }).afterSeconds(2);
      calibrates(box, { step: "dry" })
        .sees({ conductivity: SEA / 1.045 })
        .afterSeconds(70);
      calibrates(box, { step: "standard", standard: "sea-water-35" });
    };
    taken();
    calibrates(box, { step: "accept" });
    taken();
    const number = box.record.calibration.inForce.conductivity.number as number;
    box.asks({ kind: "undo-calibration", at: "tank", number });
    calibrates(box, { step: "accept" }).afterSeconds(30);
    // Refused, or right: the cell reads 4.5 % too little.
    if (box.record.calibration.inForce.conductivity.number !== null) {
      expect(box.record.calibration.inForce.conductivity.value).toBeCloseTo(1.045, 3);
    }
  });

  test("earlier correction undone within a session: reference refused, or read as 25 °C afterwards", () => {
    const box = Box.atRest(both(24.8));
    const begun = () => calibrates(box, { step: "begin", session: "thermometer-1" }).after(3);
    calibrates(begun(), { step: "reference", referenceC: 25 }).after(2);
    begun();
    const number = box.record.calibration.inForce["thermometer-1"].number as number;
    box.asks({ kind: "undo-calibration", at: "tank", number });
    calibrates(box, { step: "reference", referenceC: 25 });
    if (box.accepted) expect(box.after(2).record.thermometers[0].value).toBeCloseTo(25, 1);
  });

  test("thermometer's correction undone: pump, flow measured twice, stays proven", () => {
    const box = Box.atRest();
    for (const jug of ["the first", "the second"]) {
      box.asks({ kind: "prove", at: "tank", part: "top-off-pump", seconds: 20 });
      box.until(({ record }) => record.proving.run === null && record.topOff.state === "resting", 5);
      box.asks({ kind: "proven", at: "tank", part: "top-off-pump", ml: 500 });
      expect(box.accepted, `${jug} jug: ${box.outcome}`).toBe(true);
    }
    const before = box.afterSeconds(2).record.proving.parts["top-off-pump"].standing;
    box.asks({ kind: "undo-calibration", at: "tank", number: 1 }).afterSeconds(1);
    expect(box.accepted).toBe(true);
    expect([before, box.record.proving.parts["top-off-pump"].standing]).toEqual(["proven", "proven"]);
    expect(box.record.topOff.blockers).not.toContain("not-proven");
  });

  test("pump-off level measured and proven, then undone: level no longer proven", () => {
    const box = Box.atRest().sees({ "return-sensor": "gone" }).afterSeconds(5);
    box.asks({ kind: "prove", at: "tank", part: "pump-off-level", seconds: 120 }).after(3);
    box.asks({ kind: "proven", at: "tank", part: "pump-off-level", mm: 55 });
    expect(box.accepted).toBe(true);
    const number = box.record.calibration.inForce["pump-off-level-mm"].number as number;
    box.asks({ kind: "undo-calibration", at: "tank", number }).afterSeconds(1);
    expect(box.record.proving.parts["pump-off-level"].standing).not.toBe("proven");
  });
});

test("high float moved down to 65 mm: level no longer proven", () => {
  const box = Box.atRest();
  calibrates(box, { step: "mark", mark: "high-float-mm", mm: 65 }).afterSeconds(1);
  expect(box.accepted).toBe(true);
  expect(box.record.proving.parts["pump-off-level"].standing).not.toBe("proven");
});

describe("siphon's run with the water low", () => {
  test("settling 10 s, while the jug is watched: pump stays off", () => {
    const settings = { ...SETTINGS, topOff: { ...SETTINGS.topOff, settleS: 10 } };
    const box = Box.atRest(LOW, settings).asks({ kind: "prove", at: "tank", part: "siphon", seconds: 30 });
    box.until(({ record }) => record.proving.run?.phase === "watching", 2);
    while (box.record.proving.run !== null) expect(box.scan().pumpOn).toBe(false);
  });

  test("settling as usual: pump off also in the 5 s after the watch", () => {
    const box = Box.atRest(LOW).asks({ kind: "prove", at: "tank", part: "siphon", seconds: 30 });
    box.until(({ record }) => record.proving.run?.phase === "watching", 2);
    box.until(({ record }) => record.proving.run === null, 2);
    const { pumpMs } = box;
    expect(box.afterSeconds(5).pumpMs).toBe(pumpMs);
  });
});

describe("alarms", () => {
  test("heater without effect, acknowledged, water at 25.1 °C: alarm stands while the finding does", () => {
    const box = new Box(SETTINGS, both(24)).after(70);
    expect(alarms(box)).toContain("heater-no-effect");
    box.asks({ kind: "acknowledge", at: "network", alarm: "all" }).sees(both(25.1)).after(40);
    expect(box.heat.finding).not.toBeNull();
    expect(box.record.alarms.map(({ id }) => id)).toContain("heater-no-effect");
  });

  test("no pump fitted, 12 h: no alarm top-off-withheld", () => {
    const pin = (number: number) => ({ board: "io", pin: number, energisedLevel: "high" });
    const settings = settingsSchema.parse({
      boards: { io: { kind: "firmata", port: "/dev/a" } },
      outputs: { "heater-1": pin(2), "heat-guard": pin(3) },
    });
    const none = "not-fitted";
    const box = new Box(settings, {
      "working-float": none,
      "high-float": none,
      "low-float": none,
      "reservoir-float": none,
    });
    for (let hour = 0; hour < 12; hour++) box.after(60);
    expect(alarms(box)).not.toContain("top-off-withheld");
  });

  test("clear of failed pours with the low float unknown: refused for that float, not for the pours", () => {
    const box = failed().sees({ "low-float": "nothing" }).afterSeconds(2);
    box.asks({ kind: "clear", machine: "top-off", occurrence: 1, at: "tank" });
    expect(box.accepted).toBe(false);
    expect(box.outcome).not.toMatch(/Several pours/);
  });

  test("return pump off for 20 min after a hold, float full: no alarm hold-question", () => {
    const box = Box.atRest().asks({ kind: "hold", at: "network", minutes: 10 });
    box.sees({ "return-sensor": "gone" }).after(30);
    expect(box.record.contacts["working-float"].position).toBe("on");
    expect(alarms(box)).not.toContain("hold-question");
  });
});

test("10 L refilled into a reservoir of 10 L by count, dry between: locked as emptied-early", () => {
  const box = Box.atRest().asks({ kind: "refill", at: "tank", litres: 10 });
  box.sees({ "reservoir-float": "dry" }).after(10);
  // Ten litres were left by the count, and ten went in again.
  box.asks({ kind: "refill", at: "tank", litres: 10 }).sees({ "reservoir-float": "wet" }).after(20);
  expect(box.latch).toBe("emptied-early");
});
