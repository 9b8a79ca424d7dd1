import { describe, expect, test } from "vitest";
import { agreeingWith } from "../../controller/decisions/calibration/agreeing.ts";
import { correctionsOf } from "../../controller/decisions/calibration/corrections.ts";
import { settingOf, settingsWith } from "../../controller/decisions/calibration/effective.ts";
import {
  AFTER_REFERENCE_K,
  type CalibrationMemory,
  calibrated,
  calibrationAfterRestart,
  calibrationAgeMs,
  calibrationInDoubt,
  calibrationUnder,
  type Entry,
  MOST_ENTRIES,
  type NewEntry,
  NO_VALUES,
  nothingCalibrated,
  olderCalibration,
  storedCalibration,
  undone,
  wellCalibrated,
  withValues,
} from "../../controller/decisions/calibration/memory.ts";
import { calibrationPrints, fingerprint } from "../../controller/decisions/calibration/prints.ts";
import { markMeasured, undoCalibration } from "../../controller/decisions/calibration/requests.ts";
import {
  expectedOf,
  readsLike,
  STANDARD_WORDS,
  standardDoubtPercent,
} from "../../controller/decisions/calibration/standards.ts";
import { calibrationStatus } from "../../controller/decisions/calibration/status.ts";
import { CALIBRATED, type Calibrated, type Mark, type Standard } from "../../shared/contract/calibration.ts";
import { standardConductivity } from "../../shared/seawater/index.ts";
import { rehearsalSettings, type Settings } from "../../shared/settings/index.ts";
import { celsius } from "../../shared/units/index.ts";

/** What was calibrated, as it is kept: what is in force, how old it is, and what takes it back. */
const FILE = rehearsalSettings();
const NOTHING = nothingCalibrated(FILE);
const DAY_MS = 86_400_000;
const DUE_MS = 30 * DAY_MS;
const MOST_AGE_MS = 10 * 365 * DAY_MS;

const entry = (what: Calibrated, after: number, change: Partial<NewEntry> = {}): NewEntry => ({
  what,
  before: 0,
  after,
  by: null,
  lot: null,
  temperatureC: null,
  standards: [],
  doubt: 0.2,
  ...change,
});
const having = (...values: [Calibrated, number][]) =>
  values.reduce((memory, [what, after]) => calibrated(memory, entry(what, after)), NOTHING);
const standings = (memory: CalibrationMemory) => memory.entries.map(({ standing }) => standing);
/** Aged by a minute and more: the time that is not in the ages yet is none. */
const aged = (memory: CalibrationMemory, ms: number) => olderCalibration(memory, ms);

describe("a calibration", () => {
  test("made under four earlier numbers: in force as number 5, with value and doubt, aged 0 from now", () => {
    const memory = calibrated({ ...NOTHING, sinceMs: 700, numbers: 4 }, entry("conductivity", 1.02, { by: "Kim" }));
    expect(memory).toEqual({
      ...NOTHING,
      sinceMs: 700,
      numbers: 5,
      values: { ...NO_VALUES, conductivity: { value: 1.02, doubt: 0.2, number: 5 } },
      entries: [
        {
          ...entry("conductivity", 1.02, { by: "Kim" }),
          number: 5,
          beforeNumber: null,
          ageMs: -700,
          standing: "in-force",
        },
      ],
    });
    expect(calibrationAgeMs(memory, "conductivity")).toBe(0);
    expect(calibrationAgeMs(memory, "thermometer-1")).toBeNull();
  });
  test("second of the same kind: the first is followed and named as the one before; another kind's stays in force", () => {
    const memory = having(["conductivity", 1.02], ["thermometer-1", 0.1], ["conductivity", 1.03]);
    expect(standings(memory)).toEqual(["followed", "in-force", "in-force"]);
    expect(memory.entries.map(({ beforeNumber }) => beforeNumber)).toEqual([null, null, 1]);
    expect(memory.values.conductivity).toEqual({ value: 1.03, doubt: 0.2, number: 3 });
    expect(memory.values["thermometer-1"]?.number).toBe(2);
  });
  test("second taken back: the first in force again; the first too: none; the other kind's untouched", () => {
    const memory = having(["conductivity", 1.02], ["thermometer-1", 0.1], ["conductivity", 1.03]);
    const back = undone(memory, memory.entries[2] as Entry);
    expect(standings(back)).toEqual(["in-force", "in-force", "undone"]);
    expect(back.values.conductivity?.value).toBe(1.02);
    expect(undone(back, back.entries[0] as Entry).values.conductivity).toBeNull();
  });
  test("no entry in force, or the only one undone: values are the one shared empty set", () => {
    expect(withValues({ ...having(["conductivity", 1.02]), entries: [] }).values).toBe(NO_VALUES);
    const memory = having(["conductivity", 1.02]);
    expect(undone(memory, memory.entries[0] as Entry).values).toBe(NO_VALUES);
  });
  test("fresh memory of two thermometers set to a reference: both in force at 0 K with a doubt of 0.2 K", () => {
    const well = wellCalibrated(FILE);
    expect(well.values).toEqual({
      ...NO_VALUES,
      "thermometer-1": { value: 0, doubt: AFTER_REFERENCE_K, number: 1 },
      "thermometer-2": { value: 0, doubt: AFTER_REFERENCE_K, number: 2 },
    });
    expect(well.entries[0]).toMatchObject({ before: 0, by: null, lot: null, temperatureC: null, standards: [] });
    expect(AFTER_REFERENCE_K).toBe(0.2);
  });
});

