import { describe, expect, test } from "vitest";
import { CALIBRATION } from "../../controller/decisions/calibration/key.ts";
import { HEAT } from "../../controller/decisions/heat/key.ts";
import { PROVING } from "../../controller/decisions/proving/key.ts";
import type { ProofsTestimony } from "../../controller/decisions/proving/memory.ts";
import { TOP_OFF } from "../../controller/decisions/top-off/key.ts";
import { readWitness, witnessOf } from "../../controller/scan/witness.ts";
import type { ProofPart } from "../../shared/contract/index.ts";
import { Box, SETTINGS, type Sight } from "./box.ts";

/** What the witness beside a memory that is lost keeps, and what it does not. */

const LOW: Sight = { "working-float": "dry" };
const COLD: Sight = { "thermometer-1": 24, "thermometer-2": 24, probeTemperature: 24 };
const LOST = ["missing", "corrupt", "older"] as const;

/** What it remembers now reaches the disk. */
const kept = (box: Box): Box => box.asks({ kind: "acknowledge", alarm: "all", at: "tank" }).scan().scan();

function unproven(box: Box, part: ProofPart): Box {
  const { parts } = box.durable(PROVING);
  return kept(box.remembers(PROVING, { parts: { ...parts, [part]: { ...parts[part], ageMs: null } } }));
}

/** As somebody does who comes home to it. */
function opened(box: Box): Box {
  box.asks({ kind: "clear", machine: "top-off", occurrence: box.record.topOff.latch?.occurrence ?? 0, at: "tank" });
  expect(box.accepted).toBe(true);
  box.asks({ kind: "hand-test", salinity: 35, at: "tank" });
  return box;
}

const standing = (box: Box, part: ProofPart) => box.record.proving.parts[part].standing;

