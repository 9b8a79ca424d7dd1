import { describe, expect, test } from "vitest";
import { PROVING } from "../../controller/decisions/proving/key.ts";
import { everythingProven, nothingProven, setProof, voided } from "../../controller/decisions/proving/memory.ts";
import { TOP_OFF } from "../../controller/decisions/top-off/key.ts";
import { PROVEN_BEFORE_TOP_OFF } from "../../controller/decisions/top-off/observation.ts";
import { PROOF_OVERDUE_MS, PROOF_WARNING_MS } from "../../shared/settings/limits.ts";
import { Box, SETTINGS, type Sight, withStored } from "./box.ts";
import { Prover } from "./prover.ts";

/** Stories of parts that are shown to work before they are trusted. */

const LOW: Sight = { "working-float": "dry" };
const COLD: Sight = { "thermometer-1": 24, "thermometer-2": 24, probeTemperature: 24 };
const DAY_MS = 86_400_000;

/** A box that never ran: somebody has looked at the water, measured it, and cleared the lock of the missing memory. */
function newBox(): Box {
  const box = new Box().starts(null, { memory: "new", offMs: null }).after(16);
  box.asks({ kind: "hand-test", at: "tank", salinity: 35 });
  const occurrence = box.record.topOff.latch?.occurrence ?? 0;
  return box.asks({ kind: "clear", at: "tank", machine: "top-off", occurrence }).after(3);
}

describe("a new box", () => {
  test("no part proven, water low and cold for 4 h: no pour, no heat, both not-proven", () => {
    const box = newBox()
      .sees({ ...LOW, ...COLD })
      .after(240);
    expect(box.pumpMs).toBe(0);
    expect(box.heaterMs).toBe(0);
    expect(box.record.topOff.blockers).toContain("not-proven");
    expect(box.heatWhy).toBe("not-proven");
  });

  test("heater run of 30 s and called proven: still no heat; heat guard too: heat", () => {
    const box = newBox().drifts(24.5, 2);
    expect(box.asks({ kind: "proven", at: "tank", part: "heater-1" }).accepted).toBe(false);
    expect(box.asks({ kind: "prove", at: "tank", part: "heater-1", seconds: 30 }).accepted).toBe(true);
    box.afterSeconds(40);
    expect(box.heaterMs).toBeGreaterThanOrEqual(29_500);
    expect(box.heaterMs).toBeLessThanOrEqual(30_500);
    expect(box.asks({ kind: "proven", at: "tank", part: "heater-1" }).accepted).toBe(true);
    expect(box.after(3).heatWhy).toBe("not-proven");
    new Prover(box).runs("heat-guard", 10).says("heat-guard");
    box.untilHeating(3);
  });

  test("every part of the water proven: pours within 5 min of low; pump's reading is 250 mL in 9.75 s", () => {
    const kept = withStored(Box.atRest().onDisk, PROVING, nothingProven(SETTINGS));
    const box = new Box().starts(kept, { memory: "sound", offMs: 0 }).after(16);
    expect(box.asks({ kind: "proven", at: "tank", part: "high-float" }).accepted).toBe(false);
    new Prover(box).water();
    box.after(10).sees(LOW);
    box.untilPouring(5);
    expect(box.record.proving.parts["top-off-pump"]).toMatchObject({
      standing: "proven",
      // The run stops short of its ten seconds, so that a late scan cannot make it longer.
      reading: { value: 250 / 9.75, unit: "mL/s" },
    });
  });

  test.each(PROVEN_BEFORE_TOP_OFF)(
    "one part not proven, water low for 30 min: no pour, next to prove is it: %s",
    (part) => {
      const box = Box.atRest();
      box.startsWith(PROVING, voided(box.durable(PROVING), part)).after(16);
      expect(box.sees(LOW).after(30).pumpMs).toBe(0);
      expect(box.record.topOff.blockers).toContain("not-proven");
      expect(box.record.proving.next).toBe(part);
    },
  );
});

