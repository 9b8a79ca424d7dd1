import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { describe, expect, test } from "vitest";
import { CONTACT_PARTS, type ContactPart } from "../../shared/contract/index.ts";
import { BROKEN_WIRE_READS } from "../../shared/settings/broken-wire.ts";
import {
  boxBudget,
  checkSettings,
  checkUnfinished,
  rehearsalSettings,
  type SettingsFault,
  settingsJsonSchema,
} from "../../shared/settings/index.ts";

/** What a settings file may say, and what is answered to one that may not: the path, the value, what was expected. */

type Json = Record<string, unknown>;
const EXAMPLE = readFileSync(new URL("../../wiring-notes/settings-example.json", import.meta.url), "utf8");
const example = (): Json => ({
  independentGuard: "Two timer relays that open when this computer dies.",
  ...(JSON.parse(EXAMPLE) as Json),
});

/** The example with one place changed; `undefined` takes it away. */
function withPlace(path: string, value: unknown, settings: Json = example()): Json {
  const keys = path.split(".");
  const last = keys.pop() as string;
  let place = settings;
  for (const key of keys) {
    place[key] ??= {};
    place = place[key] as Json;
  }
  if (value === undefined) delete place[last];
  else place[last] = value;
  return settings;
}

const faultsOf = (raw: unknown): readonly SettingsFault[] => checkSettings(raw).faults;

describe("settings accepted", () => {
  test("example of the wiring notes: no fault, defaults filled in", () => {
    const { settings, faults } = checkSettings(example());
    expect(faults).toEqual([]);
    expect(settings).toMatchObject({ scanMs: 250, topOff: { sliceMl: 250, dailyBudgetL: 3 }, heat: { cutOutC: 28.5 } });
  });

  test("empty file: no outputs", () => {
    const { settings } = checkSettings({});
    expect(settings?.outputs).toEqual({});
  });

  test("tank of the rehearsal: reservoir of 10 L", () => {
    expect(rehearsalSettings().topOff.reservoirL).toBe(10);
  });

  test("one fault: no settings at all", () => {
    expect(checkSettings(withPlace("topOff.sliceMl", 5_000)).settings).toBeNull();
  });
});

/** A file of a newer program, and files of older ones. */
describe("settings of another version", () => {
  test("version 2, with keys that this one does not know: one fault, told whose file it is", () => {
    const faults = faultsOf({ ...example(), version: 2, lamp: { hours: 9 }, topOff: "elsewhere" });
    expect(faults).toEqual([
      { path: "version", value: 2, expected: expect.stringMatching(/^at most 1: a newer Evenbrine wrote this file/) },
    ]);
  });

  test("version 0 and version in quotes: 1 expected, nobody newer named", () => {
    for (const version of [0, "1"]) {
      expect(faultsOf({ ...example(), version })).toEqual([{ path: "version", value: version, expected: "1" }]);
    }
  });

  test("without a version, as the first files were: accepted", () => {
    const { version: _, ...first } = example();
    expect(checkSettings(first).settings?.version).toBe(1);
  });
});