describe("a list of 24 entries", () => {
  test("one more: the oldest that is neither in force nor gone back to is dropped, 24 stay", () => {
    let memory = having(["thermometer-1", 0.1], ["conductivity", 1]);
    for (let more = memory.entries.length; more < MOST_ENTRIES; more++) {
      memory = calibrated(memory, entry("conductivity", 1 + more / 1000));
    }
    expect(memory.entries).toHaveLength(24);
    const numbers = (of: CalibrationMemory) => of.entries.map(({ number }) => number);
    expect(numbers(memory)[0]).toBe(1);
    const full = calibrated(memory, entry("conductivity", 1.1));
    expect(full.entries).toHaveLength(24);
    // Number 1 is in force; 2 is what nobody goes back to any more.
    expect(numbers(full).slice(0, 2)).toEqual([1, 3]);
    expect(numbers(full).at(-1)).toBe(25);
    expect(full.entries.at(-2)).toMatchObject({ number: 24, standing: "followed" });
  });
  test("40 more of the cell: the two of a thermometer, one in force and one before it, stay", () => {
    let memory = having(["thermometer-1", 0.1], ["thermometer-1", 0.2]);
    for (let more = 0; more < 40; more++) memory = calibrated(memory, entry("conductivity", 1 + more / 1000));
    expect(memory.entries.slice(0, 2).map(({ number }) => number)).toEqual([1, 2]);
    expect(memory.entries).toHaveLength(24);
  });
});

describe("age of a calibration", () => {
  const memory = having(["conductivity", 1.02]);
  test("59,999 ms: counted beside the entries; 1 ms more: 60,000 in the entry; at most ten years", () => {
    const early = aged(memory, 59_999);
    expect(early).toMatchObject({ sinceMs: 59_999, entries: memory.entries });
    expect(early.values).toBe(memory.values);
    expect(calibrationAgeMs(early, "conductivity")).toBe(59_999);
    const later = aged(early, 1);
    expect(later.sinceMs).toBe(0);
    expect(later.entries[0]?.ageMs).toBe(60_000);
    expect(calibrationAgeMs(later, "conductivity")).toBe(60_000);
    expect(aged(memory, 2 * MOST_AGE_MS).entries[0]?.ageMs).toBe(MOST_AGE_MS);
  });
  test("second one made a minute later: ages 60,000 and 0 ms", () => {
    const two = calibrated(aged(memory, 60_000), entry("thermometer-1", 0.1));
    expect([calibrationAgeMs(two, "conductivity"), calibrationAgeMs(two, "thermometer-1")]).toEqual([60_000, 0]);
  });
  test("nothing calibrated: no age, memory unchanged", () => {
    expect(aged(NOTHING, 59_999)).toEqual({ ...NOTHING, cellAgeMs: 59_999 });
    expect(aged({ ...NOTHING, sinceMs: 5 }, 10)).toEqual({ ...NOTHING, cellAgeMs: 10 });
    expect(calibrationAgeMs({ ...memory, entries: [] }, "conductivity")).toBeNull();
  });
  test("of the cell, where the settings alone say when: 1 h off is 1 h older, an unknown time makes it due, never younger", () => {
    const waited = { ...NOTHING, cellAgeMs: 5 };
    expect(calibrationAfterRestart(waited, 3_600_000).cellAgeMs).toBe(3_600_005);
    expect(calibrationAfterRestart(waited, null).cellAgeMs).toBe(DUE_MS);
    expect(calibrationAfterRestart({ ...NOTHING, cellAgeMs: DUE_MS + 1 }, null).cellAgeMs).toBe(DUE_MS + 1);
  });
  test("restart after 1 s: older by 1 s; after an unknown time: 30 days, or older where it was", () => {
    const waited = { ...memory, sinceMs: 7 };
    expect(calibrationAfterRestart(waited, 1_000)).toMatchObject({ sinceMs: 0, entries: [{ ageMs: 1_007 }] });
    const unknown = calibrationAfterRestart(waited, null);
    expect(unknown).toMatchObject({ sinceMs: 0, entries: [{ ageMs: DUE_MS }] });
    const old = { ...memory, entries: [{ ...(memory.entries[0] as Entry), ageMs: DUE_MS + 5 }] };
    expect(calibrationAfterRestart(old, null).entries[0]?.ageMs).toBe(DUE_MS + 5);
  });
});

