import { describe, expect, test } from "vitest";
import {
  type CalibrationMemory,
  calibrated,
  nothingCalibrated,
} from "../../controller/decisions/calibration/memory.ts";
import { newSession, type SessionMemory, type SessionReads } from "../../controller/decisions/calibration/session.ts";
import { type Calibrating, calibrate } from "../../controller/decisions/calibration/steps.ts";
import { NOT_STILL, type Still } from "../../controller/decisions/calibration/still.ts";
import type { Calibrated, Session, StandardTaken } from "../../shared/contract/calibration.ts";
import type { CalibrateRequest } from "../../shared/contract/requests.ts";
import { standardConductivity } from "../../shared/seawater/index.ts";
import { rehearsalSettings } from "../../shared/settings/index.ts";
import { celsius } from "../../shared/units/index.ts";

/** One step of a calibration at a time: what it takes, what it refuses, and in which words. */
const FILE = rehearsalSettings();
const NOTHING = nothingCalibrated(FILE);
const READS: SessionReads = { cellMsPerCm: 53, cellC: 25, firstC: 24, secondC: 26 };
type Step = CalibrateRequest extends infer Each
  ? Each extends CalibrateRequest
    ? Omit<Each, "id" | "at" | "kind">
    : never
  : never;

/** Watched for its time, and the newer half as the older. */
const still = (value: number): Still => ({ means: Array(12).fill(value), mean: 0, forMs: 0 });
const STILL = { cell: still(53), cellC: still(25), first: still(24), second: still(26) };
const session = (of: Session, change: Partial<SessionMemory> = {}): SessionMemory => ({
  ...newSession(of, "Kim", READS),
  ...STILL,
  ...change,
});
const state = (under: SessionMemory | null, calibration: CalibrationMemory = NOTHING): Calibrating => ({
  calibration,
  session: under,
});
const asks = (before: Calibrating, step: Step, reads: SessionReads = READS) =>
  calibrate(before, { kind: "calibrate", id: "x", at: "tank", ...step } as CalibrateRequest, reads, FILE);
const refused = (before: Calibrating, why: string) => ({ ...before, accepted: false, why });

/** With one value in force. */
const withValue = (what: Calibrated, after: number, doubt = 0.2, memory = NOTHING) =>
  calibrated(memory, { what, before: 0, after, by: null, lot: null, temperatureC: null, standards: [], doubt });

