import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { answersOfFile } from "../../controller/cli/init/answers-of-file.ts";
import { createId } from "../../controller/cli/init/box.ts";
import { conduct } from "../../controller/cli/init/conduct.ts";
import type { PluggedIn } from "../../controller/cli/init/draft.ts";
import { type Existing, mergeWithExisting } from "../../controller/cli/init/existing.ts";
import { interview } from "../../controller/cli/init/interview.ts";
import { checkSettings, checkUnfinished, type SettingsFile } from "../../shared/settings/index.ts";
import { REFERENCE_BOX, type Script, scripted } from "./scripted.ts";

/** The questionnaire: what it asks, what it refuses, and that whatever it ends in can be used. */

const NOTHING: PluggedIn = { ports: [], thermometers: [] };

async function answered(script: Script, plugged = NOTHING, existing: Existing | null = null) {
  const keeper = scripted(script);
  const draft = await interview(keeper, plugged, existing);
  const file = mergeWithExisting(draft, existing);
  return { keeper, draft, file, ...checkUnfinished(JSON.parse(JSON.stringify(file))) };
}

describe("the reference box", () => {
  test("all answers: settings without a fault, each answer in its place, no guard of the keeper's own", async () => {
    const { settings, faults, toMeasure, draft } = await answered(REFERENCE_BOX);
    expect([faults, toMeasure]).toEqual([[], []]);
    expect(settings).toMatchObject({
      tank: {
        netVolumeL: 140,
        lastChamberM2: 0.02,
        surfaceM2: 0.3504,
        pumpOffLevelMm: 60,
        highFloatMm: 70,
        lowFloatMm: -60,
      },
      targets: { temperatureC: 25, salinity: 35 },
      topOff: { provenFlowLPerMin: 1.5, evaporationLPerDay: 1.5, reservoirL: 4, dailyBudgetL: 3 },
      heat: { heaterW: 200, lossWPerK: 15, coldestRoomC: 18, roomC: 22, returnPumpW: 25 },
      boards: { io: { kind: "firmata", firmware: "guard" }, bus: { kind: "one-wire" } },
    });
    expect(Object.keys(draft.outputs).sort()).toEqual(["heat-guard", "heater-1", "top-off-pump", "water-guard"]);
    expect(draft.independentGuard).toBeUndefined();
  });

  test("every question: 36 at most; measures left for later: 25 at most", async () => {
    expect((await answered(REFERENCE_BOX)).keeper.asked.length).toBeLessThanOrEqual(36);
    const later = await answered({ ...REFERENCE_BOX, measures: "later" });
    expect(later.keeper.asked.length).toBeLessThanOrEqual(25);
  });

  test("contacts: closed on the side that a broken wire must not look like", async () => {
    const { settings } = await answered(REFERENCE_BOX);
    const closed = Object.entries(settings?.inputs ?? {}).map(([part, wired]) => [
      part,
      (wired as { closedWhen?: string })?.closedWhen,
    ]);
    expect(Object.fromEntries(closed)).toMatchObject({
      "working-float": "off",
      "high-float": "off",
      "low-float": "on",
      "reservoir-float": "on",
      "floor-sensor": "off",
      "mains-sensor": "on",
      "return-sensor": "on",
    });
  });

  test("usual pins: working and high float on different ports, no pin asked for", async () => {
    const { settings, keeper } = await answered(REFERENCE_BOX);
    const { "working-float": working, "high-float": high } = settings?.inputs ?? {};
    expect(Math.floor((working?.pin as number) / 8)).not.toBe(Math.floor((high?.pin as number) / 8));
    expect(keeper.asked.filter((id) => /\.pin$/.test(id))).toEqual([]);
  });

  test("standard firmware: accepted; the last free pin of a port: refused; guard firmware: taken", async () => {
    const standard = { ...REFERENCE_BOX, "board.firmware": "standard", letsGo: "attended" };
    expect((await answered(standard)).faults).toEqual([]);
    const full = await answered({ ...standard, usualPins: "no", "inputs.return-sensor.pin": ["7", "A4"] });
    expect(full.faults).toEqual([]);
    expect(full.keeper.refused).toMatchObject([{ answer: "7", refused: expect.stringMatching(/7 is the last/) }]);
    const guarded = await answered({ ...REFERENCE_BOX, usualPins: "no", "inputs.return-sensor.pin": "7" });
    expect([guarded.faults, guarded.keeper.refused]).toEqual([[], []]);
  });

  test("button and sensed outputs: not asked for unless named as extras; taken pins refused", async () => {
    const without = await answered(REFERENCE_BOX);
    expect(without.settings?.inputs["tank-button"]).toBeUndefined();
    const { settings, faults, keeper } = await answered({
      ...REFERENCE_BOX,
      extras: "button sensed",
      "inputs.tank-button.pin": "7",
      "outputs.heater-1.sensed.pin": ["7", "A4"],
      "outputs.heat-guard.sensed.pin": ["A4", "A5"],
    });
    expect(faults).toEqual([]);
    expect(settings?.inputs["tank-button"]).toMatchObject({ board: "io", pin: 7 });
    expect(settings?.outputs["heater-1"]?.sensed).toEqual({ board: "io", pin: 18, closedWhen: "off" });
    expect(settings?.outputs["heat-guard"]?.sensed).toMatchObject({ pin: 19 });
    expect(settings?.outputs["top-off-pump"]?.sensed).toBeUndefined();
    expect(keeper.refused).toMatchObject([
      { answer: "7", refused: expect.stringMatching(/button at the tank has 7/) },
      { answer: "A4", refused: expect.stringMatching(/sensor behind the heater has 18/) },
    ]);
  });

  test("two heaters of 75 W: in the settings, pins 12 and 13, told how its firmware is built; 4 W: refused", async () => {
    const two = {
      ...REFERENCE_BOX,
      heaters: "2",
      "heat.heaterW": "75",
      "heat.secondHeater.heaterW": ["4", "75"],
      "heat.secondHeater.thermometerSharesHeaterChamber": "yes",
    };
    const { keeper, settings, faults } = await answered(two);
    expect(faults).toEqual([]);
    expect(settings?.heat).toMatchObject({ heaterW: 75, secondHeater: { heaterW: 75, heaterPlace: "pinned-chamber" } });
    expect([settings?.outputs["heater-2"]?.pin, settings?.outputs["heat-guard-2"]?.pin]).toEqual([12, 13]);
    expect(keeper.said.join("\n")).toMatch(/SECOND_HEATER=1/);
    expect(keeper.refused).toMatchObject([{ answer: "4", refused: expect.stringMatching(/10 W to 397 W/) }]);
  });

  test("pin 12 taken: one heater, told by what", async () => {
    const taken = { ...REFERENCE_BOX, usualPins: "no", "inputs.return-sensor.pin": "12" };
    const { keeper, settings, faults } = await answered(taken);
    expect(faults).toEqual([]);
    expect(settings?.heat.secondHeater).toBeNull();
    expect(keeper.said.join("\n")).toMatch(/the return-pump sensor is on 12: so there is one heater/);
  });
});