/** The file with other lines in it, as it is after an edit. */
const edited = (tank: Partial<Settings["tank"]>, topOff: Partial<Settings["topOff"]> = {}): Settings => ({
  ...FILE,
  tank: { ...FILE.tank, ...tank },
  topOff: { ...FILE.topOff, ...topOff },
});

describe("calibrations under a changed settings file", () => {
  const memory = having(["high-float-mm", 75], ["high-float-mm", 76], ["low-float-mm", -55]);
  const back = undone(memory, memory.entries[1] as Entry);
  test("height of the high float changed: its calibration falls, the undone stays undone, the low float's stays in force", () => {
    const file = edited({ highFloatMm: 80 });
    const under = calibrationUnder(back, file);
    expect(standings(under)).toEqual(["fallen", "undone", "in-force"]);
    expect(under.values).toEqual({ ...NO_VALUES, "low-float-mm": { value: -55, doubt: 0.2, number: 3 } });
    expect(under.prints).toBe(calibrationPrints(file));
    // The fingerprints are of the new file: back under the old one they have changed again.
    expect(calibrationUnder(under, file)).toBe(under);
  });
  test("file that says the same: the very same memory", () => {
    expect(calibrationUnder(memory, FILE)).toBe(memory);
    expect(calibrationUnder(memory, edited({})).values).toEqual(memory.values);
  });
  const lines: [what: Calibrated, file: Settings][] = [
    ["high-float-mm", edited({ highFloatMm: 80 })],
    ["low-float-mm", edited({ lowFloatMm: -50 })],
    ["float-hysteresis-mm", edited({ floatHysteresisMm: 6 })],
    ["pump-off-level-mm", edited({ pumpOffLevelMm: 50 })],
    ["top-off-flow", edited({}, { provenFlowLPerMin: 1.4 })],
  ];
  test.each(lines)("%s: its fingerprint changes with its own line only", (what, file) => {
    const [before, after] = [calibrationPrints(FILE), calibrationPrints(file)];
    expect(CALIBRATED.filter((each) => before[each] !== after[each])).toEqual([what]);
  });
  test.each([
    ["conductivity-probe", "conductivity"],
    ["thermometer-1", "thermometer-1"],
    ["thermometer-2", "thermometer-2"],
    ["top-off-pump", "top-off-flow"],
  ] as const)("%s wired otherwise: only its own fingerprint changes", (part, what) => {
    const wired = { board: "io", pin: 7 };
    const of = part === "top-off-pump" ? "outputs" : "inputs";
    const after = calibrationPrints({ ...FILE, [of]: { ...FILE[of], [part]: wired } } as unknown as Settings);
    const before = calibrationPrints(FILE);
    expect(CALIBRATED.filter((each) => before[each] !== after[each])).toEqual([what]);
  });
  test('fingerprints: the published values of the hash for "", "a" and "foobar"; made once per file', () => {
    // FNV-1a in 32 bits, by the page of its authors (Fowler, Noll, Vo): the empty text, "a" and "foobar"; from memory.
    expect([fingerprint(""), fingerprint("a"), fingerprint("foobar")]).toEqual(["811c9dc5", "e40c292c", "bf9cf968"]);
    expect(calibrationPrints(FILE)).toBe(calibrationPrints(FILE));
    expect(calibrationPrints(FILE).conductivity).toBe(fingerprint("null"));
  });
});

