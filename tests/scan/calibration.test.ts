import { describe, expect, test } from "vitest";
import { CALIBRATION } from "../../controller/decisions/calibration/key.ts";
import type { Calibrated, CalibrateRequest } from "../../shared/contract/index.ts";
import { standardConductivity } from "../../shared/seawater/index.ts";
import { celsius } from "../../shared/units/index.ts";
import { Box, readSound, SETTINGS, type Sight, withStored } from "./box.ts";

/** Stories of probes that are set right, of those that must not be, and of what is taken back. */

type Step = CalibrateRequest extends infer Each
  ? Each extends CalibrateRequest
    ? Omit<Each, "id" | "at" | "kind">
    : never
  : never;

const SEA = standardConductivity("sea-water-35", celsius(25)) as number;
const KCL = standardConductivity("kcl-0.1-molal", celsius(25)) as number;
const DAY_MS = 86_400_000;

class Bench {
  readonly box: Box;
  constructor(box: Box = Box.atRest()) {
    this.box = box;
  }
  asks(step: Step): this {
    this.box.asks({ kind: "calibrate", at: "tank", ...step } as Parameters<Box["asks"]>[0]);
    return this;
  }
  taken(step: Step): this {
    this.asks(step);
    if (this.box.accepted !== true) throw new Error(this.box.outcome);
    return this;
  }
  refused(step: Step, why: RegExp): this {
    this.asks(step);
    expect(this.box.accepted, this.box.outcome).toBe(false);
    expect(this.box.outcome).toMatch(why);
    return this;
  }
  /** A cell that reads this much too little, in a solution that conducts so much. */
  reads(msPerCm: number): this {
    this.box.sees({ conductivity: msPerCm }).afterSeconds(70);
    return this;
  }
  dry(): this {
    this.box.sees({ conductivity: 0.02 }).afterSeconds(2);
    return this.taken({ step: "dry" });
  }
  inForce(what: Calibrated): number {
    return this.box.record.calibration.inForce[what].value;
  }
}

const begun = (box?: Box) => new Bench(box).taken({ step: "begin", session: "conductivity", by: "Kim" });
const standard = (lot: string): Step => ({ step: "standard", standard: "sea-water-35", lot });