describe("settings refused by shape or bounds", () => {
  const rows: [path: string, value: unknown, expected: RegExp][] = [
    ["topOff.slicemL", 200, /typing error/],
    ["topOff.dailyBudgetGal", 1, /typing error/],
    ["heat.setpoint", 25, /typing error/],
    ["colour", "blue", /typing error.*newer Evenbrine/],
    ["targets.temperatureC", 77, /^a number from 18 to 30$/],
    ["targets.temperatureC", "25", /^a number$/],
    ["targets.salinity", 1.026, /^a number from 28 to 40$/],
    ["topOff.sliceMl", 19, /^a number from 20 to 250$/],
    ["topOff.sliceMl", 251, /^a number from 20 to 250$/],
    ["topOff.evaporationLPerDay", Number.NaN, /^a number$/],
    ["topOff.lowestEvaporationShare", 1.01, /^a number from 0.5 to 1$/],
    ["tank.netVolumeL", -1, /^a number from 20 to 2000$/],
    ["tank.id", "Reef Box", /letters/],
    ["tank.name", "", /^at least 1 characters$/],
    ["scanMs", 401, /^a number from 50 to 400$/],
    ["scanMs", 250.5, /^a whole number$/],
    ["bench.waitsDividedBy", 0.5, /^a number from 1 to 100$/],
    ["units.volume", "gal", /^one of "L", "US gal", "UK gal"$/],
    ["topOff.largeReservoir", { because: "ok" }, /^at least 10 characters$/],
    ["topOff.largeReservoir", { because: "because I say so", highFloatInSeries: false }, /^true$/],
    ["heat.heaterPlace", "display", /^one of "pinned-chamber", "last-chamber"$/],
    ["alarms.temperatureBandC", [23], /^at least 2 entries$/],
    ["alarms.temperatureBandC", [9, 28], /./],
    ["inputs.working-float.pin", 1, /2/],
    ["inputs.working-float.closedWhen", "dry", /^one of "on", "off"$/],
    ["inputs.third-float", { board: "io", pin: 6, closedWhen: "on" }, /typing error/],
    ["boards.io.kind", "gpio", /./],
    ["boards.IO", { kind: "firmata", port: "/dev/ttyACM1" }, /./],
    ["inputs.conductivity-probe.compensation", "automatic", /./],
  ];
  test.each(rows)("%s: %j: fault %s", (path, value, expected) => {
    const faults = faultsOf(withPlace(path, value));
    const fault = faults.find(
      (found) => (found.path.startsWith(path) || path.startsWith(found.path)) && expected.test(found.expected),
    );
    expect(fault, JSON.stringify(faults)).toBeDefined();
    if (fault?.path === path) expect(fault.value).toEqual(value);
  });

  const fans: [fan: object, path: string, expected: RegExp][] = [
    [{ aboveC: 27 }, "evaporationLPerDay", /number/],
    [{ aboveC: 17, evaporationLPerDay: 3 }, "aboveC", /18 to 34/],
    [{ aboveC: 27, evaporationLPerDay: 101 }, "evaporationLPerDay", /0.05 to 100/],
    [{ aboveC: 27, evaporationLPerDay: 3, relay: 8 }, "relay", /typing error/],
  ];
  test.each(fans)("fan %j: fault at %s, %s", (fan, path, expected) => {
    const fault = { path: `topOff.fan.${path}`, expected: expect.stringMatching(expected) };
    expect(faultsOf(withPlace("topOff.fan", fan))).toMatchObject([fault]);
  });

  test.each([null, 5, "x", [], true])("file that says %j: fault at the root", (raw) => {
    expect(faultsOf(raw)[0]).toMatchObject({ path: "" });
  });

  test("three faults: all three told", () => {
    const raw = withPlace("topOff.sliceMl", 1, withPlace("targets.salinity", 3, withPlace("nonsense", 1)));
    expect(
      faultsOf(raw)
        .map(({ path }) => path)
        .sort(),
    ).toEqual(["nonsense", "targets.salinity", "topOff.sliceMl"]);
  });
});

const FAN_LITRES = "topOff.fan.evaporationLPerDay";

const LARGE: [path: string, value: unknown][] = [
  ["topOff.reservoirL", 10],
  [
    "topOff.largeReservoir",
    { because: "A week away.", noSiphon: "air-gap", highFloatInSeries: true, displayGuard: "overflow" },
  ],
];
const GUARDED: [path: string, value: unknown][] = [
  ["boards.io.firmware", "guard"],
  ["topOff.sliceMl", 100],
];