describe("calibrations with the durable memory in doubt", () => {
  const inDoubt = (memory: CalibrationMemory, testimony: Parameters<typeof calibrationInDoubt>[2]) =>
    calibrationInDoubt(memory, FILE, testimony);
  test("any entry: due, still in force; numbers go on above its own and the witness's", () => {
    const memory = having(["conductivity", 1.02]);
    expect(inDoubt(memory, null)).toMatchObject({ numbers: 1, entries: [{ ageMs: DUE_MS, standing: "in-force" }] });
    expect(inDoubt(memory, { flowLPerMin: 0, calibrations: 9 }).numbers).toBe(9);
    expect(inDoubt({ ...memory, numbers: 12 }, { flowLPerMin: 0, calibrations: 9 }).numbers).toBe(12);
  });
  test("witness knows a stronger pump than file and memory: its flow is in force, due, a tenth in doubt; a weaker one: not", () => {
    const stronger = inDoubt(NOTHING, { flowLPerMin: 1.8, calibrations: 4 });
    expect(stronger.entries).toEqual([
      {
        ...entry("top-off-flow", 1.8, { before: 1.5, doubt: expect.closeTo(0.18, 9) as unknown as number }),
        number: 5,
        beforeNumber: null,
        ageMs: DUE_MS,
        standing: "in-force",
      },
    ]);
    expect(stronger.values["top-off-flow"]?.value).toBe(1.8);
    expect(inDoubt(NOTHING, { flowLPerMin: 1.5, calibrations: 0 }).values).toBe(NO_VALUES);
    // Of its own memory, not only of the file.
    const known = having(["top-off-flow", 2]);
    expect(inDoubt(known, { flowLPerMin: 1.8, calibrations: 0 }).values["top-off-flow"]?.value).toBe(2);
    expect(inDoubt(known, { flowLPerMin: 2.1, calibrations: 0 }).entries.at(-1)).toMatchObject({
      before: 2,
      after: 2.1,
    });
  });
  test("calibrated under another file: falls", () => {
    const other = edited({ highFloatMm: 80 });
    const memory = calibrated(nothingCalibrated(other), entry("high-float-mm", 90));
    expect(standings(inDoubt(memory, null))).toEqual(["fallen"]);
  });
});

describe("settings as calibrations change them", () => {
  const values = having(
    ["conductivity", 1.02],
    ["top-off-flow", 1.2],
    ["high-float-mm", 75],
    ["low-float-mm", -55],
    ["float-hysteresis-mm", 6],
    ["pump-off-level-mm", 62],
  ).values;
  test("six values: each in its place, all else as in the file", () => {
    expect(settingsWith(FILE, values)).toEqual({
      ...FILE,
      tank: { ...FILE.tank, highFloatMm: 75, lowFloatMm: -55, floatHysteresisMm: 6, pumpOffLevelMm: 62 },
      topOff: { ...FILE.topOff, provenFlowLPerMin: 1.2 },
      conductivity: { ...FILE.conductivity, cellConstantPercent: 0.2 },
    });
  });
  test("no such value: the very same settings; the same values: made once", () => {
    expect(settingsWith(FILE, NO_VALUES)).toBe(FILE);
    expect(settingsWith(FILE, having(["thermometer-1", 0.1], ["thermometer-2", 0.1]).values)).toBe(FILE);
    expect(settingsWith(FILE, values)).toBe(settingsWith(FILE, values));
    // Of the same file, each set of values has its own.
    expect(settingsWith(FILE, having(["top-off-flow", 1.3]).values).topOff.provenFlowLPerMin).toBe(1.3);
    expect(settingsWith(FILE, values)).toBe(settingsWith(FILE, values));
  });
  const single: [what: Calibrated, value: number, of: (settings: Settings) => number][] = [
    ["conductivity", 1.02, ({ conductivity }) => conductivity.cellConstantPercent],
    ["top-off-flow", 1.2, ({ topOff }) => topOff.provenFlowLPerMin],
    ["high-float-mm", 75, ({ tank }) => tank.highFloatMm],
    ["low-float-mm", -55, ({ tank }) => tank.lowFloatMm],
    ["float-hysteresis-mm", 6, ({ tank }) => tank.floatHysteresisMm],
    ["pump-off-level-mm", 62, ({ tank }) => tank.pumpOffLevelMm],
  ];
  test.each(single)("%s alone: its own place changes, the others as in the file", (what, value, of) => {
    const after = settingsWith(FILE, having([what, value]).values);
    expect(of(after)).toBe(what === "conductivity" ? 0.2 : value);
    for (const [other, , its] of single) if (other !== what) expect(its(after)).toBe(its(FILE));
  });
  test("settingOf, nothing calibrated: the file's value of each", () => {
    expect(CALIBRATED.map((what) => settingOf(what, FILE))).toEqual([1, 0, 0, 1.5, 70, -60, 5, 60]);
  });
});