describe("conductivity", () => {
  test("one standard taken and accepted, cell 3 % low: factor 1.03, salinity 35 again, entry kept with lot, person and temperature", () => {
    const bench = begun()
      .dry()
      .reads(SEA / 1.03)
      .taken(standard("A7"))
      .taken({ step: "accept" });
    expect(bench.inForce("conductivity")).toBeCloseTo(1.03, 4);
    bench.reads(SEA / 1.03);
    expect(bench.box.record.quantities.salinity.value).toBeCloseTo(35, 1);
    expect(bench.box.record.quantities.conductivity.value).toBeCloseTo(SEA, 1);
    expect(bench.box.record.calibration.entries.at(-1)).toMatchObject({
      what: "conductivity",
      before: 1,
      by: "Kim",
      lot: "A7",
      standing: "in-force",
      standards: [{ standard: "sea-water-35", lot: "A7" }],
    });
    expect(bench.box.record.calibration.entries.at(-1)?.temperatureC).toBeCloseTo(25, 1);
    expect(bench.box.record.calibration.session).toBeNull();
  });

  test("cell in a bottle: no salinity and no alarm for 30 min; calibration abandoned, cell back in the tank: salinity good again", () => {
    const bench = begun().dry().reads(KCL);
    const { quantities, alarms, calibration } = bench.box.record;
    expect(quantities.conductivity).toMatchObject({ value: null, doubt: "being-calibrated", lastValue: null });
    expect(quantities.salinity).toMatchObject({ value: null, doubt: "being-calibrated" });
    expect(quantities.salinity.lastValue).toBeCloseTo(35, 1);
    expect(quantities.specificGravity.value).toBeNull();
    expect(calibration.session?.reads).toBeCloseTo(KCL, 1);
    bench.box.afterSeconds(1800);
    expect(alarms).toEqual([]);
    expect(bench.box.record.alarms.filter(({ state }) => state !== "suppressed")).toEqual([]);
    bench.taken({ step: "abandon" }).reads(SEA);
    expect(bench.box.record.quantities.salinity).toMatchObject({ quality: "good", doubt: null });
    expect(bench.box.record.quantities.salinity.value).toBeCloseTo(35, 1);
  });

  test("both thermometers lost, cell in a bottle at 22 °C: no heat; calibration abandoned: the cell's own thermometer heats again", () => {
    const lost: Sight = { "thermometer-1": "nothing", "thermometer-2": "nothing" };
    const bench = begun();
    bench.box.sees({ ...lost, conductivity: SEA, probeTemperature: 22 });
    for (let minute = 0; minute < 50; minute++) expect(bench.box.after(1).heaterOn).toBe(false);
    expect(bench.box.heat.why).toBe("no-temperature");
    bench.taken({ step: "abandon" });
    bench.box.sees({ ...lost, probeTemperature: 22 }).untilHeating(40);
  });

  test("bottle as warm as the thermometer in the air, 45 min: that thermometer stays out of the water, in doubt by rate", () => {
    const box = Box.atRest({ probeTemperature: 25 }).after(30);
    box.sees({ "thermometer-1": 21.5 }).after(1);
    expect(box.record.thermometers[0].doubt).toBe("rate");
    const bench = begun(box);
    box.sees({ "thermometer-1": 21.5, conductivity: SEA, probeTemperature: 21.5 }).after(45);
    expect(box.record.calibration.session).not.toBeNull();
    expect(box.record.thermometers[0].doubt).toBe("rate");
    bench.taken({ step: "abandon" });
  });

  test("two standards that agree, 3 % and 3.5 % low: factor is their mean 1.0325, both in the entry", () => {
    const bench = begun()
      .dry()
      .reads(SEA / 1.03)
      .taken(standard("A7"));
    bench
      .reads(KCL / 1.035)
      .taken({ step: "standard", standard: "kcl-0.1-molal" })
      .taken({ step: "accept" });
    expect(bench.inForce("conductivity")).toBeCloseTo(1.0325, 3);
    expect(bench.box.record.calibration.entries.at(-1)?.standards).toHaveLength(2);
  });

  test("reading stepped 30 s ago: standard refused as still moving; 40 s later: taken", () => {
    const bench = begun().dry().reads(SEA);
    bench.box.sees({ conductivity: SEA + 0.5 }).afterSeconds(30);
    bench.refused(standard("A7"), /still moves/);
    bench.box.afterSeconds(40);
    bench.taken(standard("A7"));
  });

  test("temperature of the cell drifting at constant conductivity: standard refused as still moving", () => {
    const bench = begun().dry().reads(SEA);
    bench.box.drifts(25.4, 24);
    bench.refused(standard("A7"), /still moves/);
  });

  test("standard before the dry cell: refused; dry cell asked for at 2 mS/cm: refused with that figure", () => {
    const bench = begun()
      .reads(SEA)
      .refused(standard("A7"), /dry cell/);
    bench.box.sees({ conductivity: 2 }).afterSeconds(2);
    bench.refused({ step: "dry" }, /2\.00 mS\/cm in the air/);
  });

  test('steady cell that still hangs in the air: standard refused, "hang it in the standard"', () => {
    const bench = begun().dry();
    bench.box.afterSeconds(70);
    expect(bench.box.record.calibration.session).toMatchObject({
      steady: true,
      next: expect.not.stringMatching(/take/),
    });
    bench.refused(standard("A7"), /as in the air: hang it in the standard/);
  });

  test("cell moved to another bottle of the same, told so: standard refused as still moving, taken after 62 s; no session: refused", () => {
    const bench = begun().dry().reads(SEA).taken({ step: "watch" });
    bench.refused(standard("A7"), /still moves/);
    bench.box.afterSeconds(62);
    bench.taken(standard("A7"));
    bench.taken({ step: "abandon" }).refused({ step: "watch" }, /begin one first/);
  });

  test("standard read 17 % low: refused as more than 15 %, clean the cell", () => {
    begun()
      .dry()
      .reads(SEA / 1.17)
      .refused(standard("A7"), /more than 15 % apart.*Clean/);
  });

  test("change of 8 % found once: not accepted, nothing changes; found again at 8.5 %: in force as 1.085", () => {
    const bench = begun()
      .dry()
      .reads(SEA / 1.08)
      .taken(standard("A7"));
    bench.refused({ step: "accept" }, /change of 8\.0 %.*once more/);
    expect(bench.inForce("conductivity")).toBe(1);
    bench.refused({ step: "accept" }, /No standard/);
    bench
      .dry()
      .reads(SEA / 1.085)
      .taken(standard("B1"))
      .taken({ step: "accept" });
    expect(bench.inForce("conductivity")).toBeCloseTo(1.085, 3);
  });

  test("change of 8 %, then of 13 %: not accepted yet, factor stays 1", () => {
    const bench = begun()
      .dry()
      .reads(SEA / 1.08)
      .taken(standard("A7"))
      .refused({ step: "accept" }, /once more/);
    bench
      .dry()
      .reads(SEA / 1.13)
      .taken(standard("A7"))
      .refused({ step: "accept" }, /once more/);
    expect(bench.inForce("conductivity")).toBe(1);
  });

  test('potassium chloride read where sea water was named: refused, names the solution that it reads like, "mixed up"', () => {
    begun()
      .dry()
      .reads(KCL)
      .refused(standard("A7"), /what potassium chloride, 0\.1 mol\/kg reads.*mixed up/);
  });

  test("second standard 5 % apart from the first: refused as disagreeing; accept still sets the first", () => {
    const bench = begun()
      .dry()
      .reads(SEA / 1.01)
      .taken(standard("A7"))
      .reads(KCL / 1.06);
    bench.refused({ step: "standard", standard: "kcl-0.1-molal" }, /disagree by 5\.0 %/);
    bench.taken({ step: "accept" });
    expect(bench.inForce("conductivity")).toBeCloseTo(1.01, 3);
  });

  test("bottle by its label: refused without the label's value; taken near its temperature, elsewhere only with its change per kelvin", () => {
    const bench = begun().dry().reads(SEA);
    const label: Step = { step: "standard", standard: "label", labelMsPerCm: 53, labelC: 25 };
    bench.refused({ step: "standard", standard: "label" }, /what the bottle says/);
    bench.taken(label);
    bench.refused({ ...label, labelC: 20 } as Step, /bring it within 1 K/);
    bench.taken({ ...label, labelMsPerCm: 48, labelC: 20, labelPercentPerK: 2.1 } as Step);
    expect(bench.box.record.calibration.session?.taken[0]?.expectedMsPerCm).toBeCloseTo(48 * 1.105, 1);
  });

  test("cell without its own thermometer: standard refused until a temperature is typed; cell with one: a typed 21 °C against 25 °C refused", () => {
    const bench = begun(Box.atRest({ probeTemperature: null }))
      .dry()
      .reads(SEA);
    bench.refused(standard("A7"), /no thermometer of its own/);
    bench.taken({ step: "standard", standard: "sea-water-35", temperatureC: 25 });
    begun()
      .dry()
      .reads(SEA)
      .refused({ step: "standard", standard: "sea-water-35", temperatureC: 21 }, /which is right/);
  });

  test("doubt of salinity: less than half right after calibration, from 0.5 % standard and 0.2 % noise; 1.5 times that after 90 days", () => {
    const doubt = (box: Box) => box.record.quantities.salinity.uncertainty as number;
    const old = {
      ...SETTINGS,
      conductivity: { ...SETTINGS.conductivity, calibratedDaysAgo: 120, cellConstantPercent: 3 },
    };
    const box = Box.atRest({}, old);
    const before = doubt(box);
    const bench = begun(box).dry().reads(SEA).taken(standard("A7")).taken({ step: "accept" }).reads(SEA);
    const fresh = doubt(bench.box);
    expect(fresh).toBeLessThan(before / 2);
    // 0.5 % of the standard, k = 2 of an even spread, and 0.2 % of noise.
    const conductivity = bench.box.record.quantities.conductivity.uncertainty as number;
    expect(conductivity / SEA).toBeCloseTo(Math.hypot(0.002, (2 / Math.sqrt(3)) * 0.005), 4);
    expect(doubt(box.isKilled(90 * DAY_MS).after(16))).toBeGreaterThan(fresh * 1.5);
  });
});