describe("settings that must fit each other", () => {
  const rows: [name: string, change: [path: string, value: unknown][], path: string | null][] = [
    ["band outside its limits", [["alarms.temperatureBandC", [19, 28]]], "alarms.temperatureBandC"],
    ["a fan that takes less than the air alone", [["topOff.fan", { aboveC: 27, evaporationLPerDay: 1.4 }]], FAN_LITRES],
    ["a fan that takes as much", [["topOff.fan", { aboveC: 27, evaporationLPerDay: 1.5 }]], null],
    ["a fan in the heater's band", [["topOff.fan", { aboveC: 25.15, evaporationLPerDay: 3 }]], "topOff.fan.aboveC"],
    ["a fan just above it", [["topOff.fan", { aboveC: 25.2, evaporationLPerDay: 3 }]], null],
    ["no fan", [["topOff.fan", null]], null],
    ["band upside down", [["alarms.temperatureBandC", [28, 23]]], "alarms.temperatureBandC"],
    ["setpoint at the edge of the band", [["targets.temperatureC", 23.2]], "targets.temperatureC"],
    ["setpoint just inside", [["targets.temperatureC", 23.31]], null],
    ["cut-out 1 K above the setpoint", [["heat.cutOutC", 26.3]], "heat.cutOutC"],
    ["cut-out above that", [["heat.cutOutC", 26.31]], null],
    ["cut-out at the upper limit", [["heat.cutOutC", 30]], "heat.cutOutC"],
    ["cut-out below it", [["heat.cutOutC", 29.9]], null],
    ["salinity limit inside the warning", [["alarms.salinityLimit", 0.9]], "alarms.salinityLimit"],
    ["high float where the water stands with the pump off", [["tank.highFloatMm", 60]], "tank.highFloatMm"],
    ["high float above it", [["tank.highFloatMm", 61]], null],
    ["a slice that takes a minute", [["topOff.provenFlowLPerMin", 0.25]], "topOff.sliceMl"],
    ["a slice that takes less", [["topOff.provenFlowLPerMin", 0.26]], null],
    ["a budget smaller than a slice", [["topOff.dailyBudgetL", 0.337]], "topOff.dailyBudgetL"],
    ["a budget of a slice", [["topOff.dailyBudgetL", 0.34]], null],
    ["a heater where the level falls", [["heat.heaterPlace", "last-chamber"]], "heat.heaterPlace"],
    [
      "the same with a low float",
      [
        ["heat.heaterPlace", "last-chamber"],
        ["inputs.low-float", { board: "io", pin: 6, closedWhen: "on" }],
      ],
      null,
    ],
    // V·step/(S − step) = 140/34 = 4.12 L is the smallest of the three for the reference box.
    ["a reservoir of 4.2 L", [["topOff.reservoirL", 4.2]], "topOff.reservoirL"],
    ["of 4.1 L", [["topOff.reservoirL", 4.1]], null],
    ["of 10 L with its means, on standard firmware", LARGE, "topOff.largeReservoir"],
    ["of 10 L with its means and the guard firmware", [...LARGE, ...GUARDED], null],
    ["of 10 L on a workbench", [...LARGE, ["bench.shorterWaitsAccepted", "A bench: nothing is plugged in."]], null],
    // Half of the 10.5 L to the rim.
    ["a day's litres of 5.2 beside it", [...LARGE, ...GUARDED, ["topOff.dailyBudgetL", 5.2]], null],
    ["a day's litres of 5.3 beside it", [...LARGE, ...GUARDED, ["topOff.dailyBudgetL", 5.3]], "topOff.dailyBudgetL"],
    // 15 W/K × (25 − 18) K − 25 W = 80 W hold the box in a night of 18 °C.
    ["a heater of 10 W in 140 L", [["heat.heaterW", 10]], "heat.heaterW"],
    ["a heater of 79 W in 140 L", [["heat.heaterW", 79]], "heat.heaterW"],
    ["a heater of 80 W in 140 L", [["heat.heaterW", 80]], null],
    [
      "a heater of 10 W in a room that never cools below 23 °C",
      [
        ["heat.heaterW", 10],
        ["heat.coldestRoomC", 23],
      ],
      null,
    ],
    // 2.5 K/h × 140 L × 4,090 J/(L K) / 3,600 s = 397 W (heat capacity of sea water: UNESCO 44).
    ["a heater of 1,000 W in 140 L", [["heat.heaterW", 1000]], "heat.heaterW"],
    ["a heater of 398 W in 140 L", [["heat.heaterW", 398]], "heat.heaterW"],
    ["a heater of 397 W in 140 L", [["heat.heaterW", 397]], null],
    [
      "two heaters of 40 W in 140 L",
      [
        ["heat.heaterW", 40],
        ["heat.secondHeater", { heaterW: 40, heaterPlace: "pinned-chamber", thermometerSharesHeaterChamber: true }],
        ["outputs.heater-2", { board: "io", pin: 12, energisedLevel: "high" }],
        ["outputs.heat-guard-2", { board: "io", pin: 13, energisedLevel: "high" }],
      ],
      null,
    ],
    [
      "no heater in `outputs`: whatever stands of its power",
      [
        ["heat.heaterW", 1000],
        ["outputs.heater-1", undefined],
        ["outputs.heat-guard", undefined],
      ],
      null,
    ],
    // 15 W/K × (28 − 22) K = 90 W keep the water at 28 °C without any heater.
    ["a return pump of 91 W", [["heat.returnPumpW", 91]], "heat.returnPumpW"],
    ["a return pump of 90 W", [["heat.returnPumpW", 90]], null],
    ["shorter waits with outputs", [["bench.waitsDividedBy", 1.5]], "bench.waitsDividedBy"],
    [
      "shorter waits, accepted in words",
      [
        ["bench.waitsDividedBy", 100],
        ["bench.shorterWaitsAccepted", "A bench: nothing is plugged in."],
      ],
      null,
    ],
    [
      "shorter waits where nothing is switched",
      [
        ["outputs", {}],
        ["bench.waitsDividedBy", 100],
      ],
      null,
    ],
  ];
  test.each(rows)("%s: %j: fault at %s", (_name, change, path) => {
    const raw = change.reduce((settings, [place, value]) => withPlace(place, value, settings), example());
    const faults = faultsOf(raw);
    if (path === null) expect(faults).toEqual([]);
    else expect(faults.map((fault) => fault.path)).toContain(path);
  });

  test("reference tank: 10.5, 4.4 and 4.12 L, the last is the limit by salinity; shallow: 2 L by the rim", () => {
    const budget = boxBudget(rehearsalSettings());
    // The reference tank: 10.5, 4.4, 4.1 L.
    expect(budget.byRimL).toBe(10.5);
    expect(budget.byBlockedWeirL).toBe(4.4);
    expect(budget.byDilutionL).toBeCloseTo(4.12, 2);
    expect(budget.largestReservoirL).toBe(budget.byDilutionL);
    expect(budget.because).toMatch(/salinity/);
    const shallow = { ...rehearsalSettings(), tank: { ...rehearsalSettings().tank, freeVolumePumpOffL: 2 } };
    expect(boxBudget(shallow)).toMatchObject({ largestReservoirL: 2, because: expect.stringMatching(/rim/) });
  });
});