describe("units as the keeper has them", () => {
  // 37 US gal × 3.785411784 = 140.06 L; 77 °F = 25 °C; 10 × 3.15 in × 25.4² = 0.02032 m² (definitions of the units, exact).
  test("37 US gal, 77 °F, inches: 140 L, 25 °C, millimetres in the settings", async () => {
    const script = {
      ...REFERENCE_BOX,
      units: "us",
      "tank.netVolumeL": "37",
      "targets.temperatureC": "77",
      "tank.lastChamberM2": "10 x 3.15",
      "tank.surfaceM2": "28.7 x 18.9",
      "tank.pumpOffLevelMm": "2.4",
      "tank.highFloatMm": "2.75",
      "topOff.evaporationLPerDay": "0.4",
      "topOff.reservoirL": "1",
    };
    const { settings, faults } = await answered(script);
    expect(faults).toEqual([]);
    expect(settings?.tank.netVolumeL).toBeCloseTo(140.06, 2);
    expect(settings?.targets.temperatureC).toBeCloseTo(25, 9);
    expect(settings?.tank).toMatchObject({ lastChamberM2: 0.02032, pumpOffLevelMm: 60.96, highFloatMm: 69.85 });
    expect(settings?.topOff.evaporationLPerDay).toBeCloseTo(1.51, 2);
    expect(settings?.topOff.reservoirL).toBeCloseTo(3.785, 3);
    expect(settings?.units).toEqual({ temperature: "°F", volume: "US gal", length: "in" });
  });

  test("US units chosen, metric answers: taken; out of bounds: refused in gallons and °F", async () => {
    const { settings, keeper } = await answered({
      ...REFERENCE_BOX,
      units: "us",
      "tank.netVolumeL": ["600 gal", "140 L"],
      "targets.temperatureC": ["95", "25 C"],
      "tank.lastChamberM2": "250 x 80 mm",
      "tank.surfaceM2": "73 x 48 cm",
      "tank.pumpOffLevelMm": "6 cm",
      "tank.highFloatMm": "70 mm",
      "topOff.evaporationLPerDay": "1.5 L/d",
      "topOff.reservoirL": "4 L",
    });
    expect(settings).toMatchObject({
      tank: { netVolumeL: 140, lastChamberM2: 0.02, surfaceM2: 0.3504, pumpOffLevelMm: 60 },
      topOff: { evaporationLPerDay: 1.5 },
    });
    expect(keeper.refused.map(({ id, refused }) => [id, refused])).toEqual([
      ["tank.netVolumeL", expect.stringMatching(/expected 5\.3 US gal to 528\.3 US gal/)],
      ["targets.temperatureC", expect.stringMatching(/expected 64\.4 °F to 86 °F/)],
    ]);
  });

  test("metric chosen, 37 gal: refused with the choice of US or UK", async () => {
    const { keeper } = await answered({ ...REFERENCE_BOX, "tank.netVolumeL": ["37 gal", "37 usgal"] });
    expect(keeper.refused).toMatchObject([
      { id: "tank.netVolumeL", refused: expect.stringMatching(/US gallons .* or UK/) },
    ]);
  });
});