describe("a thermometer", () => {
  const one = (session: "thermometer-1" | "thermometer-2") =>
    new Bench(Box.atRest({ "thermometer-1": 25.4, "thermometer-2": 24.8 })).taken({ step: "begin", session });

  test("0.4 K too warm beside a reference of 25 °C in still water: corrected by −0.4 K, reads 25 °C", () => {
    const bench = one("thermometer-1");
    bench.box.afterSeconds(130);
    bench.taken({ step: "reference", referenceC: 25 });
    bench.box.after(1);
    expect(bench.box.record.thermometers[0].value).toBeCloseTo(25, 1);
    expect(bench.inForce("thermometer-1")).toBeCloseTo(-0.4, 1);
  });

  test("reference after 60 s only, or in water warming 0.8 K in 6 min: refused as still moving", () => {
    const bench = one("thermometer-1");
    bench.box.afterSeconds(60);
    bench.refused({ step: "reference", referenceC: 25 }, /still moves/);
    bench.box.afterSeconds(130).drifts(25.8, 6);
    bench.refused({ step: "reference", referenceC: 25 }, /still moves/);
  });

  test("reference 1.7 K away: refused as more than 1.5 K, correction stays 0", () => {
    const bench = one("thermometer-2");
    bench.box.afterSeconds(130);
    bench.refused({ step: "reference", referenceC: 26.5 }, /more than 1\.5/);
    expect(bench.inForce("thermometer-2")).toBe(0);
  });

  test("relative offset of two, 0.6 K apart: both move to the mean; one set to a reference before: only the other moves", () => {
    const box = Box.atRest({ "thermometer-1": 25.4, "thermometer-2": 24.8 });
    // Nothing was set to a reference yet: both move to their mean.
    const none = withStored(box.onDisk, CALIBRATION, { ...box.durable(CALIBRATION), entries: [] });
    box.starts(readSound(none), { memory: "sound", offMs: 0 }).after(16);
    const bench = new Bench(box).taken({ step: "begin", session: "thermometers" });
    box.afterSeconds(130);
    bench.taken({ step: "reference" });
    expect(bench.inForce("thermometer-1")).toBeCloseTo(-0.3, 1);
    expect(bench.inForce("thermometer-2")).toBeCloseTo(0.3, 1);
    bench.taken({ step: "begin", session: "thermometer-1" });
    box.afterSeconds(130);
    bench.taken({ step: "reference", referenceC: 25.5 }).taken({ step: "begin", session: "thermometers" });
    box.afterSeconds(130);
    bench.taken({ step: "reference" });
    expect(bench.inForce("thermometer-1")).toBeCloseTo(0.1, 1);
    expect(box.after(1).record.thermometers[1].value).toBeCloseTo(25.5, 1);
  });

  test("reading steps up by 0.6 K through its own correction: stays good, heating goes on", () => {
    const box = Box.atRest({ "thermometer-1": 24.4, "thermometer-2": 24.4, probeTemperature: 24.4 });
    const bench = new Bench(box).taken({ step: "begin", session: "thermometer-1" });
    box.after(25);
    bench.taken({ step: "reference", referenceC: 25 });
    // In its session it may hang in a cup; beside another it is back at once.
    expect(box.record.thermometers[0]).toMatchObject({ quality: "bad", doubt: "being-calibrated" });
    box.after(5);
    expect(box.record.thermometers[0]).toMatchObject({ quality: "good", doubt: null });
    expect(box.heat.state).toBe("heating");
  });

  test("uncertainty: 0.2 K once calibrated, 0.5 K after its calibration is undone, the other's unchanged", () => {
    const box = Box.atRest();
    expect(box.record.thermometers[0].uncertainty).toBe(0.2);
    box.asks({ kind: "undo-calibration", at: "tank", number: 1 });
    expect(box.after(1).record.thermometers[0].uncertainty).toBe(0.5);
    expect(box.record.thermometers[1].uncertainty).toBe(0.2);
  });
});