describe("a proving run", () => {
  test.each([
    ["at a distance", { at: "network", seconds: 10 }],
    ["for longer than half a minute", { at: "tank", seconds: 31 }],
    ["for no time", { at: "tank", seconds: 0 }],
  ] as const)("refused %s: no pump", (_, { at, seconds }) => {
    const box = Box.atRest();
    expect(box.asks({ kind: "prove", at, part: "top-off-pump", seconds }).accepted).toBe(false);
    expect(box.after(1).pumpMs).toBe(0);
  });

  test("disk slow: pump off as waiting-for-disk; disk working: pump on", () => {
    const box = Box.atRest({ disk: "slow" });
    expect(box.asks({ kind: "prove", at: "tank", part: "top-off-pump", seconds: 10 }).accepted).toBe(true);
    expect(box.afterSeconds(10).pumpMs).toBe(0);
    expect(box.why).toBe("waiting-for-disk");
    expect(box.sees({ disk: "working" }).afterSeconds(5).pumpOn).toBe(true);
  });

  test.each([
    ["the high float", { "high-float": "wet" }],
    ["water on the floor", { "floor-sensor": "wet" }],
    ["an empty reservoir", { "reservoir-float": "dry" }],
    ["a silent board", { board: "silent" }],
    ["a float that nobody can read", { "working-float": "no-answer" }],
  ] as [string, Sight][])("stopped in the same scan by %s; proven refused", (_, sight) => {
    const box = Box.atRest().asks({ kind: "prove", at: "tank", part: "top-off-pump", seconds: 20 }).afterSeconds(5);
    expect(box.pumpOn).toBe(true);
    expect(box.sees(sight).scan().pumpOn).toBe(false);
    expect(box.asks({ kind: "proven", at: "tank", part: "top-off-pump" }).accepted).toBe(false);
  });

  test("killed 5 s into 20 s: the whole run's litres stay out of the bucket, pump off", () => {
    const box = Box.atRest();
    const before = box.record.topOff.bucketL;
    box.asks({ kind: "prove", at: "tank", part: "top-off-pump", seconds: 20 }).afterSeconds(5);
    box.isKilled(0).after(1);
    // 20 s at 1.5 L/min and a quarter more, with the coast.
    expect(before - box.record.topOff.bucketL).toBeGreaterThan(0.6);
    expect(box.pumpOn).toBe(false);
  });

  test("28.6 °C in the heater's run: heater off within 2 s", () => {
    const box = Box.atRest().asks({ kind: "prove", at: "tank", part: "heater-1", seconds: 60 }).afterSeconds(5);
    expect(box.heaterOn).toBe(true);
    expect(box.sees({ "thermometer-1": 28.6 }).afterSeconds(2).heaterOn).toBe(false);
  });
});

describe("a proof that grows old", () => {
  const aged = (ageMs: number) => {
    const box = Box.atRest();
    const proofs = box.durable(PROVING);
    const old = setProof(proofs, "high-float", { ...proofs.parts["high-float"], ageMs });
    return box.startsWith(PROVING, old).after(16);
  };
  const alarmed = (box: Box) => box.record.alarms.some(({ id }) => id === "high-float-proof-due");

  test("34 days: no alarm; 35 days: alarm, pours all the same", () => {
    expect(alarmed(aged(PROOF_WARNING_MS - DAY_MS))).toBe(false);
    const box = aged(PROOF_WARNING_MS);
    expect(alarmed(box)).toBe(true);
    box.sees(LOW).untilPouring(3);
  });

  test("60 days: an empty bucket refills at 1.2 L a day, not at 3", () => {
    const earned = (box: Box) =>
      box.startsWith(TOP_OFF, { ...box.topOff, bucketUl: 0 }).after(60).record.topOff.bucketL;
    expect(earned(aged(0))).toBeCloseTo(3 / 24, 2);
    expect(earned(aged(PROOF_OVERDUE_MS))).toBeCloseTo(1.2 / 24, 2);
  });

  test("off for 3 days: older by 3 days; off for an unknown time: due", () => {
    const box = Box.atRest()
      .isKilled(3 * DAY_MS)
      .after(1);
    expect(box.record.proofs["high-float"]).toBeGreaterThanOrEqual(3 * DAY_MS);
    expect(Box.atRest().isKilled(null).after(1).record.proofs["high-float"]).toBeGreaterThanOrEqual(PROOF_WARNING_MS);
  });
});