describe("corrections of readings", () => {
  const { values } = [
    entry("thermometer-1", 0.3, { doubt: 0.1 }),
    entry("thermometer-2", -0.2),
    entry("conductivity", 1.02),
  ].reduce(calibrated, NOTHING);
  const CORRECTED = {
    firstK: 0.3,
    secondK: -0.2,
    firstDoubtK: 0.1,
    secondDoubtK: 0.2,
    cellFactor: 1.02,
    changed: false,
  };
  const BARE = { firstK: 0, secondK: 0, firstDoubtK: 0.5, secondDoubtK: 0.5, cellFactor: 1, changed: false };
  test("three values: offsets, cell factor and doubts as found; none: 0 K, 1, doubt of 0.5 K", () => {
    expect(correctionsOf(values, values)).toEqual(CORRECTED);
    expect(correctionsOf(values, null)).toEqual(CORRECTED);
    expect(correctionsOf(NO_VALUES, null)).toEqual(BARE);
    expect(correctionsOf(having(["top-off-flow", 1]).values, null)).toEqual(BARE);
    expect(correctionsOf(values, null)).toBe(correctionsOf(values, null));
  });
  test.each([
    ["thermometer-1", 0.4],
    ["thermometer-2", 0.4],
    ["conductivity", 1.03],
  ] as const)("%s changed, made or taken back: changed is true", (what, after) => {
    const now = having([what, after]).values;
    expect(correctionsOf(now, NO_VALUES).changed).toBe(true);
    expect(correctionsOf(NO_VALUES, now).changed).toBe(true);
  });
  test("only a doubt or a mark changed: changed is false", () => {
    const now = having(["thermometer-1", 0.3], ["thermometer-2", -0.2], ["conductivity", 1.02], ["high-float-mm", 75]);
    expect(correctionsOf(now.values, values).changed).toBe(false);
  });
});

describe("a mark measured with a ruler", () => {
  const mark = (of: Mark, mm: number, memory = NOTHING, more: object = {}) =>
    markMeasured(memory, { kind: "calibrate", id: "x", at: "tank", step: "mark", mark: of, mm, ...more }, FILE);
  test.each([
    ["high-float-mm", 75, "Noted. The high float: 75 mm, before 70 mm."],
    ["low-float-mm", -55, "Noted. The low float: -55 mm, before -60 mm."],
    ["float-hysteresis-mm", 6, "Noted. The way of the working float between low and full: 6 mm, before 5 mm."],
    ["pump-off-level-mm", 62, "Noted. The level with the return pump off: 62 mm, before 60 mm."],
  ] as const)("%s at %d mm: accepted, kept with a doubt of 2 mm, answer: %s", (of, mm, why) => {
    const answer = mark(of, mm, NOTHING, { by: "Kim" });
    expect([answer.accepted, answer.why]).toEqual([true, why]);
    expect(answer.calibration.entries).toEqual([
      {
        ...entry(of, mm, { before: settingOf(of, FILE), by: "Kim", doubt: 2 }),
        number: 1,
        beforeNumber: null,
        ageMs: -0,
        standing: "in-force",
      },
    ]);
  });
  test("measured again, nobody named: 76 mm, before 75", () => {
    const again = mark("high-float-mm", 76, mark("high-float-mm", 75).calibration);
    expect(again.why).toBe("Noted. The high float: 76 mm, before 75 mm.");
    expect(again.calibration.entries.at(-1)?.by).toBeNull();
  });
  test("high float below the pump-off level, or no number: refused, says why, memory unchanged", () => {
    expect(mark("high-float-mm", 55)).toEqual({
      calibration: NOTHING,
      accepted: false,
      why: "55 mm does not fit: tank.highFloatMm must be above tank.pumpOffLevelMm, or the high float is wet whenever the return pump stops.",
    });
    for (const mm of [Number.NaN, Infinity]) {
      expect(mark("high-float-mm", mm)).toEqual({
        calibration: NOTHING,
        accepted: false,
        why: "A mark in millimetres is expected.",
      });
    }
  });
});

