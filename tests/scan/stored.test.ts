import { readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, test } from "vitest";
import { CALIBRATION } from "../../controller/decisions/calibration/key.ts";
import { HEAT } from "../../controller/decisions/heat/key.ts";
import { HOLD } from "../../controller/decisions/hold/key.ts";
import { LEDGER } from "../../controller/decisions/ledger/key.ts";
import { EVERY_MACHINE } from "../../controller/decisions/list.ts";
import type { Key } from "../../controller/decisions/machine.ts";
import { PROVING } from "../../controller/decisions/proving/key.ts";
import { THERMOMETER_TRUST } from "../../controller/decisions/thermometer-trust.ts";
import { TOP_OFF } from "../../controller/decisions/top-off/key.ts";
import { decodeSlot } from "../../controller/record/slot.ts";
import { provenMemory, STORED_VERSION, type StoredMemory, toStore } from "../../controller/scan/memory.ts";
import { readMemory } from "../../controller/scan/stored.ts";
import { readWitness } from "../../controller/scan/witness.ts";
import { Box, readSound, SETTINGS } from "./box.ts";

/** Memory as it lies on the disk: what is believed of it, what is not, and what an earlier program has left. */

type Raw = { machines: Record<string, Record<string, unknown>> } & Record<string, unknown>;
const written = (): Raw => JSON.parse(JSON.stringify(toStore(provenMemory(SETTINGS))));
const own = <Durable>(memory: StoredMemory | null, { name }: Key<Durable, unknown, unknown>): Durable =>
  memory?.machines[name] as Durable;