describe("a step of a calibration", () => {
  test("begin: accepted, ends after an hour, changes nothing; with another under way: refused", () => {
    const { session: begun, ...rest } = asks(state(null), { step: "begin", session: "conductivity", by: "Kim" });
    expect(begun).toEqual(newSession("conductivity", "Kim", READS));
    expect(rest).toEqual({
      calibration: NOTHING,
      accepted: true,
      why: "Begun. It ends by itself after an hour, and changes nothing before it is accepted.",
    });
    expect(asks(state(null), { step: "begin", session: "thermometers" }).session?.by).toBeNull();
    const under = state(session("thermometers"));
    expect(asks(under, { step: "begin", session: "conductivity" })).toEqual(
      refused(under, "A calibration is under way: accept or abandon it first."),
    );
  });
  test.each([
    ["conductivity", ["cellMsPerCm"]],
    ["thermometer-1", ["firstC"]],
    ["thermometer-2", ["secondC"]],
    ["thermometers", ["firstC", "secondC"]],
  ] as const)("begin of %s: refused without %j, and only then", (of, needed: readonly string[]) => {
    for (const probe of ["cellMsPerCm", "cellC", "firstC", "secondC"] as const) {
      const answer = asks(state(null), { step: "begin", session: of }, { ...READS, [probe]: null });
      expect(answer.accepted).toBe(!needed.includes(probe));
      if (!answer.accepted) {
        expect(answer.why).toBe("It gives no value now: look at its wire before it is calibrated.");
        expect(answer.session).toBeNull();
      }
    }
  });
  test('dry, watch, accept, abandon or reference without a session: refused, "begin one first"', () => {
    for (const step of ["dry", "watch", "accept", "abandon", "reference"] as const) {
      expect(asks(state(null), { step })).toEqual(
        refused(state(null), "No calibration is under way: begin one first."),
      );
    }
  });
  test("abandon: session gone, nothing changed; watch: means begin anew; in any kind of session", () => {
    for (const of of ["conductivity", "thermometers"] as const) {
      const under = state(session(of, { dry: true }));
      expect(asks(under, { step: "abandon" })).toEqual({
        calibration: NOTHING,
        session: null,
        accepted: true,
        why: "Abandoned. Nothing has changed.",
      });
      const anew = { cell: NOT_STILL, cellC: NOT_STILL, first: NOT_STILL, second: NOT_STILL };
      expect(asks(under, { step: "watch" })).toEqual({
        calibration: NOTHING,
        session: { ...under.session, ...anew },
        accepted: true,
        why: "Watched anew from now on.",
      });
    }
  });
  test("dry or accept in a thermometer's session, reference in the cell's: refused as another's step", () => {
    const thermometer = state(session("thermometer-1"));
    for (const step of ["dry", "accept"] as const) {
      expect(asks(thermometer, { step })).toEqual(
        refused(thermometer, "That is a step of the conductivity, not of a thermometer."),
      );
    }
    const cell = state(session("conductivity"));
    expect(asks(cell, { step: "reference", referenceC: 25 })).toEqual(
      refused(cell, "That is a step of a thermometer, not of the conductivity."),
    );
  });
  test("mark in a session: noted, session untouched", () => {
    const under = state(session("conductivity"));
    const answer = asks(under, { step: "mark", mark: "high-float-mm", mm: 75 });
    expect(answer).toMatchObject({ accepted: true, session: under.session });
    expect(answer.why).toBe("Noted. The high float: 75 mm, before 70 mm.");
    expect(answer.calibration.values["high-float-mm"]?.value).toBe(75);
  });
});

describe("the step dry", () => {
  const dry = (cellMsPerCm: number | null) =>
    asks(state(session("conductivity", { reads: { ...READS, cellMsPerCm } })), { step: "dry" });
  test("0.3 mS/cm: accepted; 0.31: refused with the reading; no value: refused for its wire", () => {
    expect(dry(0.3)).toMatchObject({ accepted: true, why: "Dry. Now the first standard.", session: { dry: true } });
    const wet = dry(0.31);
    expect(wet).toMatchObject({ accepted: false, session: { dry: false } });
    expect(wet.why).toBe(
      "It reads 0.31 mS/cm in the air, more than 0.3: rinse it, dry it, and look for salt between its plates.",
    );
    expect(dry(null)).toMatchObject({ accepted: false, why: "The cell gives no value; look at its wire." });
  });
});

const SEA = standardConductivity("sea-water-35", celsius(25)) as number;
const KCL = standardConductivity("kcl-0.1-molal", celsius(25)) as number;
const standardOf = (
  standard: StandardTaken["standard"],
  expected: number,
  read: number,
  lot: string | null = null,
) => ({
  standard,
  lot,
  temperatureC: 25,
  expectedMsPerCm: expected,
  readMsPerCm: read,
});