describe("a calibration to be taken back", () => {
  const undo = (memory: CalibrationMemory, number: number) =>
    undoCalibration(memory, { kind: "undo-calibration", id: "x", at: "tank", number }, FILE);
  test("newest of its kind: taken back, the answer says what counts from now on", () => {
    const memory = having(["conductivity", 1.023456], ["conductivity", 1.05], ["high-float-mm", 75]);
    const first = undo(memory, 2);
    expect(first).toMatchObject({
      accepted: true,
      why: "Taken back; from now on: factor of the conductivity cell 1.023.",
    });
    expect(undo(first.calibration, 1).why).toBe("Taken back; from now on: factor of the conductivity cell 1.");
    expect(undo(memory, 3).why).toBe("Taken back; from now on: height of the high float 70 mm.");
  });
  test("unknown number, or one that is not in force: refused", () => {
    const memory = having(["conductivity", 1.02], ["conductivity", 1.03]);
    expect(undo(memory, 9)).toEqual({
      calibration: memory,
      accepted: false,
      why: "There is no calibration of that number.",
    });
    expect(undo(memory, 1)).toEqual({
      calibration: memory,
      accepted: false,
      why: "That one is not in force any more; the newest of its kind can be taken back.",
    });
  });
  test("high float raised first, pump-off level measured above its old mark: undoing the high float refused", () => {
    // A high float raised first, then a level measured above the old one.
    const memory = having(["high-float-mm", 90], ["pump-off-level-mm", 80]);
    expect(undo(memory, 1)).toEqual({
      calibration: memory,
      accepted: false,
      why: "Without it tank.highFloatMm must be above tank.pumpOffLevelMm, or the high float is wet whenever the return pump stops.",
    });
  });
});

describe("calibrations that contradict the settings file", () => {
  const agreed = (memory: CalibrationMemory, file: Settings) => agreeingWith(memory, file);
  const lower = edited({ highFloatMm: 65 });
  test("high float at 65 mm in the file, marks of 62 and 68: both fall; low float and flow stay; the undone stays undone", () => {
    const memory = having(
      ["pump-off-level-mm", 62],
      ["pump-off-level-mm", 68],
      ["low-float-mm", -55],
      ["top-off-flow", 2.4],
    );
    const after = agreed(memory, lower);
    expect(standings(after)).toEqual(["fallen", "fallen", "in-force", "in-force"]);
    expect(after.values["pump-off-level-mm"]).toBeNull();
    expect(after.values["top-off-flow"]?.value).toBe(2.4);
    const back = undone(memory, memory.entries[1] as Entry);
    const raised = calibrated(back, entry("high-float-mm", 61));
    expect(standings(agreed(raised, lower))).toEqual(["fallen", "undone", "in-force", "in-force", "fallen"]);
  });
  test("calibrated flow too small for the file's slice: the flow falls, the mark stays", () => {
    const memory = having(["top-off-flow", 0.2], ["low-float-mm", -55]);
    expect(standings(agreed(memory, FILE))).toEqual(["fallen", "in-force"]);
  });
  test("contradiction of another kind: every calibration falls", () => {
    const memory = having(["top-off-flow", 1.4], ["float-hysteresis-mm", 500], ["thermometer-1", 0.1]);
    expect(standings(agreed(memory, FILE))).toEqual(["fallen", "fallen", "fallen"]);
    expect(agreed(memory, FILE).values).toBe(NO_VALUES);
  });
  test("file wrong by itself: nothing calibrated stays nothing; otherwise everything falls, and the search ends", () => {
    const faulty = edited({ highFloatMm: 55 });
    expect(agreed(NOTHING, faulty)).toBe(NOTHING);
    // No such file is ever started with; what matters is that the search ends.
    expect(standings(agreed(having(["top-off-flow", 1.4]), faulty))).toEqual(["fallen"]);
  });
  test("no contradiction: the very same memory", () => {
    const memory = having(["pump-off-level-mm", 62]);
    expect(agreed(memory, FILE)).toBe(memory);
  });
});