describe("answers from a dry box", () => {
  // 730 × 480 × 400 mm = 140.2 L, less a tenth for rock and sand: 126.1 L.
  test("730 x 480 x 400 mm as net volume: 126.1 L, a tenth off for rock", async () => {
    const { settings } = await answered({
      ...REFERENCE_BOX,
      "tank.netVolumeL": "730 x 480 x 400 mm",
      "topOff.reservoirL": "3",
    });
    expect(settings?.tank.netVolumeL).toBeCloseTo(126.1, 1);
  });

  // 0.3504 m² × 30 mm = 10.5 L; 730 × 384 mm = 0.2803 m² × 20 mm − 0.02 m² × 60 mm = 4.4 L.
  test("lengths as free volumes: 10.5 L and 4.41 L", async () => {
    const { settings, faults } = await answered({
      ...REFERENCE_BOX,
      "tank.freeVolumePumpOffL": "30",
      "tank.freeVolumeWeirBlockedL": "ruler",
      "display.surface": "730 x 384",
      "display.freeHeight": "20",
      "display.pumpDepth": "60 mm",
    });
    expect(faults).toEqual([]);
    expect(settings?.tank).toMatchObject({ freeVolumePumpOffL: 10.5, freeVolumeWeirBlockedL: 4.41 });
  });

  test("label of 90 L/h: 1.5 L/min; estimate of evaporation: between 0.5 and 1.5 L a day", async () => {
    const { settings } = await answered({
      ...REFERENCE_BOX,
      "topOff.provenFlow": "90 L/h",
      "topOff.evaporationLPerDay": "estimate",
    });
    expect(settings?.topOff.provenFlowLPerMin).toBe(1.5);
    // The lower end of the band that `bench evaporation` shows for 0.35 m², 25 °C, a room of 22 °C and 50 %.
    expect(settings?.topOff.evaporationLPerDay).toBeGreaterThan(0.5);
    expect(settings?.topOff.evaporationLPerDay).toBeLessThan(1.5);
  });

  test("measures left for later: file to wire by, ten measures missing; finished: only these are asked for", async () => {
    const first = await answered({ ...REFERENCE_BOX, measures: "later" });
    expect(first.settings).not.toBeNull();
    expect(first.faults).toEqual([]);
    expect(first.toMeasure).toContain("tank.highFloatMm");
    const file = JSON.parse(JSON.stringify(first.file)) as SettingsFile;
    expect(checkSettings(file).settings).toBeNull();
    const keeper = scripted(REFERENCE_BOX);
    const given = answersOfFile(file);
    const draft = await conduct(keeper, { given, offered: given, keep: () => undefined }, (asking) =>
      interview(asking, NOTHING, { raw: file }),
    );
    expect(checkSettings(mergeWithExisting(draft, { raw: file })).faults).toEqual([]);
    expect(keeper.asked).not.toContain("heat.heaterW");
    expect(keeper.asked).toEqual([
      "tank.lastChamberM2",
      "tank.surfaceM2",
      "tank.floatHysteresisMm",
      "tank.pumpOffLevelMm",
      "tank.highFloatMm",
      "tank.lowFloatMm",
      "topOff.provenFlow",
      "topOff.evaporationLPerDay",
      "tank.freeVolumePumpOffL",
      "tank.freeVolumeWeirBlockedL",
      "topOff.reservoirL",
    ]);
  });

  test("pump-off level left for later: the only measure missing", async () => {
    const { toMeasure, faults } = await answered({ ...REFERENCE_BOX, "tank.pumpOffLevelMm": "later" });
    expect([toMeasure, faults]).toEqual([["tank.pumpOffLevelMm"], []]);
  });
});