describe("a standard", () => {
  const hangs = (change: Partial<SessionMemory> = {}) => state(session("conductivity", { dry: true, ...change }));
  const takes = (before: Calibrating, more: object = {}) =>
    asks(before, { step: "standard", standard: "label", labelMsPerCm: 53, labelC: 25, ...more } as Step);

  test("cell dry, still, 53 mS/cm in the standard: taken with lot, expected and read; answer asks to accept or take a second", () => {
    const answer = takes(hangs(), { lot: "A7" });
    expect(answer).toMatchObject({ accepted: true, calibration: NOTHING });
    expect(answer.session?.taken).toEqual([standardOf("label", 53, 53, "A7")]);
    expect(answer.why).toBe(
      "It reads 53.00 where 53.00 mS/cm are expected (25.0 °C). Accept, or take a second standard.",
    );
    expect(takes(hangs()).session?.taken[0]?.lot).toBeNull();
  });
  test.each([
    [
      "without the dry cell: salt would be calibrated in",
      { dry: false },
      "First the dry cell in the air (dry): salt between the plates would be calibrated in.",
    ],
    [
      "while it hangs in the air, however still",
      { reads: { ...READS, cellMsPerCm: 0.02 } },
      "It reads as in the air: hang it in the standard first.",
    ],
    [
      "while it moves",
      { cell: NOT_STILL },
      "It still moves: a reading counts only when it has stood still. Wait, stir gently, and keep it from the sun.",
    ],
  ] as const)("refused %s", (_, change, why) => {
    const before = hangs(change);
    expect(takes(before)).toEqual(refused(before, why));
  });

  const BLIND = { cellC: NOT_STILL, reads: { ...READS, cellC: null } };
  test("no thermometer of its own: refused without temperatureC; with one: its own counts, a typed one more than 1 K off refused", () => {
    const blind = hangs(BLIND);
    expect(takes(blind)).toEqual(
      refused(blind, "Say the temperature of the standard (temperatureC): the probe has no thermometer of its own."),
    );
    expect(takes(blind, { temperatureC: 25.5 }).session?.taken[0]?.temperatureC).toBe(25.5);
    // Where both say one, the probe's is taken, if they mean the same bottle.
    for (const temperatureC of [24, 26]) {
      expect(takes(hangs(), { temperatureC }).session?.taken[0]?.temperatureC).toBe(25);
    }
    const other = hangs();
    for (const temperatureC of [23.9, 26.1]) {
      const why = `The probe says 25.0 °C and you ${temperatureC} °C: find out which is right.`;
      expect(takes(other, { temperatureC })).toEqual(refused(other, why));
    }
  });
  test('label without its temperature: refused, "say what the bottle says"', () => {
    const before = hangs();
    expect(takes(before, { labelC: undefined })).toEqual(
      refused(before, "Say what the bottle says: conductivity and temperature (labelMsPerCm, labelC)."),
    );
  });

  test("14.9 % apart either way: taken; 15.1 %: refused as clean the cell or worn", () => {
    const reads = (msPerCm: number) => takes(hangs({ cell: still(msPerCm) }));
    for (const share of [1.149, 0.851]) expect(reads(53 / share).accepted).toBe(true);
    for (const share of [1.151, 0.849])
      expect(reads(53 / share)).toMatchObject({ accepted: false, session: { taken: [] } });
    expect(reads(53 / 1.151).why).toBe(
      "It reads 46.05 where 53.00 mS/cm are expected (25.0 °C): more than 15 % apart. Clean the cell, drive out bubbles, take fresh standard; if it stays, the probe is worn.",
    );
  });
  test("reads like potassium chloride where sea water was named: refused as mixed up", () => {
    const mixed = asks(hangs({ cell: still(KCL) }), { step: "standard", standard: "sea-water-35" });
    expect(mixed).toMatchObject({ accepted: false, session: { taken: [] } });
    expect(mixed.why).toBe(
      `It reads ${KCL.toFixed(2)} where ${SEA.toFixed(2)} mS/cm are expected (25.0 °C): that is what potassium chloride, 0.1 mol/kg reads. Are the standards mixed up?`,
    );
  });

  const first = standardOf("sea-water-35", 50, 50);
  test("second within 1.9 % of the first's ratio: taken, both agree; 2.1 % apart: refused, names both", () => {
    const second = (share: number) => takes(hangs({ taken: [first], cell: still(53 / share) }));
    for (const share of [1.019, 0.981]) {
      expect(second(share)).toMatchObject({ accepted: true, why: expect.stringMatching(/\. Both agree: accept\.$/) });
      expect(second(share).session?.taken.map(({ standard }) => standard)).toEqual(["sea-water-35", "label"]);
    }
    expect(second(0.979)).toMatchObject({ accepted: false, session: { taken: [first] } });
    expect(second(1.021)).toMatchObject({ accepted: false, session: { taken: [first] } });
    expect(second(1.05).why).toBe(
      "It reads 50.48 where 53.00 mS/cm are expected (25.0 °C): it and sea water of salinity 35 disagree by 5.0 %. Are they mixed up, or is one spoilt? Take fresh ones.",
    );
    // What counts is how far the two are apart, not how far each is off.
    const off = { ...first, readMsPerCm: 50 / 1.1 };
    expect(takes(hangs({ taken: [off], cell: still(53 / 1.1) })).accepted).toBe(true);
    expect(takes(hangs({ taken: [off], cell: still(53 / 1.05) })).why).toMatch(/disagree by 4\.5 %/);
  });
  test("same standard again: takes its own place; a third: the newest two stay", () => {
    const spoilt = standardOf("label", 53, 48);
    const again = takes(hangs({ taken: [spoilt] }));
    expect(again.session?.taken).toEqual([standardOf("label", 53, 53)]);
    expect(again.why).toMatch(/Accept, or take a second standard\.$/);
    const oldest = standardOf("kcl-0.1-molal", 12, 12);
    const three = takes(hangs({ taken: [oldest, first] }));
    expect(three.session?.taken).toEqual([first, standardOf("label", 53, 53)]);
  });
});