describe("stored memory", () => {
  test("as it was written: sound, and the same", () => {
    expect(readMemory(written(), SETTINGS)).toEqual({ state: "sound", memory: written() });
  });
  test("of a box that has lived through pours, locks, a hold and calibrations: sound, and the same", () => {
    const box = Box.atRest({ "working-float": "dry" }).after(20);
    box.sees({ "high-float": "wet" }).afterSeconds(5).asks({ kind: "hold", at: "tank", minutes: 5 });
    box.asks({ kind: "calibrate", step: "mark", mark: "high-float-mm", mm: 75, at: "tank" }).scan();
    const stored = JSON.parse(JSON.stringify(box.onDisk));
    expect(box.latch).toBe("high-float-wet");
    expect(readMemory(stored, SETTINGS)).toEqual({ state: "sound", memory: stored });
  });

  const spoilt: [what: string, where: string, spoil: (raw: Raw) => void][] = [
    [
      "an amount null, as NaN is stored",
      "machines.top-off.excessUl",
      ({ machines }) => set(machines, "top-off", { excessUl: null }),
    ],
    [
      "an amount text",
      "machines.top-off.bucketUl",
      ({ machines }) => set(machines, "top-off", { bucketUl: "3000000" }),
    ],
    ["an amount below zero", "machines.top-off.dueUl", ({ machines }) => set(machines, "top-off", { dueUl: -1 })],
    ["a million litres", "machines.top-off.excessUl", ({ machines }) => set(machines, "top-off", { excessUl: 1e12 })],
    [
      "a debt of a million litres",
      "machines.top-off.bucketUl",
      ({ machines }) => set(machines, "top-off", { bucketUl: -1e12 }),
    ],
    [
      "an amount missing",
      "machines.top-off.failures",
      ({ machines }) => set(machines, "top-off", { failures: undefined }),
    ],
    ["half a failure", "machines.top-off.failures", ({ machines }) => set(machines, "top-off", { failures: 0.5 })],
    [
      "a flag a number",
      "machines.top-off.guardLatched",
      ({ machines }) => set(machines, "top-off", { guardLatched: 0 }),
    ],
    ["a latch no latch", "machines.top-off.latch", ({ machines }) => set(machines, "top-off", { latch: 5 })],
    [
      "a latch for no reason",
      "machines.top-off.latch.reason",
      ({ machines }) => set(machines, "top-off", { latch: { reason: "bogus", occurrence: 1 } }),
    ],
    [
      "a latch without a number",
      "machines.heater-1.latch.occurrence",
      ({ machines }) => set(machines, "heater-1", { latch: { reason: "heater-welded" } }),
    ],
    [
      "a share above one",
      "machines.heater-2.dutyWeek",
      ({ machines }) => set(machines, "heater-2", { dutyWeek: 1.01 }),
    ],
    [
      "a hold without its length",
      "machines.hold.fullMs",
      ({ machines }) => set(machines, "hold", { fullMs: undefined }),
    ],
    [
      "a hold of five hours",
      "machines.hold.leftMs",
      ({ machines }) => set(machines, "hold", { leftMs: 5 * 3_600_000 }),
    ],
    ["no heater", "machines.heater-1", ({ machines }) => delete machines["heater-1"]],
    ["an answer nothing", "answered.0", (raw) => Object.assign(raw, { answered: [null] })],
    ["no answers", "answered", (raw) => delete raw.answered],
    ["a sequence text", "sequence", (raw) => Object.assign(raw, { sequence: "7" })],
  ];
  test.each(spoilt)("with %s: corrupt at %s", (_, where, spoil) => {
    const raw = written();
    spoil(raw);
    const found = readMemory(raw, SETTINGS);
    expect(found.state).toBe("corrupt");
    expect("why" in found ? found.why : "").toMatch(new RegExp(`^${where.replaceAll(".", "\\.")}: .+`));
  });

  test.each([null, undefined, 5, "x", [], {}, [null], { version: 2 }, { version: "2" }])("%j: corrupt", (stored) => {
    expect(readMemory(stored, SETTINGS).state).toBe("corrupt");
  });

  test("of a newer version: newer, whatever is in it", () => {
    const newer = { state: "newer", version: STORED_VERSION + 1 };
    expect(readMemory({ ...written(), version: STORED_VERSION + 1 }, SETTINGS)).toEqual(newer);
    expect(readMemory({ version: STORED_VERSION + 1 }, SETTINGS)).toEqual(newer);
  });

  const lenient: [
    what: string,
    spoil: (raw: Raw) => void,
    kept: (memory: StoredMemory | null) => unknown,
    as: unknown,
  ][] = [
    [
      "a ledger spoilt: it learns anew",
      ({ machines }) => set(machines, "ledger", { evaporationLPerDay: null }),
      (memory) => own(memory, LEDGER).evaporationDoubt,
      0.25,
    ],
    [
      "a hand test without its salinity: the ledger learns anew",
      ({ machines }) => set(machines, "ledger", { tests: [{ ageMs: 0, probe: null, movedBy: 0 }] }),
      (memory) => own(memory, LEDGER).evaporationDoubt,
      0.25,
    ],
    [
      "no ledger: it learns anew",
      ({ machines }) => delete machines.ledger,
      (memory) => own(memory, LEDGER).evaporationDoubt,
      0.25,
    ],
    [
      "a cartridge spoilt: nobody knows when it was changed",
      ({ machines }) => set(machines, "source-water", { cartridgeAgeMs: "5" }),
      (memory) => memory?.machines["source-water"],
      { cartridgeAgeMs: null, cartridgeUl: null },
    ],
    [
      "a thermometer of no name out of the water: both may be",
      ({ machines }) => Object.assign(machines, { "thermometer-trust": ["room"] }),
      (memory) => own(memory, THERMOMETER_TRUST),
      ["thermometer-1", "thermometer-2"],
    ],
    [
      "alarms spoilt: all are told anew",
      (raw) => Object.assign(raw, { alarms: { restless: [null], firstUp: null } }),
      (memory) => memory?.alarms,
      { restless: [], firstUp: null },
    ],
    ["a stop for no reason: none", (raw) => Object.assign(raw, { stoppedBy: 7 }), (memory) => memory?.stoppedBy, null],
  ];
  test.each(lenient)("with %s, and nothing is locked", (_, spoil, kept, as) => {
    const raw = written();
    spoil(raw);
    const memory = readSound(raw);
    expect(own(memory, TOP_OFF).latch).toBeNull();
    expect(kept(memory)).toEqual(as);
  });
});

function set(machines: Raw["machines"], name: string, change: Record<string, unknown>): void {
  machines[name] = { ...machines[name], ...change };
  for (const [field, value] of Object.entries(change)) if (value === undefined) delete machines[name][field];
}

