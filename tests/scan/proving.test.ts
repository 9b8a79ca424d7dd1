import { describe, expect, test } from "vitest";
import { PROVING } from "../../controller/decisions/proving/key.ts";
import { nothingProven, setProof, voided } from "../../controller/decisions/proving/memory.ts";
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
  test("neither pours nor heats before its parts were seen to work", () => {
    const box = newBox()
      .sees({ ...LOW, ...COLD })
      .after(240);
    expect(box.pumpMs).toBe(0);
    expect(box.heaterMs).toBe(0);
    expect(box.record.topOff.blockers).toContain("not-proven");
    expect(box.heatWhy).toBe("not-proven");
  });

  test("heats once heater and heat guard were run and called proven by somebody who saw it", () => {
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

  test("pours once every part that top-off stands on was seen to work", () => {
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

  test.each(PROVEN_BEFORE_TOP_OFF)("does not pour while one part is not proven: %s", (part) => {
    const box = Box.atRest();
    box.startsWith(PROVING, voided(box.durable(PROVING), part)).after(16);
    expect(box.sees(LOW).after(30).pumpMs).toBe(0);
    expect(box.record.topOff.blockers).toContain("not-proven");
    expect(box.record.proving.next).toBe(part);
  });
});

describe("a proving run", () => {
  test.each([
    ["at a distance", { at: "network", seconds: 10 }],
    ["for longer than half a minute", { at: "tank", seconds: 31 }],
    ["for no time", { at: "tank", seconds: 0 }],
  ] as const)("is refused %s", (_, { at, seconds }) => {
    const box = Box.atRest();
    expect(box.asks({ kind: "prove", at, part: "top-off-pump", seconds }).accepted).toBe(false);
    expect(box.after(1).pumpMs).toBe(0);
  });

  test("never begins before its litres are on disk", () => {
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
  ] as [string, Sight][])("is stopped in the same scan by %s, and proves nothing", (_, sight) => {
    const box = Box.atRest().asks({ kind: "prove", at: "tank", part: "top-off-pump", seconds: 20 }).afterSeconds(5);
    expect(box.pumpOn).toBe(true);
    expect(box.sees(sight).scan().pumpOn).toBe(false);
    expect(box.asks({ kind: "proven", at: "tank", part: "top-off-pump" }).accepted).toBe(false);
  });

  test("takes its litres from the budget, and a kill in the middle gives none back", () => {
    const box = Box.atRest();
    const before = box.record.topOff.bucketL;
    box.asks({ kind: "prove", at: "tank", part: "top-off-pump", seconds: 20 }).afterSeconds(5);
    box.isKilled(0).after(1);
    // 20 s at 1.5 L/min and a quarter more, with the coast.
    expect(before - box.record.topOff.bucketL).toBeGreaterThan(0.6);
    expect(box.pumpOn).toBe(false);
  });

  test("of the heater ends at the cut-out", () => {
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

  test("warns after 35 days and stops nothing", () => {
    expect(alarmed(aged(PROOF_WARNING_MS - DAY_MS))).toBe(false);
    const box = aged(PROOF_WARNING_MS);
    expect(alarmed(box)).toBe(true);
    box.sees(LOW).untilPouring(3);
  });

  test("earns only the lowest credible evaporation after 60 days", () => {
    const earned = (box: Box) =>
      box.startsWith(TOP_OFF, { ...box.topOff, bucketUl: 0 }).after(60).record.topOff.bucketL;
    expect(earned(aged(0))).toBeCloseTo(3 / 24, 2);
    expect(earned(aged(PROOF_OVERDUE_MS))).toBeCloseTo(1.2 / 24, 2);
  });

  test("is due after an off-time that nobody knows, and older by one that is known", () => {
    const box = Box.atRest()
      .isKilled(3 * DAY_MS)
      .after(1);
    expect(box.record.proofs["high-float"]).toBeGreaterThanOrEqual(3 * DAY_MS);
    expect(Box.atRest().isKilled(null).after(1).record.proofs["high-float"]).toBeGreaterThanOrEqual(PROOF_WARNING_MS);
  });
});

describe("the proof that a stop of the return pump gives for nothing", () => {
  test("the working float that rises with the water is well", () => {
    const box = Box.atRest(LOW).sees({ "return-sensor": "gone" }).afterSeconds(20);
    box.sees({ "working-float": "wet" }).afterSeconds(120);
    expect(box.record.topOff.latch).toBeNull();
  });

  test("the one that stays low for a minute is stuck, and top-off locks", () => {
    const box = Box.atRest(LOW).sees({ "return-sensor": "gone" }).afterSeconds(59);
    expect(box.record.topOff.latch).toBeNull();
    expect(box.afterSeconds(2).record.topOff.latch?.reason).toBe("working-float-stuck");
  });

  test("a pump that has been off for long proves nothing about a float that falls later", () => {
    const box = Box.atRest().sees({ "return-sensor": "gone" }).after(5).sees(LOW).after(10);
    expect(box.record.topOff.latch).toBeNull();
  });

  test("a float that was up and sinks long before the water can have evaporated shows a wrong sensor, and locks nothing", () => {
    const box = Box.atRest().sees({ "return-sensor": "gone" }).after(120);
    expect(box.record.topOff.surgeMissing).toBe(false);
    box.sees(LOW).afterSeconds(62);
    expect(box.record.topOff.surgeMissing).toBe(true);
    expect(box.record.topOff.latch).toBeNull();
    expect(box.pumpMs).toBe(0);
    box.sees({ "return-sensor": "there" }).afterSeconds(1);
    expect(box.record.topOff.surgeMissing).toBe(false);
  });

  test("a float that sinks after most of a day without flow is what evaporation does", () => {
    const box = Box.atRest().sees({ "return-sensor": "gone" });
    for (let hour = 0; hour < 10; hour++) box.after(60, 60_000);
    expect(box.sees(LOW).after(5).record.topOff.surgeMissing).toBe(false);
  });

  test("a sensor that the water contradicts lets a cold box be heated with care, and only a cold one", () => {
    const settings = { ...SETTINGS, heat: { ...SETTINGS.heat, thermometerSharesHeaterChamber: false } };
    const box = Box.atRest({}, settings).sees({ "return-sensor": "gone" }).sees(LOW).after(2);
    expect(box.record.topOff.surgeMissing).toBe(true);
    expect(box.drifts(23.2, 1).after(20).heaterOn).toBe(false);
    expect(box.heat.why).toBe("no-flow");
    const before = box.heaterMs;
    box.drifts(22.8, 1).after(60);
    expect(box.heat.state).toBe("cautious");
    expect(box.heaterMs - before).toBeGreaterThan(10 * 60_000);
    expect(box.heaterMs - before).toBeLessThan(45 * 60_000);
  });

  test("a sensor that fell silent is no sensor that says stopped: the heat waits", () => {
    const settings = { ...SETTINGS, heat: { ...SETTINGS.heat, thermometerSharesHeaterChamber: false } };
    const box = Box.atRest(LOW, settings).sees({ "return-sensor": "nothing" }).drifts(22.5, 2).after(30);
    expect(box.heat.why).toBe("no-flow");
    expect(box.heaterOn).toBe(false);
  });

  test("hands in the tank explain a float that does not rise", () => {
    const box = Box.atRest(LOW).asks({ kind: "hold", at: "network", minutes: 30 });
    expect(box.sees({ "return-sensor": "gone" }).after(5).record.topOff.latch).toBeNull();
  });
});

test("an id that was used for another request is refused, not answered as if it were done", () => {
  const box = Box.atRest().asks({ id: "a", kind: "hold", at: "network", minutes: 5 });
  expect(box.asks({ id: "a", kind: "hold", at: "network", minutes: 5 }).accepted).toBe(true);
  box.asks({ id: "a", kind: "hold", at: "network", minutes: 60 });
  expect(box.accepted).toBe(false);
  expect(box.record.hold.leftMs).toBeLessThanOrEqual(5 * 60_000);
});