describe.each(LOST)("a memory that is %s", (found) => {
  test("siphon never proven: still never, high float overdue; after clear and hand test no pour in 3 h", () => {
    const box = opened(unproven(Box.atRest(LOW), "siphon").isKilled(null, found).after(30));
    expect(standing(box, "siphon")).toBe("never");
    expect(standing(box, "high-float")).toBe("overdue");
    box.after(3 * 60, 1000);
    expect(box.pumpMs).toBe(0);
    expect(box.record.topOff.blockers).toContain("not-proven");
  });

  test("all proven before: overdue, heat within 5 min, bucket refills only at the lowest credible evaporation, pours within 8 h", () => {
    const box = Box.atRest({ ...LOW, ...COLD })
      .isKilled(null, found)
      .scan();
    for (const part of ["heater-1", "heat-guard", "siphon", "high-float"] as const) {
      expect(standing(box, part)).toBe("overdue");
    }
    box.untilHeating(5);
    opened(box.after(25));
    const before = box.topOff.bucketUl;
    box.after(60);
    const perHourUl = (1.5 * 0.8 * 1e6) / 24;
    expect(box.topOff.bucketUl - before).toBeLessThan(perHourUl * 1.01);
    // Earned slowly, but earned: nobody's tank dries out because a card died.
    box.until(({ pumpOn }) => pumpOn, 8 * 60, 500);
  });

  test("witness lost too: nothing proven, no heat, no pour after the clear", () => {
    const box = Box.atRest({ ...LOW, ...COLD });
    box.witnessLost = true;
    box.isKilled(null, found).after(30);
    expect(standing(box, "high-float")).toBe("never");
    expect(standing(box, "heater-1")).toBe("never");
    expect(box.heaterMs).toBe(0);
    expect(box.heatWhy).toBe("not-proven");
    opened(box).after(60);
    expect(box.pumpMs).toBe(0);
  });

  test("flow calibrated at 2.4 or 0.9 L/min, settings 1.5: pours charged by the higher of the two", () => {
    const flow = (lPerMin: number) => {
      const box = Box.atRest(LOW);
      const { values } = box.durable(CALIBRATION);
      const known = { ...values, "top-off-flow": { value: lPerMin, doubt: 0.1, number: 9 } };
      return kept(box.remembers(CALIBRATION, { values: known, numbers: 9 }));
    };
    for (const [calibrated, counts] of [
      [2.4, 2.4],
      [0.9, SETTINGS.topOff.provenFlowLPerMin],
    ] as const) {
      const box = flow(calibrated);
      // Whoever holds an older copy has nothing of that flow in it.
      box.isKilled(null, found, Box.atRest(LOW).onDisk).scan();
      expect(box.record.calibration.inForce["top-off-flow"].value).toBe(counts);
      opened(box.after(30));
      box.until(({ pumpOn }) => pumpOn, 8 * 60, 500);
      const { pourUl } = box.topOff;
      box.scan(1000);
      expect(box.topOff.pourUl - pourUl).toBeCloseTo((counts * 1.25 * 1e6) / 60, 0);
    }
  });

  test("occurrence numbers 5 and 3 before: new ones are above them, above that when lost again; clear of the first number refused", () => {
    const box = Box.atRest().remembers(TOP_OFF, { occurrences: 5 }).remembers(HEAT["heater-1"], { occurrences: 3 });
    kept(box);
    box.isKilled(null, found).scan();
    expect(box.record.topOff.latch?.occurrence).toBeGreaterThan(5);
    expect(box.durable(HEAT["heater-1"]).occurrences).toBeGreaterThan(3);
    // Lost once more: again another number.
    const first = box.record.topOff.latch?.occurrence ?? 0;
    box.scan().scan().isKilled(null, found).scan();
    expect(box.record.topOff.latch?.occurrence).toBeGreaterThan(first);
    box.asks({ kind: "clear", machine: "top-off", occurrence: first, at: "tank" });
    expect(box.accepted).toBe(false);
  });

  test("locked by high water before: that lock with guard open, clear refused over the network, taken at the tank", () => {
    const box = Box.atRest({ "high-float": "wet" }).afterSeconds(3).scan().scan();
    // Yesterday's copy knows nothing of it.
    box.sees({ "high-float": "dry" }).isKilled(null, found, Box.atRest().onDisk).after(2);
    expect(box.latch).toBe("high-float-wet");
    expect(box.topOff.guardLatched).toBe(true);
    const occurrence = box.record.topOff.latch?.occurrence ?? 0;
    expect(box.asks({ kind: "clear", machine: "top-off", occurrence, at: "network" }).accepted).toBe(false);
    expect(box.asks({ kind: "clear", machine: "top-off", occurrence, at: "tank" }).accepted).toBe(true);
  });

  test("lost 20 min into a hold of 30: 25 min later still active with heat off; over after 30", () => {
    const box = Box.atRest(COLD).asks({ kind: "hold", at: "tank", minutes: 30 }).after(20);
    box.isKilled(null, found, Box.atRest().onDisk).after(25);
    expect(box.record.hold).toMatchObject({ active: true, withHeat: true });
    expect(box.heaterMs).toBe(0);
    expect(box.commands["heat-guard"]).toBe(false);
    box.after(6);
    expect(box.record.hold.active).toBe(false);
  });

  test("heater found welded before: still locked, no heat, guard open", () => {
    const box = kept(
      Box.atRest(COLD).remembers(HEAT["heater-1"], {
        latch: { reason: "heater-welded", occurrence: 1 },
        occurrences: 1,
      }),
    );
    box.isKilled(null, found, Box.atRest().onDisk).after(30);
    expect(box.heatLatch).toBe("heater-welded");
    expect(box.heaterMs).toBe(0);
    expect(box.commands["heat-guard"]).toBe(false);
  });
});