describe("answers refused, then one that will do", () => {
  const rows: [id: string, answers: string[], expected: RegExp][] = [
    ["tank.netVolumeL", ["much", "19", "140 gal", "1,500", "140"], /20 L to 2000 L.*write 1500 or 1\.500/s],
    ["targets.salinity", ["1.026", "27", "35 ppt"], /specific gravity.*28 to 40/s],
    ["targets.temperatureC", ["77", "25 °C"], /18 °C to 30 °C/],
    ["tank.highFloatMm", ["60", "70"], /61 mm to 300 mm/],
    ["tank.lastChamberM2", ["0.02", "250 x", "25 x 8", "250x80"], /such as 250 x 80 mm/],
    ["inputs.thermometer-1.device", ["28-0316A2795CAA", "thermometer", "28-0316a2795caa"], /DS18B20/],
    ["inputs.thermometer-1", ["", "none", "one-wire"], /one of one-wire, modbus, ntc/],
    ["board.port", ["ttyACM0", "", "/dev/ttyACM0"], /path of a serial port/],
    ["board.firmware", ["stock", "guard"], /one of guard, standard/],
    ["heat.heaterW", ["10", "1000", "10 L/h", "150 W"], /80 W to 397 W/],
    ["heat.returnPumpW", ["2000", "2000 L/h", "25"], /0 W to 90 W.*watts stand on the same label/s],
    ["heat.heaterPlace", ["display", "pinned-chamber"], /pinned-chamber/],
    ["heat.thermometerSharesHeaterChamber", ["", "perhaps", "no"], /yes or no/],
    ["topOff.reservoirL", ["10", "4"], /0\.5 L to 4\.1 L; or larger/],
    ["contacts", ["low tide", "low reservoir floor mains return"], /some of low, reservoir, floor, mains, return/],
  ];
  test.each(rows)("%s: %j: all but the last refused, with what was expected", async (id, answers, expected) => {
    const { keeper, faults } = await answered({ ...REFERENCE_BOX, [id]: answers });
    const refused = keeper.refused.filter((one) => one.id === id);
    expect(refused).toHaveLength(answers.length - 1);
    expect(refused.map((one) => one.refused).join(" ")).toMatch(expected);
    expect(keeper.refused.every((one) => one.id === id)).toBe(true);
    expect(faults).toEqual([]);
  });

  test("high float on pins 2, 8, 13, A7, 3: refused with the reason; on pin 16: taken", async () => {
    const { keeper } = await answered({
      ...REFERENCE_BOX,
      usualPins: "no",
      "inputs.high-float.pin": ["2", "8", "13", "A7", "3", "pin 16"],
    });
    expect(keeper.refused.map(({ refused }) => refused)).toEqual([
      "expected another pin: the working float has 2",
      "expected a free pin, 2 to 7, 12 or A0 to A5",
      "expected a free pin, 2 to 7, 12 or A0 to A5",
      "expected a free pin, 2 to 7, 12 or A0 to A5",
      expect.stringMatching(/outside of 0 to 7/),
    ]);
  });
});

describe("the questions about a fan", () => {
  test("no fan: none in the settings", async () => {
    const { draft, settings } = await answered(REFERENCE_BOX);
    expect(draft.topOff.fan).toBeUndefined();
    expect(settings?.topOff.fan).toBeNull();
  });

  test("25.1 °C and 1.4 L refused; 26.5 °C and 3 L: in the settings, budget of 3.8 L told", async () => {
    const script = {
      ...REFERENCE_BOX,
      extras: "fan",
      "topOff.fan.aboveC": ["25.1", "always", "26.5"],
      "topOff.fan.evaporationLPerDay": ["1.4", "3"],
    };
    const { settings, faults, keeper } = await answered(script);
    expect(faults).toEqual([]);
    expect(settings?.topOff).toMatchObject({ fan: { aboveC: 26.5, evaporationLPerDay: 3 }, dailyBudgetL: 3.8 });
    expect(keeper.refused.map(({ answer, refused }) => [answer, refused])).toEqual([
      ["25.1", "expected 25.2 °C to 34 °C"],
      ["always", "expected 25.2 °C to 34 °C"],
      ["1.4", "expected 1.5 L a day to 100 L a day"],
    ]);
    expect(keeper.said.join(" ")).toMatch(/twice the evaporation or a day with the fan on.*3\.8 L/);
  });

  test("fan of 9 L over 0.7 L a day: budget of 3.5 L, no fault", async () => {
    const script = { ...REFERENCE_BOX, extras: "fan", "topOff.evaporationLPerDay": "0.7", "topOff.fan.aboveC": "27" };
    const { settings, faults } = await answered({ ...script, "topOff.fan.evaporationLPerDay": "9" });
    expect(faults).toEqual([]);
    expect(settings?.topOff.dailyBudgetL).toBe(3.5);
  });
});