describe("the step accept", () => {
  const of = (ratio: number, standard: StandardTaken["standard"] = "label", lot: string | null = "A7") =>
    standardOf(standard, 50, 50 / ratio, lot);
  const accepts = (taken: readonly StandardTaken[], change: Partial<SessionMemory> = {}, memory = NOTHING) =>
    asks(state(session("conductivity", { dry: true, taken, ...change }), memory), { step: "accept" });

  test("one standard 4 % low: factor 1.04 in force, with person, lot, temperature, standards and a doubt of 1 %; session over", () => {
    const answer = accepts([of(1.04)]);
    expect(answer).toMatchObject({ accepted: true, session: null });
    expect(answer.why).toBe("Calibrated: factor 1.0400, before 1.0000, a change of 4.0 %.");
    expect(answer.calibration.entries).toEqual([
      {
        number: 1,
        what: "conductivity",
        before: 1,
        after: expect.closeTo(1.04, 9),
        beforeNumber: null,
        ageMs: -0,
        by: "Kim",
        lot: "A7",
        temperatureC: 25,
        standards: [of(1.04)],
        // A label states 1 %.
        doubt: 1,
        standing: "in-force",
      },
    ]);
  });
  test("factor 1.05 before, standard 4 % low: 1.092", () => {
    const answer = accepts([of(1.04)], {}, withValue("conductivity", 1.05));
    expect(answer.calibration.values.conductivity?.value).toBeCloseTo(1.092, 9);
    expect(answer.why).toBe("Calibrated: factor 1.0920, before 1.0500, a change of 4.0 %.");
  });
  test("no standard taken: refused", () => {
    const before = state(session("conductivity", { dry: true }));
    expect(asks(before, { step: "accept" })).toEqual(refused(before, "No standard has been taken yet."));
  });
  test("1 % and 3 % low: their mean 1.02, doubt of 0.5 % and half of the 2 % between them", () => {
    // 0.5 % of the bottle that says most, and half of the 2 % between them.
    const taken = [of(1.01, "sea-water-35", "S1"), { ...of(1.03, "label", "A7"), temperatureC: 24 }];
    const entry = accepts(taken).calibration.entries[0];
    expect(entry?.after).toBeCloseTo(1.02, 9);
    expect(entry?.doubt).toBeCloseTo(Math.hypot(0.5, 1), 9);
    expect(entry).toMatchObject({ lot: "A7", temperatureC: 24, standards: taken });
    expect(accepts([...taken].reverse()).calibration.entries[0]?.doubt).toBeCloseTo(Math.hypot(0.5, 1), 9);
  });
  test("4.9 %: accepted; 5.1 %: asked for once more from the dry cell; found again within 2 %: accepted, otherwise not", () => {
    for (const ratio of [1.049, 0.951]) expect(accepts([of(ratio)]).accepted).toBe(true);
    for (const ratio of [1.051, 0.949]) {
      const again = accepts([of(ratio)]);
      expect(again).toMatchObject({ accepted: false, calibration: NOTHING, session: { dry: false, taken: [] } });
      expect(again.session?.repeat).toBeCloseTo(ratio, 9);
    }
    expect(accepts([of(1.08)]).why).toBe(
      "That is a change of 8.0 %. Clean the cell and do it once more with fresh standard: it counts when it says the same.",
    );
    for (const repeat of [1.08 / 1.019, 1.08 / 0.981]) expect(accepts([of(1.08)], { repeat }).accepted).toBe(true);
    for (const repeat of [1.08 / 1.021, 1.08 / 0.979]) expect(accepts([of(1.08)], { repeat }).accepted).toBe(false);
  });
  test("factor within 0.7 to 1.4: accepted; 1.404 or 0.696: refused as no drift any more", () => {
    for (const [before, ratio] of [
      [1.39, 1.006],
      [0.71, 0.994],
    ] as const) {
      expect(accepts([of(ratio)], {}, withValue("conductivity", before)).accepted).toBe(true);
    }
    // At the very limit it may still be found right.
    for (const before of [0.7, 1.4]) {
      expect(accepts([of(1)], {}, withValue("conductivity", before)).accepted).toBe(true);
    }
    const memory = withValue("conductivity", 1.39);
    const far = accepts([of(1.01)], {}, memory);
    expect(far).toMatchObject({ accepted: false, calibration: memory });
    expect(far.session?.taken).toHaveLength(1);
    expect(far.why).toBe("A factor of 1.404 is no drift any more: the probe, or how it is set up, is wrong.");
    expect(accepts([of(0.98)], {}, withValue("conductivity", 0.71)).why).toMatch(/^A factor of 0\.696 is no drift/);
  });
});