describe("wiring refused", () => {
  const rows: [name: string, change: [path: string, value: unknown][], path: string][] = [
    ["two parts on one pin", [["inputs.high-float.pin", 2]], "inputs.high-float.pin"],
    ["an input on an output's pin", [["outputs.heater-1.pin", 2]], "outputs.heater-1.pin"],
    ["a board that is not there", [["inputs.high-float.board", "ion"]], "inputs.high-float.board"],
    ["a float on a Modbus line", [["inputs.high-float.board", "line"]], "inputs.high-float.board"],
    ["a thermometer on an I/O board", [["inputs.thermometer-1.board", "io"]], "inputs.thermometer-1.board"],
    ["a board named like a built-in", [["inputs.high-float.board", "constructor"]], "inputs.high-float.board"],
    ["a pump without its guard", [["outputs.water-guard", undefined]], "outputs.water-guard"],
    ["a heater without its guard", [["outputs.heat-guard", undefined]], "outputs.heat-guard"],
    ["a pump without a working float", [["inputs.working-float", undefined]], "inputs.working-float"],
    ["a pump without a high float", [["inputs.high-float", undefined]], "inputs.high-float"],
    [
      "a heater without any thermometer",
      [
        ["inputs.thermometer-1", undefined],
        ["inputs.conductivity-probe", undefined],
      ],
      "inputs.thermometer-1",
    ],
  ];
  test.each(rows)("%s: %j: fault at %s", (_name, change, path) => {
    const raw = change.reduce((settings, [place, value]) => withPlace(place, value, settings), example());
    expect(faultsOf(raw).map((fault) => fault.path)).toContain(path);
  });
});