describe("a stop of the return pump as a proof of the working float", () => {
  test("float low, rises 20 s after the stop: no lock", () => {
    const box = Box.atRest(LOW).sees({ "return-sensor": "gone" }).afterSeconds(20);
    box.sees({ "working-float": "wet" }).afterSeconds(120);
    expect(box.record.topOff.latch).toBeNull();
  });

  test("float low: no lock for 59 s, locked as working-float-stuck after 61", () => {
    const box = Box.atRest(LOW).sees({ "return-sensor": "gone" }).afterSeconds(59);
    expect(box.record.topOff.latch).toBeNull();
    expect(box.afterSeconds(2).record.topOff.latch?.reason).toBe("working-float-stuck");
  });

  test("float full for 5 min after the stop, then low for 10: no lock", () => {
    const box = Box.atRest().sees({ "return-sensor": "gone" }).after(5).sees(LOW).after(10);
    expect(box.record.topOff.latch).toBeNull();
  });

  test("float full for 2 h after the stop, then low: surge missing, no lock, no pour; pump back: forgotten", () => {
    const box = Box.atRest().sees({ "return-sensor": "gone" }).after(120);
    expect(box.record.topOff.surgeMissing).toBe(false);
    box.sees(LOW).afterSeconds(62);
    expect(box.record.topOff.surgeMissing).toBe(true);
    expect(box.record.topOff.latch).toBeNull();
    expect(box.pumpMs).toBe(0);
    box.sees({ "return-sensor": "there" }).afterSeconds(1);
    expect(box.record.topOff.surgeMissing).toBe(false);
  });

  test("float low ten hours after the stop: no surge missing", () => {
    const box = Box.atRest().sees({ "return-sensor": "gone" });
    for (let hour = 0; hour < 10; hour++) box.after(60, 60_000);
    expect(box.sees(LOW).after(5).record.topOff.surgeMissing).toBe(false);
  });

  test("surge missing, heater far from its thermometer, thermostat not proven: no heat at 23.2 °C, cautious heating at 22.8", () => {
    const settings = { ...SETTINGS, heat: { ...SETTINGS.heat, thermometerSharesHeaterChamber: false } };
    const none = { ageMs: null, by: null, reading: null, changed: null };
    const box = Box.atRest({}, settings);
    box.remembers(PROVING, setProof(everythingProven(settings), "heater-thermostat", none));
    box.sees({ "return-sensor": "gone" }).sees(LOW).after(2);
    expect(box.record.topOff.surgeMissing).toBe(true);
    expect(box.drifts(23.2, 1).after(20).heaterOn).toBe(false);
    expect(box.heat.why).toBe("no-flow");
    const before = box.heaterMs;
    box.drifts(22.8, 1).after(4);
    expect(box.heat.state).toBe("cautious");
    expect(box.heaterMs - before).toBeGreaterThan(2 * 60_000);
    expect(box.heaterMs - before).toBeLessThan(10 * 60_000);
  });

  test("the same, thermostat proven: cautious heating, at most half of the time, as soon as the surge is missing", () => {
    const settings = { ...SETTINGS, heat: { ...SETTINGS.heat, thermometerSharesHeaterChamber: false } };
    const box = Box.atRest({}, settings).sees({ "return-sensor": "gone" }).sees(LOW).after(2);
    const { heaterMs } = box.drifts(24.6, 1);
    box.after(20);
    expect(box.heat.state).toBe("cautious");
    expect(box.heaterMs - heaterMs).toBeGreaterThan(5 * 60_000);
    expect(box.heaterMs - heaterMs).toBeLessThanOrEqual(10.5 * 60_000);
  });

  test("return sensor silent, 22.5 °C: no heat, no-flow", () => {
    const settings = { ...SETTINGS, heat: { ...SETTINGS.heat, thermometerSharesHeaterChamber: false } };
    const box = Box.atRest(LOW, settings).sees({ "return-sensor": "nothing" }).drifts(22.5, 2).after(30);
    expect(box.heat.why).toBe("no-flow");
    expect(box.heaterOn).toBe(false);
  });

  test("stop in a hold, float stays low: no lock", () => {
    const box = Box.atRest(LOW).asks({ kind: "hold", at: "network", minutes: 30 });
    expect(box.sees({ "return-sensor": "gone" }).after(5).record.topOff.latch).toBeNull();
  });
});

test("id used for a hold of 5 min: the same again is answered as accepted, one of 60 min refused", () => {
  const box = Box.atRest().asks({ id: "a", kind: "hold", at: "network", minutes: 5 });
  expect(box.asks({ id: "a", kind: "hold", at: "network", minutes: 5 }).accepted).toBe(true);
  box.asks({ id: "a", kind: "hold", at: "network", minutes: 60 });
  expect(box.accepted).toBe(false);
  expect(box.record.hold.leftMs).toBeLessThanOrEqual(5 * 60_000);
});