describe("a reservoir larger than the box can take", () => {
  const larger = {
    ...REFERENCE_BOX,
    "topOff.reservoirL": "larger",
    "topOff.largeReservoir.noSiphon": "air-gap",
    "topOff.largeReservoir.highFloatInSeries": ["no", "yes"],
    "topOff.largeReservoir.displayGuard": "overflow",
    "topOff.largeReservoir.because": ["ok", "Away for a week, the neighbour looks in."],
    "topOff.largeReservoir.litres": ["3", "10"],
  };

  test("larger, 10 L: every means asked for and recorded; a no, a short reason and 3 L: refused", async () => {
    const { settings, keeper, faults } = await answered(larger);
    expect(faults).toEqual([]);
    expect(settings?.topOff).toMatchObject({
      reservoirL: 10,
      largeReservoir: {
        because: "Away for a week, the neighbour looks in.",
        noSiphon: "air-gap",
        highFloatInSeries: true,
        displayGuard: "overflow",
      },
    });
    expect(keeper.refused.map(({ answer, refused }) => [answer, refused])).toEqual([
      ["no", expect.stringMatching(/only a smaller reservoir is accepted/)],
      ["ok", expect.stringMatching(/10 to 300 characters/)],
      ["3", expect.stringMatching(/4\.1 L to 200 L/)],
    ]);
  });

  test("larger, standard firmware: refused", async () => {
    const { keeper } = await answered({
      ...larger,
      "board.firmware": "standard",
      "topOff.reservoirL": ["larger", "4"],
    });
    expect(keeper.refused).toMatchObject([{ answer: "larger", refused: "expected 0.5 L to 4.1 L" }]);
  });
});

describe("parts that need other parts", () => {
  test("no pump, no heater: no board; two contacts to watch: a board with both", async () => {
    const neither = { ...REFERENCE_BOX, "drives.pump": "no", "drives.heater": "no", "inputs.thermometer-1": "none" };
    const { settings, draft, keeper } = await answered(neither);
    expect(settings).not.toBeNull();
    expect(draft.boards).toEqual({});
    expect(keeper.asked).not.toContain("measures");
    const watched = await answered({ ...neither, board: "yes", contacts: "working floor" });
    expect(Object.keys(watched.draft.inputs)).toEqual(["working-float", "floor-sensor"]);
  });

  test("heater wanted, Enter at its thermometer: refused, heater stays", async () => {
    const { keeper, draft } = await answered({ ...REFERENCE_BOX, "inputs.thermometer-1": ["", "", "one-wire"] });
    expect(keeper.refused).toHaveLength(2);
    expect(draft.outputs["heater-1"]).toBeDefined();
  });

  test("no low float: heater in the last chamber refused; with one: taken", async () => {
    const heater = { "heat.heaterPlace": ["last-chamber", "pinned-chamber"] };
    const { keeper, faults } = await answered({
      ...REFERENCE_BOX,
      contacts: "reservoir floor mains return",
      ...heater,
    });
    expect(keeper.refused).toMatchObject([{ id: "heat.heaterPlace", refused: expect.stringMatching(/low float/) }]);
    expect(faults).toEqual([]);
    expect((await answered({ ...REFERENCE_BOX, ...heater })).settings?.heat.heaterPlace).toBe("last-chamber");
  });

  test("standard firmware: attended for 60 min, or a switch of the keeper's own described in words", async () => {
    const standard = { ...REFERENCE_BOX, "board.firmware": "standard" };
    expect((await answered(standard)).settings).toMatchObject({ attendedMinutes: 60, independentGuard: null });
    const own = { letsGo: "switch", independentGuard: ["timer", "A timer relay that must be fed."] };
    const { settings, keeper } = await answered({ ...standard, ...own });
    expect(settings).toMatchObject({ attendedMinutes: null, independentGuard: "A timer relay that must be fed." });
    expect(keeper.refused).toHaveLength(1);
  });

  test("registers field by field: in the settings; no temperature told: no compensation; with one: taken", async () => {
    const probe = {
      "inputs.conductivity-probe": "modbus",
      "line.port": "/dev/ttyUSB0",
      "inputs.conductivity-probe.slave": "1",
      "inputs.conductivity-probe.conductivityMsPerCm.address": ["30001st", "70000", "4"],
      "inputs.conductivity-probe.conductivityMsPerCm.type": "int32",
      "inputs.conductivity-probe.conductivityMsPerCm.table": "holding",
      "inputs.conductivity-probe.conductivityMsPerCm.wordOrder": "low-first",
      "inputs.conductivity-probe.conductivityMsPerCm.scale": "0.001",
      "conductivity.temperature": "no",
    };
    const { keeper, settings } = await answered({ ...REFERENCE_BOX, ...probe });
    expect(keeper.refused).toHaveLength(2);
    expect(keeper.said.join(" ")).toMatch(/no compensation can be undone/);
    expect(settings?.inputs["conductivity-probe"]).toMatchObject({
      conductivityMsPerCm: { table: "holding", address: 4, type: "int32", wordOrder: "low-first", scale: 0.001 },
      compensation: "none",
      temperatureC: null,
    });
    const undone = { ...probe, "conductivity.temperature": "yes", "conductivity.compensates": "yes" };
    expect((await answered({ ...REFERENCE_BOX, ...undone })).settings?.inputs["conductivity-probe"]).toMatchObject({
      temperatureC: { table: "input", address: 2, type: "float32" },
      compensation: { percentPerK: 2, referenceC: 25 },
    });
  });
});

