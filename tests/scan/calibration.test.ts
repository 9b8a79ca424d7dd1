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
  test("is set by one standard: salinity is right afterwards, and the calibration is kept with what it was made of", () => {
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

  test("says nothing about the tank meanwhile: no salinity, no alarm, and what was known is known again afterwards", () => {
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

  test("says nothing about the temperature of the tank either: a bottle on the bench turns no heater on", () => {
    const lost: Sight = { "thermometer-1": "nothing", "thermometer-2": "nothing" };
    const bench = begun();
    bench.box.sees({ ...lost, conductivity: SEA, probeTemperature: 22 });
    for (let minute = 0; minute < 50; minute++) expect(bench.box.after(1).heaterOn).toBe(false);
    expect(bench.box.heat.why).toBe("no-temperature");
    bench.taken({ step: "abandon" });
    bench.box.sees({ ...lost, probeTemperature: 22 }).untilHeating(40);
  });

  test("its bottle, as warm as the room, makes no thermometer good that hangs in the same air", () => {
    const box = Box.atRest({ probeTemperature: 25 }).after(30);
    box.sees({ "thermometer-1": 21.5 }).after(1);
    expect(box.record.thermometers[0].doubt).toBe("rate");
    const bench = begun(box);
    box.sees({ "thermometer-1": 21.5, conductivity: SEA, probeTemperature: 21.5 }).after(45);
    expect(box.record.calibration.session).not.toBeNull();
    expect(box.record.thermometers[0].doubt).toBe("rate");
    bench.taken({ step: "abandon" });
  });

  test("is set by two standards that agree", () => {
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

  test("is refused while the reading moves", () => {
    const bench = begun().dry().reads(SEA);
    bench.box.sees({ conductivity: SEA + 0.5 }).afterSeconds(30);
    bench.refused(standard("A7"), /still moves/);
    bench.box.afterSeconds(40);
    bench.taken(standard("A7"));
  });

  test("is refused while its temperature moves", () => {
    const bench = begun().dry().reads(SEA);
    bench.box.drifts(25.4, 24);
    bench.refused(standard("A7"), /still moves/);
  });

  test("wants the dry cell first, and refuses one that is not dry", () => {
    const bench = begun()
      .reads(SEA)
      .refused(standard("A7"), /dry cell/);
    bench.box.sees({ conductivity: 2 }).afterSeconds(2);
    bench.refused({ step: "dry" }, /2\.00 mS\/cm in the air/);
  });

  test("is not taken from a cell that still hangs in the air, however still it hangs there", () => {
    const bench = begun().dry();
    bench.box.afterSeconds(70);
    expect(bench.box.record.calibration.session).toMatchObject({
      steady: true,
      next: expect.not.stringMatching(/take/),
    });
    bench.refused(standard("A7"), /as in the air: hang it in the standard/);
  });

  test("is watched anew when it hangs in another bottle of the same", () => {
    const bench = begun().dry().reads(SEA).taken({ step: "watch" });
    bench.refused(standard("A7"), /still moves/);
    bench.box.afterSeconds(62);
    bench.taken(standard("A7"));
    bench.taken({ step: "abandon" }).refused({ step: "watch" }, /begin one first/);
  });

  test("beyond 15 % is refused, and the cell is to be cleaned", () => {
    begun()
      .dry()
      .reads(SEA / 1.17)
      .refused(standard("A7"), /more than 15 % apart.*Clean/);
  });

  test("beyond 5 % counts when it was found twice", () => {
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

  test("beyond 5 % and another value the second time does not count yet", () => {
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

  test("names the standard that it reads like when they are mixed up", () => {
    begun()
      .dry()
      .reads(KCL)
      .refused(standard("A7"), /what potassium chloride, 0\.1 mol\/kg reads.*mixed up/);
  });

  test("refuses two standards that disagree", () => {
    const bench = begun()
      .dry()
      .reads(SEA / 1.01)
      .taken(standard("A7"))
      .reads(KCL / 1.06);
    bench.refused({ step: "standard", standard: "kcl-0.1-molal" }, /disagree by 5\.0 %/);
    bench.taken({ step: "accept" });
    expect(bench.inForce("conductivity")).toBeCloseTo(1.01, 3);
  });

  test("takes a bottle by its label near its temperature, and elsewhere with its own change per kelvin", () => {
    const bench = begun().dry().reads(SEA);
    const label: Step = { step: "standard", standard: "label", labelMsPerCm: 53, labelC: 25 };
    bench.refused({ step: "standard", standard: "label" }, /what the bottle says/);
    bench.taken(label);
    bench.refused({ ...label, labelC: 20 } as Step, /bring it within 1 K/);
    bench.taken({ ...label, labelMsPerCm: 48, labelC: 20, labelPercentPerK: 2.1 } as Step);
    expect(bench.box.record.calibration.session?.taken[0]?.expectedMsPerCm).toBeCloseTo(48 * 1.105, 1);
  });

  test("asks for the temperature of a probe that has no thermometer of its own", () => {
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

  test("makes the doubt of salinity follow: smaller for a month, larger with every day", () => {
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

  test("is set to a reference beside it", () => {
    const bench = one("thermometer-1");
    bench.box.afterSeconds(130);
    bench.taken({ step: "reference", referenceC: 25 });
    bench.box.after(1);
    expect(bench.box.record.thermometers[0].value).toBeCloseTo(25, 1);
    expect(bench.inForce("thermometer-1")).toBeCloseTo(-0.4, 1);
  });

  test("is not set in moving water", () => {
    const bench = one("thermometer-1");
    bench.box.afterSeconds(60);
    bench.refused({ step: "reference", referenceC: 25 }, /still moves/);
    bench.box.afterSeconds(130).drifts(25.8, 6);
    bench.refused({ step: "reference", referenceC: 25 }, /still moves/);
  });

  test("that is wrong by more than its limit is broken, not corrected", () => {
    const bench = one("thermometer-2");
    bench.box.afterSeconds(130);
    bench.refused({ step: "reference", referenceC: 26.5 }, /more than 1\.5/);
    expect(bench.inForce("thermometer-2")).toBe(0);
  });

  test("and its neighbour lose their relative offset: towards the one that was set to a reference", () => {
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

  test("that steps because it was corrected is no thermometer out of the water, and the heat goes on", () => {
    const box = Box.atRest({ "thermometer-1": 24.4, "thermometer-2": 24.4, probeTemperature: 24.4 });
    const bench = new Bench(box).taken({ step: "begin", session: "thermometer-1" });
    box.after(25);
    bench.taken({ step: "reference", referenceC: 25 });
    box.after(5);
    expect(box.record.thermometers[0]).toMatchObject({ quality: "good", doubt: null });
    expect(box.heat.state).toBe("heating");
  });

  test("tells its doubt by how it was calibrated", () => {
    const box = Box.atRest();
    expect(box.record.thermometers[0].uncertainty).toBe(0.2);
    box.asks({ kind: "undo-calibration", at: "tank", number: 1 });
    expect(box.after(1).record.thermometers[0].uncertainty).toBe(0.5);
    expect(box.record.thermometers[1].uncertainty).toBe(0.2);
  });
});

describe("marks", () => {
  test("measured with a ruler take the place of the settings', if they go with the others", () => {
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

describe("marks that leave less room over the water with the return pump off than was seen to be enough", () => {
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
  ] as const)("void its proof: %s at %d mm leaves it %s", (mark, mm, then) => {
    expect(standing(mark, mm)).toBe(then);
  });
  test("and the answer says so", () => {
    const bench = new Bench().taken({ step: "mark", mark: "high-float-mm", mm: 65 });
    expect(bench.box.outcome).toBe(
      "Noted. The high float: 65 mm, before 70 mm. Less room is left over the water with the return pump off: prove that level again.",
    );
  });
});

describe("what was calibrated", () => {
  test("can be taken back: the one before it counts again, with its age", () => {
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

  test("survives a kill; a calibration under way does not, and nothing of it counts", () => {
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

  test("is asked for at the tank, or while somebody stands there", () => {
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

  test("ends by itself when nobody goes on, and changes nothing", () => {
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

  test("is not begun at a probe that says nothing", () => {
    new Bench(Box.atRest({ conductivity: "nothing" })).refused({ step: "begin", session: "conductivity" }, /no value/);
    new Bench(Box.atRest({ "thermometer-2": "not-fitted" })).refused(
      { step: "begin", session: "thermometers" },
      /no value/,
    );
  });

  test("keeps the newest, and never forgets what is in force or what it would go back to", () => {
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