describe("what is shown of calibrations", () => {
  test("one entry of the cell, aged 30 s: value, unit, number and age; the file's values without age; entries without their doubt", () => {
    const memory = aged(having(["conductivity", 1.02]), 30_000);
    const { inForce, session, entries } = calibrationStatus(memory, null, FILE);
    expect(inForce.conductivity).toEqual({ value: 1.02, unit: "", number: 1, ageMs: 30_000 });
    expect(inForce["high-float-mm"]).toEqual({ value: 70, unit: "mm", number: null, ageMs: null });
    expect(Object.keys(inForce)).toEqual([...CALIBRATED]);
    expect(session).toBeNull();
    const { doubt: _, ...shown } = entry("conductivity", 1.02);
    expect(entries).toEqual([{ ...shown, number: 1, unit: "", ageMs: 30_000, standing: "in-force" }]);
  });
});

describe("standards of conductivity", () => {
  test.each([
    ["sea-water-35", 0.5, 0.5],
    ["kcl-0.1-molal", 0.5, 0.5],
    ["kcl-0.01-molal", 0.5, 0.5],
    ["kcl-0.1-molar", 1, 1],
    ["label", 1, 1],
  ] as const)("%s: doubt of %d % from 20 mS/cm on, with 1 % more below", (standard, near, own) => {
    expect(standardDoubtPercent(standard, 20)).toBe(near);
    expect(standardDoubtPercent(standard, 19.99)).toBeCloseTo(Math.hypot(own, 1), 12);
  });
  test("names: each says what tells its bottle from the others", () => {
    expect(STANDARD_WORDS).toEqual({
      "sea-water-35": expect.stringMatching(/^sea water .*35$/),
      "kcl-0.1-molal": expect.stringMatching(/^potassium chloride, 0\.1 mol\/kg$/),
      "kcl-0.01-molal": expect.stringMatching(/^potassium chloride, 0\.01 mol\/kg$/),
      "kcl-0.1-molar": expect.stringMatching(/^potassium chloride, 12\.88 mS\/cm/),
      label: expect.stringMatching(/label$/),
    });
  });
  const expected = (temperatureC: number, more: object = {}, standard: Standard = "label") =>
    expectedOf({ kind: "calibrate", id: "x", at: "tank", step: "standard", standard, ...more }, temperatureC);
  test("known solutions from 0 to 40 °C; a label within 1 K of its temperature, with its slope within 10 K; outside: says what to do", () => {
    expect(expected(25, {}, "sea-water-35")).toBe(standardConductivity("sea-water-35", celsius(25)));
    expect(expected(41, {}, "sea-water-35")).toBe("This standard is known from 0 to 40 °C, and it has 41.0 °C.");
    const label = { labelMsPerCm: 50, labelC: 25 };
    for (const temperatureC of [24, 25, 26]) expect(expected(temperatureC, label)).toBe(50);
    for (const temperatureC of [23.9, 26.1]) {
      expect(expected(temperatureC, label)).toBe(
        `The bottle speaks of 25 °C and the standard has ${temperatureC} °C: bring it within 1 K, or give its change per kelvin.`,
      );
    }
    const sloped = { ...label, labelPercentPerK: 2 };
    expect(expected(35, sloped)).toBeCloseTo(60, 9);
    expect(expected(15, sloped)).toBeCloseTo(40, 9);
    expect(expected(35.1, sloped)).toBe("Bring the standard within 10 K of the 25 °C of its label.");
    const missing = "Say what the bottle says: conductivity and temperature (labelMsPerCm, labelC).";
    for (const half of [{ labelC: 25 }, { labelMsPerCm: 50 }]) expect(expected(25, half)).toBe(missing);
  });
  test("reading within 5 % of another known solution: named; beyond it, or like itself: not", () => {
    const kcl = standardConductivity("kcl-0.01-molal", celsius(25)) as number;
    expect(readsLike(kcl, 25, "sea-water-35")).toBe("potassium chloride, 0.01 mol/kg");
    expect(readsLike(kcl, 25, "kcl-0.01-molal")).toBeNull();
    expect([readsLike(kcl * 1.049, 25, "label"), readsLike(kcl * 1.051, 25, "label")]).toEqual([
      "potassium chloride, 0.01 mol/kg",
      null,
    ]);
    expect([readsLike(kcl * 0.951, 25, "label"), readsLike(kcl * 0.949, 25, "label")]).toEqual([
      "potassium chloride, 0.01 mol/kg",
      null,
    ]);
    const sea = standardConductivity("sea-water-35", celsius(25)) as number;
    expect(readsLike(sea, 25, "label")).toBe("sea water of salinity 35");
    expect(readsLike(sea, 60, "label")).toBeNull();
    const molar = standardConductivity("kcl-0.1-molar", celsius(25)) as number;
    expect(readsLike(molar, 25, "kcl-0.1-molal")).toBe("potassium chloride, 12.88 mS/cm at 25 °C");
    expect(readsLike(molar, 25, "kcl-0.1-molar")).toBe("potassium chloride, 0.1 mol/kg");
  });
});