describe("a file that is changed", () => {
  const changed = async (file: SettingsFile, script: Script) => {
    const keeper = scripted(script);
    const offered = answersOfFile(file);
    const draft = await conduct(keeper, { given: new Map(), offered, keep: () => undefined }, (asking) =>
      interview(asking, NOTHING, { raw: file }),
    );
    return { keeper, file: mergeWithExisting(draft, { raw: file }) };
  };

  test("Enter to every question: the same file, no part gone", async () => {
    const { file } = await answered({ ...REFERENCE_BOX, extras: "button", "inputs.tank-button.pin": "7" });
    const before = JSON.parse(JSON.stringify(file)) as SettingsFile;
    const after = await changed(before, {});
    expect(after.keeper.refused).toEqual([]);
    expect(JSON.parse(JSON.stringify(after.file))).toEqual(before);
  });

  test("name and heater changed: these alone; alarms, text probe and watched line stay", async () => {
    const { file } = await answered(REFERENCE_BOX);
    const before = JSON.parse(JSON.stringify(file));
    before.alarms = { salinityWithin: 1.2 };
    before.inputs["conductivity-probe"] = {
      board: "writer",
      text: { group: "ec", unit: "mS/cm" },
      compensation: "none",
    };
    before.boards.writer = { kind: "text", port: "/dev/ttyUSB1", pattern: "^(?<ec>[0-9.]+)$" };
    before.inputs["high-float"].supervised = { pullUpOhms: 10_000, closedOhms: 4700, openOhms: 14_700 };
    const after = await changed(before, { "tank.name": "Bay", "heat.heaterW": "150" });
    expect(JSON.parse(JSON.stringify(after.file))).toEqual({
      ...before,
      tank: { ...before.tank, id: "bay", name: "Bay" },
      heat: { ...before.heat, heaterW: 150 },
    });
  });

  test("no to the heater: heater and its guard gone, the rest stays", async () => {
    const { file } = await answered(REFERENCE_BOX);
    const before = JSON.parse(JSON.stringify(file)) as SettingsFile;
    const after = await changed(before, { "drives.heater": "no" });
    expect(Object.keys(after.file.outputs as object)).toEqual(["top-off-pump", "water-guard"]);
  });
});

describe("going back", () => {
  /** The library's part is played by a list of what is typed; `back` is what it throws. */
  const typing = (lines: readonly string[]) => {
    const asked: string[] = [];
    const offered: (string | undefined)[] = [];
    const left = [...lines];
    return {
      asked,
      offered,
      say: () => undefined,
      async ask<Value>({ id, usual, read }: Parameters<ReturnType<typeof scripted>["ask"]>[0]): Promise<Value> {
        asked.push(id);
        offered.push(usual);
        const line = left.shift();
        if (line === undefined) throw new Error("no more lines");
        if (line === "back") throw new (await import("../../controller/cli/conversation/terminal.ts")).WentBack();
        const read1 = read(line === "" ? (usual ?? "") : line);
        if (!("value" in read1)) throw new Error(`${id}: ${read1.refused}`);
        return read1.value as Value;
      },
    };
  };

  test("back twice: each question before asked again with its answer offered, earlier answers kept", async () => {
    const keeper = typing(["metric", "Bay", "14", "back", "back", "Cove", "140"]);
    const kept: Map<string, string>[] = [];
    const run = conduct(
      keeper as never,
      { given: new Map(), offered: new Map(), keep: (answers) => kept.push(new Map(answers)) },
      (asking) => interview(asking, NOTHING),
    );
    // The volume of 14 L is refused by the stand-in.
    await expect(run).rejects.toThrow(/tank\.netVolumeL/);
    const second = typing(["metric", "Bay", "140", "back", "back", "Cove", "", "24"]);
    await expect(
      conduct(
        second as never,
        { given: new Map(), offered: new Map(), keep: (answers) => kept.push(new Map(answers)) },
        (asking) => interview(asking, NOTHING),
      ),
    ).rejects.toThrow(/no more lines/);
    expect(second.asked).toEqual([
      "units",
      "tank.name",
      "tank.netVolumeL",
      "targets.temperatureC",
      "tank.netVolumeL",
      "tank.name",
      "tank.netVolumeL",
      "targets.temperatureC",
      "targets.salinity",
    ]);
    expect(second.offered[4]).toBe("140 L");
    expect(second.offered[5]).toBe("Bay");
    expect(second.offered[6]).toBe("140 L");
    expect(Object.fromEntries(kept.at(-1) as Map<string, string>)).toEqual({
      units: "metric",
      "tank.name": "Cove",
      "tank.netVolumeL": "140 L",
      "targets.temperatureC": "24 °C",
    });
  });

  test("back at the first question: asked again", async () => {
    const keeper = typing(["back", "us"]);
    const run = conduct(keeper as never, { given: new Map(), offered: new Map(), keep: () => undefined }, (asking) =>
      interview(asking, NOTHING),
    );
    await expect(run).rejects.toThrow(/no more lines/);
    expect(keeper.asked).toEqual(["units", "units", "tank.name"]);
  });
});