describe("marks measured with a ruler", () => {
  test("high float at 75 mm: in force, level begins there when wet; a mark that does not fit the others or is no number: refused", () => {
    const bench = new Bench();
    bench.taken({ step: "mark", mark: "high-float-mm", mm: 75 });
    expect(bench.inForce("high-float-mm")).toBe(75);
    bench.box.sees({ "high-float": "wet" }).scan();
    expect(bench.box.record.quantities.level.fromMm).toBe(75);
    bench.refused({ step: "mark", mark: "high-float-mm", mm: 50 }, /does not fit: tank\.highFloatMm/);
    bench.refused({ step: "mark", mark: "pump-off-level-mm", mm: 80 }, /does not fit/);
    bench.refused({ step: "mark", mark: "low-float-mm", mm: 3 }, /does not fit/);
    bench.refused({ step: "mark", mark: "low-float-mm", mm: Number.NaN }, /millimetres/);
  });
});

describe("room over the water with the return pump off, seen to be enough with high float 70 mm and pump-off level 60 mm", () => {
  const standing = (mark: "high-float-mm" | "pump-off-level-mm" | "low-float-mm", mm: number) => {
    const bench = new Bench().taken({ step: "mark", mark, mm });
    return bench.box.scan().record.proving.parts["pump-off-level"].standing;
  };
  test.each([
    ["high-float-mm", 65, "never"],
    ["pump-off-level-mm", 62, "never"],
    ["high-float-mm", 70, "proven"],
    ["high-float-mm", 75, "proven"],
    ["pump-off-level-mm", 58, "proven"],
    ["low-float-mm", -55, "proven"],
  ] as const)("%s measured at %d mm: proof of that level is %s", (mark, mm, then) => {
    expect(standing(mark, mm)).toBe(then);
  });
  test("high float measured at 65 mm: the answer says that less room is left and that level wants proving again", () => {
    const bench = new Bench().taken({ step: "mark", mark: "high-float-mm", mm: 65 });
    expect(bench.box.outcome).toBe(
      "Noted. The high float: 65 mm, before 70 mm. Less room is left over the water with the return pump off: prove that level again.",
    );
  });
});