/** Files as version 0.1.0 wrote them, in the form in which it kept memory before formats had a number. */
describe("memory of 0.1.0", () => {
  const folder = join(import.meta.dirname, "../record/made-by-0.1.0");
  const bodyOf = (name: string): Record<string, never> => {
    const slot = decodeSlot(readFileSync(join(folder, name)));
    if (slot === null || slot === "corrupt") throw new Error(`${name} cannot be read`);
    return slot.memory as Record<string, never>;
  };

  test.each(["memory-a", "memory-b"])(
    "%s is taken up whole: litres, duty, hold, proofs, calibrations, ledger",
    (name) => {
      const old = bodyOf(name) as Record<string, Record<string, unknown>>;
      const memory = readSound(old);
      expect(memory).toMatchObject({ version: STORED_VERSION, sequence: old.sequence, answered: old.answered });
      expect(own(memory, TOP_OFF)).toEqual(old.topOff);
      expect(own(memory, HEAT["heater-1"])).toEqual({ ...old.heat, oneContact: null });
      expect(own(memory, HEAT["heater-2"])).toEqual({ ...old.secondHeat, oneContact: null });
      expect(own(memory, HOLD)).toEqual(old.hold);
      expect(own(memory, PROVING)).toEqual(old.proofs);
      expect(own(memory, CALIBRATION)).toEqual({ ...old.calibration, cellAgeMs: old.calibrationMs });
      expect(own(memory, LEDGER)).toEqual(old.ledger);
      expect(memory?.machines["source-water"]).toEqual(old.cartridge);
      expect(own(memory, THERMOMETER_TRUST)).toEqual(old.outOfWater);
    },
  );

  test("a box goes on with it: the question of its last hold stands, its parts are proven, nothing is locked", () => {
    const box = new Box().starts(readSound(bodyOf("memory-a")), { memory: "sound", offMs: 60_000 }).after(2);
    expect(box.record.hold.question).toBe(true);
    expect(box.record.proving.parts["top-off-pump"].standing).toBe("proven");
    expect(box.record.topOff).toMatchObject({ latch: null, reservoirL: 9.75625 });
  });

  const latched = () => {
    const old = structuredClone(bodyOf("memory-a")) as Record<string, Record<string, unknown>>;
    Object.assign(old.topOff!, { latch: { reason: "floor-wet", occurrence: 3 }, guardLatched: true, occurrences: 3 });
    Object.assign(old.heat!, { latch: { reason: "heater-welded", occurrence: 2 }, occurrences: 2 });
    return old;
  };
  test("with latches: they stand, with their numbers", () => {
    const memory = readSound(latched());
    expect(own(memory, TOP_OFF)).toMatchObject({ latch: { reason: "floor-wet", occurrence: 3 }, guardLatched: true });
    expect(own(memory, HEAT["heater-1"]).latch).toEqual({ reason: "heater-welded", occurrence: 2 });
  });
  test("with a million litres: corrupt, as in any format", () => {
    const old = latched();
    Object.assign(old.topOff!, { excessUl: 1e12 });
    expect(readMemory(old, SETTINGS).state).toBe("corrupt");
  });
  test("from its first weeks, without a second heater and without a measured reservoir: sound", () => {
    const { secondHeat: _, ...old } = latched();
    delete old.ledger!.reservoirSalinity;
    delete old.ledger!.reservoirTestedAtL;
    const memory = readSound(old);
    expect(own(memory, HEAT["heater-2"])).toMatchObject({ latch: null, noEffect: false });
    expect(own(memory, LEDGER)).toEqual({ ...old.ledger, reservoirSalinity: null, reservoirTestedAtL: 0 });
  });
});

describe("the witness of 0.1.0", () => {
  const print = { part: "a", port: "b" };
  const old = {
    proven: { siphon: print },
    flowLPerMin: 1.4,
    calibrations: 3,
    topOffLock: "floor-wet",
    waterGuardLocked: true,
    heatLock: null,
    heaterNoEffect: true,
    secondHeatLock: "heater-welded",
    secondHeaterNoEffect: false,
    outOfWater: ["thermometer-2"],
    holdMs: 600_000,
    holdWithHeat: true,
    question: false,
  };
  const now = {
    hold: { holdMs: 600_000, withHeat: true, question: false },
    calibration: { flowLPerMin: 1.4, calibrations: 3 },
    proving: { proven: { siphon: print } },
    "heater-1": { lock: null, noEffect: true },
    "heater-2": { lock: "heater-welded", noEffect: false },
    "top-off": { lock: "floor-wet", guardLocked: true },
    "thermometer-trust": { outOfWater: ["thermometer-2"] },
  };
  test("is read as each machine tells it now", () => {
    expect(readWitness(old)).toEqual(now);
  });
  test("from before it kept the question: whole, and one may be open", () => {
    const { question: _, ...before } = old;
    expect(readWitness(before)).toMatchObject({ hold: { question: true } });
  });
  test.each([
    { proven: { siphon: {} } },
    { flowLPerMin: -1 },
    { topOffLock: "bogus" },
    { waterGuardLocked: null },
    { outOfWater: ["room-thermometer"] },
    { holdMs: -1 },
  ])("with %j: nothing of it is believed", (change) => {
    expect(readWitness({ ...old, ...change })).toBeNull();
  });
});

test("every machine has a name of its own, under which it is stored", () => {
  const names = EVERY_MACHINE.map(({ key }) => key.name);
  expect(new Set(names).size).toBe(names.length);
  expect(Object.keys(toStore(provenMemory(SETTINGS)).machines)).toEqual(names);
});