describe("ports and thermometers that are plugged in", () => {
  test("two of each: each offered once, in turn", async () => {
    const plugged = {
      ports: ["/dev/serial/by-id/a", "/dev/serial/by-id/b"],
      thermometers: ["28-0316a2795caa", "28-0316a2795cab"],
    };
    const script = {
      ...REFERENCE_BOX,
      "board.port": "",
      "line.port": "",
      "inputs.thermometer-1": "",
      "inputs.thermometer-1.device": "",
      "inputs.thermometer-2": "",
      "inputs.thermometer-2.device": ["28-0316a2795caa", ""],
      "inputs.conductivity-probe": "modbus",
      "inputs.conductivity-probe.slave": "1",
    };
    const { settings } = await answered(script, plugged);
    expect(settings?.boards).toMatchObject({
      io: { port: "/dev/serial/by-id/a" },
      line: { port: "/dev/serial/by-id/b" },
    });
    expect(settings?.inputs["thermometer-2"]).toMatchObject({ device: "28-0316a2795cab" });
  });
});

test.each([
  ["Living room", "living-room"],
  ["Riff № 1!", "riff-no-1"],
  ["---", "reef-box"],
  ["水槽", "reef-box"],
  [`${"a".repeat(31)} b`, "a".repeat(31)],
])("the tank %j has its topics under %s", (name, id) => {
  expect(createId(name)).toBe(id);
  expect(checkSettings({ tank: { id, name } }).faults).toEqual([]);
});

/** Answers of any kind: mostly of the right shape, now and then nonsense, always at last something that will do. */
const number = (from: number, to: number) =>
  fc.double({ min: from, max: to, noNaN: true }).map((value) => `${Number(value.toPrecision(4))}`);
const NONSENSE = fc.oneof(
  fc.string(),
  fc.constantFrom(
    "",
    "none",
    "yes",
    "-1",
    "0",
    "9999999",
    "28",
    "A0",
    "later",
    "estimate",
    "ruler",
    "larger",
    "37 gal",
  ),
);
const pin = fc.oneof(
  fc.integer({ min: 0, max: 70 }).map(String),
  fc.integer({ min: 0, max: 9 }).map((n) => `A${n}`),
  fc.constant("none"),
);
const orLater = (good: fc.Arbitrary<string>) =>
  fc.oneof({ weight: 4, arbitrary: good }, { weight: 1, arbitrary: fc.constant("later") });