describe("calibrations as they are stored", () => {
  const taken = {
    standard: "sea-water-35",
    lot: null,
    temperatureC: 25,
    expectedMsPerCm: 53,
    readMsPerCm: 52,
  } as const;
  const memory = [
    entry("conductivity", 1.02, { standards: [taken], lot: "A7", by: "Kim", temperatureC: 25 }),
    entry("conductivity", 1.03),
    entry("high-float-mm", 75),
  ].reduce(calibrated, { ...NOTHING, sinceMs: 5 });
  const written = (): { entries: Record<string, unknown>[]; [key: string]: unknown } =>
    JSON.parse(JSON.stringify(memory));
  const read = (change: object) => storedCalibration(FILE).parse({ ...written(), ...change });
  const readFirst = (first: unknown) => read({ entries: [first, ...written().entries.slice(1)] });
  test("written and read: the same", () => {
    expect(storedCalibration(FILE).parse(written())).toEqual(memory);
  });
  test.each([[undefined], [null], ["calibrated"], [{}], [{ entries: "none" }]])("%j: nothing calibrated", (stored) => {
    // Nobody knows how long ago the cell was calibrated: it is due.
    expect(storedCalibration(FILE).parse(stored)).toEqual({ ...NOTHING, cellAgeMs: DUE_MS });
  });
  test("number, time or fingerprints unreadable: number of the last entry, 0 ms, those of the file", () => {
    expect(read({ numbers: 9 }).numbers).toBe(9);
    expect(read({ numbers: 2 }).numbers).toBe(3);
    expect(read({ numbers: "9" }).numbers).toBe(3);
    expect(read({ sinceMs: "5" }).sinceMs).toBe(0);
    expect(read({ sinceMs: -5 }).sinceMs).toBe(0);
    expect(read({ prints: undefined }).prints).toEqual(NOTHING.prints);
    expect(read({ prints: { conductivity: "x" } }).prints).toEqual({
      ...NOTHING.prints,
      conductivity: "x",
    });
  });
  const broken: [string, Record<string, unknown>][] = [
    ["number", { number: 1.5 }],
    ["number as text", { number: "1" }],
    ["kind", { what: "calcium" }],
    ["value before", { before: null }],
    ["value after", { after: Number.NaN }],
    ["age", { ageMs: "0" }],
    ["doubt", { doubt: null }],
    ["number before it", { beforeNumber: "none" }],
    ["name", { by: 5 }],
    ["lot", { lot: 5 }],
    ["temperature", { temperatureC: "25" }],
    ["standards", { standards: {} }],
    ["standard", { standards: [taken, "sea water"] }],
    ["standard that is nothing", { standards: [taken, null] }],
    ["name of a standard", { standards: [{ ...taken, standard: 5 }] }],
    ["lot of a standard", { standards: [{ ...taken, lot: 5 }] }],
    ["temperature of a standard", { standards: [{ ...taken, temperatureC: null }] }],
    ["expectation of a standard", { standards: [{ ...taken, expectedMsPerCm: null }] }],
    ["reading of a standard", { standards: [{ ...taken, readMsPerCm: null }] }],
    ["standing", { standing: "good" }],
  ];
  test.each(broken)("entry with an unreadable %s: dropped, the others stay", (_, change) => {
    const after = readFirst({ ...written().entries[0], ...change });
    expect(after.entries.map(({ number }) => number)).toEqual([2, 3]);
  });
  test("entry that is no object: dropped, the others stay", () => {
    const after = readFirst(null);
    expect(after.entries.map(({ number }) => number)).toEqual([2, 3]);
  });
  test.each(["in-force", "followed", "undone", "fallen"] as const)("entry stored as %s: read as that", (standing) => {
    const [first, second, third] = written().entries;
    const after = read({ entries: [first, { ...second, standing }, third] });
    expect(after.entries[1]?.standing).toBe(standing);
    expect(after.values.conductivity?.value).toBe(standing === "in-force" ? 1.03 : undefined);
  });
});