describe("pins that only know high and low, and pins of the guard firmware", () => {
  const thermistor = (pin: number) => ({
    board: "io",
    pin,
    thermistor: { seriesOhms: 1e4, ohmsAt25C: 1e4, betaK: 3950 },
  });
  const supervised = { pullUpOhms: 10_000, closedOhms: 4700, openOhms: 14_700 };
  const rows: [name: string, change: [path: string, value: unknown][], path: string | null][] = [
    ["a thermistor on pin 6 of an Uno", [["inputs.thermometer-1", thermistor(6)]], "inputs.thermometer-1.pin"],
    ["a thermistor on A0 of an Uno", [["inputs.thermometer-1", thermistor(14)]], null],
    [
      "a watched float on pin 12 of an Uno",
      [["inputs.high-float", { board: "io", pin: 12, closedWhen: "off", supervised }]],
      "inputs.high-float.pin",
    ],
    [
      "a thermistor on pin 16 of a board with pins beyond an Uno's",
      [
        ["inputs.high-float.pin", 30],
        ["inputs.thermometer-1", thermistor(16)],
      ],
      "inputs.thermometer-1.pin",
    ],
    [
      "a thermistor on A0 of such a board",
      [
        ["inputs.high-float.pin", 30],
        ["inputs.thermometer-1", thermistor(54)],
      ],
      null,
    ],
    ["a float on the guard firmware's lamp", [...GUARDED, ["inputs.floor-sensor.pin", 13]], "inputs.floor-sensor.pin"],
    [
      "the pump's relay elsewhere than the guard firmware has it",
      [...GUARDED, ["outputs.top-off-pump.pin", 7]],
      "outputs.top-off-pump.pin",
    ],
    [
      "a guard of the guard firmware that a low level closes",
      [...GUARDED, ["outputs.water-guard.energisedLevel", "low"]],
      "outputs.water-guard.energisedLevel",
    ],
  ];
  test.each(rows)("%s: %j: fault at %s", (_name, change, path) => {
    const raw = change.reduce((settings, [place, value]) => withPlace(place, value, settings), example());
    const paths = faultsOf(raw).map((fault) => fault.path);
    if (path === null) expect(paths).toEqual([]);
    else expect(paths).toContain(path);
  });
});

describe("a file that leaves measures for later", () => {
  test("two measures left out: not accepted, can be wired by, both named", () => {
    const raw = withPlace("topOff.evaporationLPerDay", undefined, withPlace("tank.highFloatMm", undefined));
    expect(checkSettings(raw).settings).toBeNull();
    const { settings, toMeasure, faults } = checkUnfinished(raw);
    expect(settings).not.toBeNull();
    expect([...toMeasure].sort()).toEqual(["tank.highFloatMm", "topOff.evaporationLPerDay"]);
    expect(faults).toEqual([]);
  });

  test("60 L without a reservoir: no fault; a pin taken twice: fault", () => {
    // The usual reservoir of 4 L is more than a box of 60 L takes: 60/34 L.
    const small = withPlace("topOff.reservoirL", undefined, withPlace("tank.netVolumeL", 60));
    expect(checkUnfinished(withPlace("heat.heaterW", 100, small)).faults).toEqual([]);
    const wrong = checkUnfinished(withPlace("inputs.high-float.pin", 2, small));
    expect(wrong.settings).toBeNull();
    expect(wrong.faults.map(({ path }) => path)).toContain("inputs.high-float.pin");
  });

  test("a whole file: nothing to measure", () => {
    expect(checkUnfinished(example())).toMatchObject({ toMeasure: [], faults: [] });
  });
});