describe("a thermometer", () => {
  const refers = (of: Session, referenceC?: number, change: Partial<SessionMemory> = {}, memory = NOTHING) =>
    asks(state(session(of, change), memory), {
      step: "reference",
      ...(referenceC === undefined ? {} : { referenceC }),
    });

  test("reference 0.4 K above: 0.40 K added; one of 0.3 K before: what is missing is added to it", () => {
    const first = refers("thermometer-1", 24.4);
    expect(first).toMatchObject({ accepted: true, session: null });
    expect(first.why).toBe("Calibrated. added to thermometer 1: 0.40 K, before 0.00.");
    expect(first.calibration.entries[0]).toMatchObject({
      what: "thermometer-1",
      before: 0,
      after: expect.closeTo(0.4, 9),
      by: "Kim",
      lot: null,
      temperatureC: 24,
      standards: [],
      doubt: 0.2,
    });
    const second = refers("thermometer-2", 25.9, {}, withValue("thermometer-2", 0.3));
    expect(second.calibration.values["thermometer-2"]?.value).toBeCloseTo(0.2, 9);
    expect(second.calibration.entries.at(-1)).toMatchObject({ before: 0.3, temperatureC: 26 });
    expect(second.why).toBe("Calibrated. added to thermometer 2: 0.20 K, before 0.30.");
  });
  test("still moving, or no reference told: refused", () => {
    const moving = state(session("thermometer-1", { first: NOT_STILL }));
    expect(asks(moving, { step: "reference", referenceC: 24 })).toEqual(
      refused(
        moving,
        "It still moves: a reading counts only when it has stood still. Wait, stir gently, and keep it from the sun.",
      ),
    );
    const before = state(session("thermometer-1"));
    expect(asks(before, { step: "reference" })).toEqual(refused(before, "Say what the reference reads (referenceC)."));
  });
  test("1.5 K either way: accepted; 1.51: refused as broken, or not in the same water", () => {
    for (const referenceC of [25.5, 22.5]) expect(refers("thermometer-1", referenceC).accepted).toBe(true);
    for (const [referenceC, words] of [
      [25.51, "1.51"],
      [22.49, "-1.51"],
    ] as const) {
      const before = state(session("thermometer-1"));
      expect(asks(before, { step: "reference", referenceC })).toEqual(
        refused(
          before,
          `${words} K would be added, more than 1.5: it is broken, or it and the reference are not in the same water.`,
        ),
      );
    }
  });

  const both = (memory = NOTHING, change: Partial<SessionMemory> = {}) =>
    refers("thermometers", undefined, { second: still(25), ...change }, memory);
  const values = ({ calibration }: { calibration: CalibrationMemory }) =>
    [calibration.values["thermometer-1"], calibration.values["thermometer-2"]].map((value) =>
      value === null ? null : [Number(value.value.toFixed(6)), value.doubt],
    );
  test("24 and 25 °C together, neither known: +0.5 and −0.5 K, doubt of 0.35 K", () => {
    const answer = both();
    expect(answer).toMatchObject({ accepted: true, session: null });
    expect(values(answer)).toEqual([
      [0.5, 0.35],
      [-0.5, 0.35],
    ]);
    expect(answer.why).toBe(
      "Calibrated. added to thermometer 1: 0.50 K, before 0.00; added to thermometer 2: -0.50 K, before 0.00.",
    );
    expect(answer.calibration.entries.map(({ temperatureC }) => temperatureC)).toEqual([24, 25]);
  });
  test("one set to a reference before: it stays, the other moves all of the way; set to a mean before: both move", () => {
    expect(values(both(withValue("thermometer-1", 0.1)))).toEqual([
      [0.1, 0.2],
      [-1, 0.2],
    ]);
    expect(values(both(withValue("thermometer-2", 0.1)))).toEqual([
      [1, 0.2],
      [0.1, 0.2],
    ]);
    // It is not calibrated anew: it grows older.
    const { entries } = both(withValue("thermometer-1", 0.1)).calibration;
    expect(entries.map(({ what }) => what)).toEqual(["thermometer-1", "thermometer-2"]);
    // One that was set to a mean is not known.
    expect(values(both(withValue("thermometer-1", 0.1, 0.35)))).toEqual([
      [0.6, 0.35],
      [-0.5, 0.35],
    ]);
  });
  test("both set to a reference before: meet in the middle, doubt stays 0.2 K", () => {
    const known = withValue("thermometer-2", 0.2, 0.2, withValue("thermometer-1", 0.1));
    expect(values(both(known))).toEqual([
      [0.6, 0.2],
      [-0.3, 0.2],
    ]);
  });
  test("both together with a value of a reference: refused", () => {
    const before = state(session("thermometers"));
    expect(asks(before, { step: "reference", referenceC: 25 })).toEqual(
      refused(before, "Both are set to each other: send no value, or begin with one thermometer."),
    );
  });
  test("3.2 K apart together: refused for 1.60 K, neither changes", () => {
    const before = state(session("thermometers", { second: still(27.2) }));
    const answer = asks(before, { step: "reference" });
    expect(answer).toMatchObject({ accepted: false, calibration: NOTHING });
    expect(answer.why).toMatch(/^1\.60 K would be added/);
  });
});