describe("a calibration", () => {
  test("second undone: the first counts again, 20 days old; the first before it, or an unknown number: refused", () => {
    const bench = begun()
      .dry()
      .reads(SEA / 1.03)
      .taken(standard("A7"))
      .taken({ step: "accept" });
    bench.box
      .after(1)
      .isKilled(20 * DAY_MS)
      .after(16);
    begun(bench.box)
      .dry()
      .reads(SEA / 1.06)
      .taken(standard("B2"))
      .taken({ step: "accept" });
    const [first, second] = bench.box.record.calibration.entries.slice(-2);
    expect(bench.inForce("conductivity")).toBeCloseTo(1.06, 3);
    const undo = (number: number | undefined) =>
      bench.box.asks({ kind: "undo-calibration", at: "tank", number: number as number });
    expect(undo(first?.number).accepted).toBe(false);
    expect(undo(99).outcome).toMatch(/no calibration of that number/);
    expect(undo(second?.number).accepted).toBe(true);
    expect(bench.inForce("conductivity")).toBeCloseTo(1.03, 3);
    expect(bench.box.record.calibration.inForce.conductivity.ageMs).toBeGreaterThanOrEqual(20 * DAY_MS);
    expect(undo(first?.number).accepted).toBe(true);
    expect(bench.inForce("conductivity")).toBe(1);
  });

  test("kill after accept: still in force; kill within a session: session gone, accept refused, nothing changed", () => {
    const bench = begun()
      .dry()
      .reads(SEA / 1.03)
      .taken(standard("A7"))
      .taken({ step: "accept" });
    bench.box.after(1).isKilled(0).after(16);
    expect(bench.inForce("conductivity")).toBeCloseTo(1.03, 3);
    bench.box.sees({ conductivity: SEA / 1.03 }).after(2);
    begun(bench.box)
      .dry()
      .reads(SEA / 1.05)
      .taken(standard("B2"));
    bench.box.isKilled(0).after(16);
    expect(bench.box.record.calibration.session).toBeNull();
    new Bench(bench.box).refused({ step: "accept" }, /No calibration is under way/);
    expect(bench.inForce("conductivity")).toBeCloseTo(1.03, 3);
  });

  test("begun or undone over the network: refused, unless somebody said within 30 min that they stand at the tank", () => {
    const box = Box.atRest();
    const fromAfar = { kind: "calibrate", at: "network", step: "begin", session: "conductivity" } as const;
    expect(box.asks(fromAfar).accepted).toBe(false);
    expect(box.outcome).toMatch(/at-tank/);
    expect(box.asks({ kind: "at-tank", at: "network", minutes: 30 }).accepted).toBe(false);
    box.asks({ kind: "at-tank", at: "tank", minutes: 30 });
    expect(box.asks(fromAfar).accepted).toBe(true);
    box.after(31);
    expect(box.asks({ kind: "undo-calibration", at: "network", number: 1 }).accepted).toBe(false);
  });

  test("another begun meanwhile: refused; nobody goes on for 61 min: session ends, nothing changed, a new one may begin", () => {
    const bench = begun()
      .dry()
      .reads(SEA / 1.03)
      .taken(standard("A7"));
    bench.refused({ step: "begin", session: "thermometer-1" }, /under way/);
    bench.box.after(61);
    expect(bench.box.record.calibration.session).toBeNull();
    expect(bench.inForce("conductivity")).toBe(1);
    begun(bench.box).taken({ step: "abandon" });
    bench.refused({ step: "dry" }, /No calibration/);
  });

  test("probe without a value, or a thermometer that is not fitted: begin refused as no value", () => {
    new Bench(Box.atRest({ conductivity: "nothing" })).refused({ step: "begin", session: "conductivity" }, /no value/);
    new Bench(Box.atRest({ "thermometer-2": "not-fitted" })).refused(
      { step: "begin", session: "thermometers" },
      /no value/,
    );
  });

  test("41 marks noted, one after another: at most 24 entries kept, among them all in force and what the newest would go back to", () => {
    const bench = new Bench().taken({ step: "mark", mark: "high-float-mm", mm: 75 });
    for (let mm = -61; mm > -101; mm--) bench.taken({ step: "mark", mark: "low-float-mm", mm });
    const { entries } = bench.box.record.calibration;
    expect(entries.length).toBeLessThanOrEqual(24);
    expect(
      entries
        .filter(({ standing }) => standing === "in-force")
        .map(({ what }) => what)
        .sort(),
    ).toEqual(["high-float-mm", "low-float-mm", "thermometer-1", "thermometer-2"]);
    expect(entries.at(-2)).toMatchObject({ standing: "followed", after: -99 });
  });
});