describe("working float and high float", () => {
  // They share no cable, connector or port. A board reports eight pins at once.
  const floats = (working: number, high: number, more: [path: string, value: unknown][] = []) =>
    faultsOf(
      [["inputs.working-float.pin", working] as [string, unknown], ["inputs.high-float.pin", high], ...more].reduce(
        (settings, [path, value]) => withPlace(path as string, value, settings),
        withPlace("inputs.reservoir-float", undefined, withPlace("inputs.floor-sensor", undefined)),
      ),
    );

  test.each([
    [2, 3],
    [7, 2],
    [16, 23],
    [14, 15],
  ])("pins %i and %i: refused, a pin outside of that port", (working, high) => {
    expect(floats(working, high)).toEqual([
      { path: "inputs.high-float.pin", value: high, expected: expect.stringMatching(/^a pin outside of \d+ to \d+/) },
    ]);
  });
  test.each([
    [7, 12],
    [2, 16],
    [15, 16],
  ])("pins %i and %i: accepted", (working, high) => {
    expect(floats(working, high)).toEqual([]);
  });
  test("one pin: refused, names the part that has it", () => {
    expect(floats(2, 2)).toEqual([
      { path: "inputs.high-float.pin", value: 2, expected: "a pin of its own: inputs.working-float has it" },
    ]);
  });
  test("same pin of two boards: accepted", () => {
    const other: [string, unknown][] = [
      ["boards.other", { kind: "firmata", port: "/dev/ttyACM1" }],
      ["inputs.high-float.board", "other"],
    ];
    expect(floats(2, 2, other)).toEqual([]);
  });
  test("one port, no pump: accepted", () => {
    const watching: [string, unknown][] = [
      ["outputs.top-off-pump", undefined],
      ["outputs.water-guard", undefined],
    ];
    expect(floats(2, 3, watching)).toEqual([]);
  });
});

describe("contacts on a board with standard firmware", () => {
  const contact = (pin: number) => ({ board: "io", pin, closedWhen: "on" });
  const onPins = (firmware: string, ...pins: number[]) => ({
    boards: { io: { kind: "firmata", port: "/dev/ttyACM0", firmware } },
    inputs: Object.fromEntries(
      ["low-float", "reservoir-float", "mains-sensor", "return-sensor", "tank-button"].map((part, index) => [
        part,
        part === "tank-button" ? { board: "io", pin: pins[index] } : contact(pins[index] as number),
      ]),
    ),
  });

  test("five of a port's six pins: accepted; all six: refused; guard firmware: accepted", () => {
    expect(faultsOf(onPins("standard", 2, 3, 4, 5, 6))).toEqual([]);
    const all = onPins("standard", 2, 3, 4, 5, 6);
    const full = { ...all, inputs: { ...all.inputs, "floor-sensor": { ...contact(7), closedWhen: "off" } } };
    expect(faultsOf(full)).toEqual([
      {
        path: expect.stringMatching(/^inputs\./),
        value: expect.any(Number),
        expected: expect.stringMatching(/2 to 7/),
      },
    ]);
    expect(faultsOf({ ...full, boards: onPins("guard").boards })).toEqual([]);
    // Pins 20 to 23 are none of an Uno; a wire beyond them shows another board.
    expect(faultsOf(onPins("standard", 16, 17, 18, 19, 2))).toHaveLength(1);
    expect(faultsOf(onPins("standard", 16, 17, 18, 19, 30))).toEqual([]);
    // The lamp of the board is no open pin, and the two that talk to the computer are none.
    expect(faultsOf(onPins("standard", 8, 9, 10, 11, 12))).toEqual([]);
  });
});