describe.each(LOST)("a memory that is %s, of a box that heats with care", (found) => {
  const fallen = () => {
    const box = Box.atRest();
    for (let minute = 0; minute < 25; minute++) box.sees({ "thermometer-1": 25 - minute * 0.12 }).after(1);
    expect(box.record.thermometers[0].doubt).toBe("rate");
    return box.sees({ "thermometer-1": 22 }).after(1);
  };
  const doubts = (box: Box) => box.record.thermometers.map(({ doubt }) => doubt);

  test("one thermometer out of the water before: in doubt by rate, the other believed", () => {
    expect(doubts(fallen().isKilled(null, found, Box.atRest().onDisk).after(30))).toEqual(["rate", null]);
  });

  test("witness lost too: both thermometers in doubt for 5 min, believed after 11 by the cell's own", () => {
    const box = Box.atRest();
    box.witnessLost = true;
    box.isKilled(null, found).after(5);
    expect(doubts(box)).toEqual(["rate", "rate"]);
    expect(doubts(box.after(6))).toEqual([null, null]);
  });

  test("witness lost too, no cell: both in doubt until trust is told at the tank; over the network: refused", () => {
    const box = Box.atRest({ conductivity: "not-fitted" });
    box.witnessLost = true;
    box.isKilled(null, found).after(30);
    expect(doubts(box)).toEqual(["rate", "rate"]);
    expect(box.asks({ kind: "trust", part: "thermometer-1", at: "network" }).accepted).toBe(false);
    expect(box.asks({ kind: "trust", part: "thermometer-1", at: "tank" }).accepted).toBe(true);
    expect(doubts(box.after(11))).toEqual([null, null]);
  });

  test("heater found without effect before: cautious heating; clear of the old number refused, of the new one taken", () => {
    const box = kept(Box.atRest(COLD).remembers(HEAT["heater-1"], { noEffect: true, occurrences: 1 }));
    box.isKilled(null, found, Box.atRest(COLD).onDisk).after(20);
    expect(box.heatWhy).toBe("heater-no-effect");
    expect(box.heat.state).toBe("cautious");
    box.asks({ kind: "clear", machine: "heat", occurrence: 1, at: "tank" });
    expect(box.accepted).toBe(false);
    const occurrence = box.heat.finding?.occurrence ?? 0;
    expect(box.asks({ kind: "clear", machine: "heat", occurrence, at: "tank" }).accepted).toBe(true);
  });
});

test("new memory of a box that never ran: no question, no thermometer in doubt", () => {
  const box = new Box(SETTINGS, LOW).starts(null, { memory: "new", offMs: null }).after(2);
  expect(box.record.hold.question).toBe(false);
  expect(box.record.thermometers.map(({ doubt }) => doubt)).toEqual([null, null]);
});

test.each([
  ["missing", 0],
  ["sound", null],
] as const)("cell of unknown age, memory %s, off for %s: doubt of salinity larger by 0.05 at least", (found, offMs) => {
  const doubt = (box: Box) => box.record.quantities.salinity.uncertainty ?? 0;
  const box = Box.atRest();
  const fresh = doubt(box);
  box.isKilled(offMs, found).after(2);
  // A percent a month of fouling at about 35; off-time that is unknown makes them due.
  expect(doubt(box)).toBeGreaterThan(fresh + 0.05);
});

test("memory missing, witness saw the high float under other settings: its proof fallen", () => {
  const witness = witnessOf(Box.atRest().onDisk);
  const { proven } = witness.proving as ProofsTestimony;
  const other = { ...witness, proving: { proven: { ...proven, "high-float": { part: "another", port: "another" } } } };
  const box = Box.atRest().starts(null, { memory: "missing", offMs: null, witness: other }).scan();
  expect(standing(box, "high-float")).toBe("fallen");
  expect(box.record.proving.fallen.map(({ part }) => part)).toEqual(["high-float"]);
});

describe("the witness beside the memory", () => {
  const sound = () => JSON.parse(JSON.stringify(witnessOf(Box.atRest().onDisk)));

  test("written and read: the same", () => {
    expect(readWitness(sound())).toEqual(witnessOf(Box.atRest().onDisk));
  });

  test("as JSON: shorter than a block of the disk less 512 bytes", () => {
    expect(JSON.stringify(sound()).length).toBeLessThan(4096 - 512);
  });

  const spoilt: [machine: string, change: object][] = [
    ["proving", { proven: null }],
    ["proving", { proven: { siphon: {} } }],
    ["proving", { proven: { siphon: { part: "a", port: 5 } } }],
    ["calibration", { calibrations: "9" }],
    ["calibration", { flowLPerMin: -1 }],
    ["calibration", { flowLPerMin: "2" }],
    ["top-off", { lock: "bogus" }],
    ["top-off", { guardLocked: null }],
    ["heater-1", { lock: 5 }],
    ["heater-2", { noEffect: null }],
    ["thermometer-trust", { outOfWater: "thermometer-1" }],
    ["thermometer-trust", { outOfWater: ["room-thermometer"] }],
    ["hold", { holdMs: null }],
    ["hold", { holdMs: -1 }],
    ["hold", { withHeat: "no" }],
    ["hold", { question: 1 }],
  ];
  test.each(spoilt)("with what %s tells spoilt by %j: nothing of it is believed", (machine, change) => {
    expect(readWitness({ ...sound(), [machine]: { ...sound()[machine], ...change } })).toBeNull();
  });
  test.each([null, 5, "x", [], {}])("%j: nothing", (stored) => {
    expect(readWitness(stored)).toBeNull();
  });
});