const GOOD: readonly [RegExp, fc.Arbitrary<string>][] = [
  [/^units$/, fc.constantFrom("metric", "us", "uk")],
  [/^tank\.name$/, fc.string({ minLength: 1, maxLength: 60, unit: "grapheme" })],
  [
    /netVolumeL/,
    fc.oneof(
      number(20, 2000).map((litres) => `${litres} L`),
      fc.constant("73 x 48 x 40 cm"),
    ),
  ],
  [/\.address$/, fc.integer({ min: 0, max: 65_535 }).map(String)],
  [/\.type$/, fc.constantFrom("float32", "int16", "uint16", "int32", "uint32")],
  [/\.table$/, fc.constantFrom("input", "holding")],
  [/wordOrder$/, fc.constantFrom("high-first", "low-first")],
  [/\.scale$/, fc.constantFrom("1", "0.01")],
  [/temperatureC$/, number(18, 30).map((celsius) => `${celsius} C`)],
  [/targets\.salinity/, number(28, 40)],
  [/Level$/, fc.constantFrom("high", "low")],
  [/\.pin$/, pin],
  [/^contacts$/, fc.constantFrom("all", "none", "low", "return floor", "reservoir mains return")],
  [/^extras$/, fc.constantFrom("none", "none", "button", "sensed", "low-relays", "fan", "button sensed fan")],
  [/lastChamber/, fc.constantFrom("250 x 80 mm", "50 x 40 mm", "1000x1000 mm", "10 x 3 in")],
  [/surface/, fc.constantFrom("730 x 480 mm", "300 x 300 mm", "2000 x 1000 mm")],
  [/pumpOffLevelMm/, orLater(number(0, 299).map((mm) => `${mm} mm`))],
  [/highFloatMm/, fc.oneof(number(5, 300), fc.constant("300")).map((mm) => `${mm} mm`)],
  [/lowFloatMm/, number(5, 300).map((mm) => `${mm} mm`)],
  [/Hysteresis/, number(1, 50).map((mm) => `${mm} mm`)],
  [/provenFlow/, orLater(number(25, 5000))],
  [/fan\.aboveC/, number(18, 34).map((celsius) => `${celsius} C`)],
  [/evaporation/, orLater(number(0.05, 50).map((litres) => `${litres} L/d`))],
  [
    /freeVolumePumpOff/,
    orLater(
      fc.oneof(
        number(0, 500).map((litres) => `${litres} L`),
        number(0, 200).map((mm) => `${mm} mm`),
      ),
    ),
  ],
  [
    /freeVolumeWeir/,
    orLater(
      fc.oneof(
        number(0, 500).map((litres) => `${litres} L`),
        fc.constant("ruler"),
      ),
    ),
  ],
  [/^display\./, number(0, 200).map((mm) => `${mm} mm`)],
  [
    /reservoirL$/,
    fc.oneof(
      number(0.5, 200).map((litres) => `${litres} L`),
      fc.constant("larger"),
    ),
  ],
  [/\.litres$/, number(0.5, 200).map((litres) => `${litres} L`)],
  [/noSiphon/, fc.constantFrom("air-gap", "pump-that-blocks")],
  [/displayGuard/, fc.constantFrom("display-float", "overflow", "no-weir")],
  [/^drives|^board$|Shares|conductivity\.|highFloatInSeries|usualPins/, fc.constantFrom("yes", "yes", "no")],
  [/^measures$/, fc.constantFrom("now", "now", "now", "later")],
  [/because|independentGuard/, fc.string({ minLength: 10, maxLength: 50 })],
  [/^inputs\.(thermometer|room)[^.]*$/, fc.constantFrom("one-wire", "modbus", "ntc", "none")],
  [/^inputs\.conductivity-probe$/, fc.constantFrom("modbus", "none")],
  [/device/, fc.integer({ min: 0, max: 9 }).map((n) => `28-0316a2795ca${n}`)],
  [/slave/, fc.integer({ min: 1, max: 9 }).map(String)],
  [/port/, fc.constantFrom("/dev/ttyACM0", "/dev/ttyUSB0", "/dev/ttyUSB1")],
  [/firmware/, fc.constantFrom("guard", "standard")],
  [/letsGo/, fc.constantFrom("attended", "switch")],
  [/^heaters$/, fc.constantFrom("1", "2")],
  [/heaterPlace/, fc.constantFrom("pinned-chamber", "last-chamber")],
  [/heaterW/, number(10, 2000)],
  [/oomC/, number(-10, 40).map((celsius) => `${celsius} C`)],
  [/returnPumpW/, number(0, 500)],
  [/attendedMinutes/, number(10, 240)],
];

test("300 random interviews: nothing for check to find wrong; each file changed by Enter alone: the same file", async () => {
  await fc.assert(
    fc.asyncProperty(fc.gen(), async (gen) => {
      const keeper = scripted((id) => {
        if (gen(fc.nat, { max: 9 }) === 0) return gen(() => NONSENSE);
        const [, good] = GOOD.find(([pattern]) => pattern.test(id)) ?? [];
        return good === undefined ? "" : gen(() => good);
      });
      const draft = await interview(keeper, NOTHING).catch((error: Error) => {
        // A keeper who gives two hundred wrong answers is not what this is about.
        if (/no answer to/.test(error.message)) return null;
        throw error;
      });
      fc.pre(draft !== null);
      const file = JSON.parse(JSON.stringify(mergeWithExisting(draft, null))) as SettingsFile;
      expect(checkUnfinished(file).faults).toEqual([]);
      // Changing nothing changes nothing.
      const again = scripted({});
      const offered = answersOfFile(file);
      const second = await conduct(again, { given: offered, offered, keep: () => undefined }, (asking) =>
        interview(asking, NOTHING, { raw: file }),
      ).catch((error: Error) => {
        // What was left for later has no usual answer.
        if (/no answer to/.test(error.message)) return null;
        throw error;
      });
      if (second === null) return;
      expect(JSON.parse(JSON.stringify(mergeWithExisting(second, { raw: file })))).toEqual(file);
    }),
    { numRuns: 300, endOnFailure: true },
  );
});