describe("measures of the box", () => {
  const pump = [
    "tank.netVolumeL",
    "tank.freeVolumePumpOffL",
    "tank.freeVolumeWeirBlockedL",
    "targets.salinity",
    "topOff.provenFlowLPerMin",
    "topOff.evaporationLPerDay",
    "topOff.reservoirL",
  ];
  const heater = ["tank.netVolumeL", "targets.temperatureC", "heat.heaterW", "heat.heaterPlace"];
  test.each([...new Set([...pump, ...heater])])("%s missing: refused, measured at your own box", (path) => {
    const fault = faultsOf(withPlace(path, undefined)).find((found) => found.path === path);
    expect(fault?.expected).toMatch(/measured at your own box/);
  });
  test.each(pump.filter((path) => !heater.includes(path)))("%s missing, no pump: accepted", (path) => {
    const dry = withPlace("outputs.top-off-pump", undefined, withPlace("outputs.water-guard", undefined));
    expect(faultsOf(withPlace(path, undefined, dry)).map((fault) => fault.path)).not.toContain(path);
  });
});

describe("published JSON schema, in a validator of its own", () => {
  const require = createRequire(import.meta.url);
  // A validator that is not ours, of the JSON Schema 2020-12 vocabulary; it comes with the web server.
  const Ajv = require("ajv/dist/2020.js").default as new (
    options: object,
  ) => { compile(schema: object): (raw: unknown) => boolean };
  const schema = settingsJsonSchema() as { $schema?: string };
  const accepts = new Ajv({ strict: false, allErrors: true }).compile(schema);

  test("draft: 2020-12", () => {
    expect(schema.$schema).toBe("https://json-schema.org/draft/2020-12/schema");
  });
  test("example and empty file: accepted", () => {
    expect(accepts(example())).toBe(true);
    expect(accepts({})).toBe(true);
  });
  test.each([
    ["topOff.slicemL", 200],
    ["targets.temperatureC", 77],
    ["scanMs", 250.5],
    ["tank.id", "Reef Box"],
    ["inputs.working-float.closedWhen", "dry"],
  ])("%s: %j: refused", (path, value) => {
    expect(accepts(withPlace(path, value))).toBe(false);
  });
  test("setpoint: described in words", () => {
    expect(JSON.stringify(schema)).toMatch(/Setpoint of the heat/);
  });
});

describe("contact whose broken wire reads as safe", () => {
  const supervised = { pullUpOhms: 10_000, closedOhms: 4700, openOhms: 14_700 };
  const faults = (part: ContactPart, closedWhen: "on" | "off", more: object = {}) =>
    faultsOf({
      boards: { io: { kind: "firmata", port: "/dev/ttyACM0" } },
      inputs: { [part]: { board: "io", pin: 14, closedWhen, ...more } },
      attendedMinutes: 60,
    });

  test.each(CONTACT_PARTS)("%s: refused, expects the other contact; supervised: accepted", (part) => {
    const safe = BROKEN_WIRE_READS[part];
    const right = safe === "on" ? "off" : "on";
    expect(faults(part, safe)).toEqual([
      {
        path: `inputs.${part}.closedWhen`,
        value: safe,
        expected: expect.stringMatching(new RegExp(`^"${right}", with the contact .*a broken wire would read`)),
      },
    ]);
    expect(faults(part, right)).toEqual([]);
    // Resistors at the end of the line make both ends known.
    expect(faults(part, safe, { supervised })).toEqual([]);
  });

  // What is unknown counts as dangerous. Water that may be there stops the pump; cover that may not, the heater.
  test("broken wire of each contact: reads as the side that a pour or heater must not have", () => {
    expect(BROKEN_WIRE_READS).toEqual({
      "working-float": "on",
      "high-float": "on",
      "floor-sensor": "on",
      "low-float": "off",
      "reservoir-float": "off",
      "mains-sensor": "off",
      "return-sensor": "off",
    });
  });
});
