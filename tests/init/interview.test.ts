import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { idFrom } from "../../controller/cli/init/box.ts";
import type { PluggedIn } from "../../controller/cli/init/draft.ts";
import { interview } from "../../controller/cli/init/interview.ts";
import { numberIn } from "../../controller/cli/init/questions.ts";
import { checkSettings } from "../../shared/settings/index.ts";
import { REFERENCE_BOX, type Script, scripted } from "./scripted.ts";

/** The questionnaire: what it asks, what it refuses, and that whatever it ends in can be used. */

const NOTHING: PluggedIn = { ports: [], thermometers: [] };

async function answered(script: Script, plugged = NOTHING) {
  const dialogue = scripted(script);
  const draft = await interview(dialogue, plugged);
  return { dialogue, draft, ...checkSettings(draft) };
}

describe("the reference box", () => {
  test("all answers: settings without a fault, each answer in its place, no guard of the keeper's own", async () => {
    const { settings, faults, draft } = await answered(REFERENCE_BOX);
    expect(faults).toEqual([]);
    expect(settings).toMatchObject({
      tank: { netVolumeL: 140, lastChamberM2: 0.02, pumpOffLevelMm: 60, highFloatMm: 70, freeVolumeWeirBlockedL: 4.4 },
      targets: { temperatureC: 25, salinity: 35 },
      topOff: { provenFlowLPerMin: 1.5, evaporationLPerDay: 1.5, reservoirL: 4, dailyBudgetL: 3 },
      heat: { heaterW: 200, lossWPerK: 15 },
      boards: { io: { kind: "firmata", firmware: "guard" }, bus: { kind: "one-wire" } },
    });
    expect(Object.keys(draft.outputs)).toEqual(["top-off-pump", "water-guard", "heater-1", "heat-guard"]);
    expect(draft.independentGuard).toBeUndefined();
  });

  test("contacts: closed on the side that a broken wire must not look like", async () => {
    const { settings } = await answered(REFERENCE_BOX);
    expect(
      Object.fromEntries(
        Object.entries(settings?.inputs ?? {}).map(([part, wired]) => [
          part,
          (wired as { closedWhen?: string })?.closedWhen,
        ]),
      ),
    ).toMatchObject({
      "working-float": "off",
      "high-float": "off",
      "low-float": "on",
      "reservoir-float": "on",
      "floor-sensor": "off",
      "mains-sensor": "on",
      "return-sensor": "on",
    });
  });

  test("pins of working and high float: on different ports", async () => {
    const { settings } = await answered(REFERENCE_BOX);
    const { "working-float": working, "high-float": high } = settings?.inputs ?? {};
    expect(Math.floor((working?.pin as number) / 8)).not.toBe(Math.floor((high?.pin as number) / 8));
  });

  test("standard firmware: accepted; the last free pin of a port: refused; guard firmware: taken", async () => {
    const standard = { ...REFERENCE_BOX, "board.firmware": "standard", letsGo: "attended" };
    expect((await answered(standard)).faults).toEqual([]);
    const full = await answered({ ...standard, "inputs.return-sensor.pin": ["7", "A4"] });
    expect(full.faults).toEqual([]);
    expect(full.dialogue.refused).toMatchObject([{ answer: "7", expected: /7 is the last/ }]);
    const guarded = await answered({ ...REFERENCE_BOX, "inputs.return-sensor.pin": "7" });
    expect([guarded.faults, guarded.dialogue.refused]).toEqual([[], []]);
  });

  test("guard firmware: its output pins not asked for, 8 to 11 set", async () => {
    const { dialogue, settings } = await answered(REFERENCE_BOX);
    expect(dialogue.asked.filter((id) => /^outputs\..*\.pin$/.test(id))).toEqual([]);
    const pins = Object.entries(settings?.outputs ?? {}).map(([part, wired]) => [part, wired?.pin]);
    expect(Object.fromEntries(pins)).toEqual({ "top-off-pump": 8, "water-guard": 9, "heater-1": 10, "heat-guard": 11 });
  });

  test("button and sensed outputs: not asked for unless there; taken pins refused", async () => {
    const without = await answered(REFERENCE_BOX);
    expect(without.settings?.inputs["tank-button"]).toBeUndefined();
    expect(without.dialogue.asked.filter((id) => /sensed\.pin/.test(id))).toEqual([]);
    const { settings, faults, dialogue } = await answered({
      ...REFERENCE_BOX,
      "inputs.tank-button.pin": "7",
      sensed: "yes",
      "outputs.heater-1.sensed.pin": ["7", "A4"],
      "outputs.heat-guard.sensed.pin": ["A4", "A5"],
    });
    expect(faults).toEqual([]);
    expect(settings?.inputs["tank-button"]).toMatchObject({ board: "io", pin: 7 });
    expect(settings?.outputs["heater-1"]?.sensed).toEqual({ board: "io", pin: 18, closedWhen: "off" });
    expect(settings?.outputs["heat-guard"]?.sensed).toMatchObject({ pin: 19 });
    expect(settings?.outputs["top-off-pump"]?.sensed).toBeUndefined();
    expect(dialogue.refused).toMatchObject([
      { answer: "7", expected: /button at the tank has 7/ },
      { answer: "A4", expected: /sensor behind the heater has 18/ },
    ]);
  });

  const secondHeater = {
    secondHeater: "yes",
    "heat.secondHeater.heaterW": "75",
    "heat.secondHeater.heaterPlace": "pinned-chamber",
    "heat.secondHeater.thermometerSharesHeaterChamber": "yes",
  };

  test("second heater of 75 W: in the settings, pins 12 and 13, told how its firmware is built", async () => {
    const { dialogue, settings, faults } = await answered({ ...REFERENCE_BOX, ...secondHeater });
    expect(faults).toEqual([]);
    expect(settings?.heat.secondHeater).toEqual({
      heaterW: 75,
      heaterPlace: "pinned-chamber",
      thermometerSharesHeaterChamber: true,
    });
    expect([settings?.outputs["heater-2"]?.pin, settings?.outputs["heat-guard-2"]?.pin]).toEqual([12, 13]);
    expect(dialogue.said.join("\n")).toMatch(/SECOND_HEATER=1/);
  });

  test("second heater with its pin taken: left out, told by what", async () => {
    const taken = { ...REFERENCE_BOX, ...secondHeater, "inputs.return-sensor.pin": "12" };
    const { dialogue, settings, faults } = await answered(taken);
    expect(faults).toEqual([]);
    expect(settings?.heat.secondHeater).toBeNull();
    expect(dialogue.said.join("\n")).toMatch(/the return-pump sensor is on 12: it stays out/);
  });
});

describe("answers refused, then one that will do", () => {
  const rows: [id: string, answers: string[], expected: RegExp][] = [
    ["tank.netVolumeL", ["much", "19", "140 gal", "1,500", "140"], /20 to 2000, in L/],
    ["targets.salinity", ["1.026", "35"], /28 to 40/],
    ["targets.temperatureC", ["77", "25 °C"], /18 to 30, in °C/],
    [
      "inputs.high-float.pin",
      ["2", "8", "13", "A7", "3", "pin 16"],
      /another pin: the working float has 2.*outside of 0 to 7/s,
    ],
    ["tank.highFloatMm", ["60", "70"], /61 to 300/],
    ["tank.lastChamberM2", ["0.02", "250 x", "25 x 8", "250x80"], /such as 250 x 80/],
    ["inputs.thermometer-1.device", ["28-0316A2795CAA", "thermometer", "28-0316a2795caa"], /DS18B20/],
    ["board.port", ["ttyACM0", "", "/dev/ttyACM0"], /path of a serial port/],
    ["board.firmware", ["stock", "guard"], /one of guard, standard/],
    ["heat.heaterPlace", ["display", "pinned-chamber"], /pinned-chamber/],
    ["heat.thermometerSharesHeaterChamber", ["", "perhaps", "no"], /yes or no/],
  ];
  test.each(rows)("%s: %j: all but the last refused, with what was expected", async (id, answers, expected) => {
    const { dialogue, faults } = await answered({ ...REFERENCE_BOX, [id]: answers });
    const refused = dialogue.refused.filter((one) => one.id === id);
    expect(refused).toHaveLength(answers.length - 1);
    expect(refused.map((one) => one.expected).join(" ")).toMatch(expected);
    expect(dialogue.refused.every((one) => one.id === id)).toBe(true);
    expect(faults).toEqual([]);
  });

  test("1.5, 1,5 and 1.5 L: 1.5; 1,500, another unit or no number: null", () => {
    for (const answer of ["1.5", "1,5", "1.5 L", "1.5l", "1,50"]) expect(numberIn(answer, "L")).toBe(1.5);
    for (const answer of ["1,500", "1.5 mL", "L", "", "1.5.2", "0x10", "1e3", "NaN", "∞"]) {
      expect(numberIn(answer, "L")).toBeNull();
    }
    expect(numberIn("-60 mm", "mm")).toBe(-60);
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
      "topOff.fan.aboveC": ["25.1", "always", "26.5"],
      "topOff.fan.evaporationLPerDay": ["1.4", "3"],
    };
    const { settings, faults, dialogue } = await answered(script);
    expect(faults).toEqual([]);
    expect(settings?.topOff).toMatchObject({ fan: { aboveC: 26.5, evaporationLPerDay: 3 }, dailyBudgetL: 3.8 });
    expect(dialogue.refused.map(({ answer, expected }) => [answer, expected])).toEqual([
      ["25.1", "none, or a temperature from 25.2 to 34, in °C"],
      ["always", "none, or a temperature from 25.2 to 34, in °C"],
      ["1.4", "a number from 1.5 to 100, in L a day"],
    ]);
    expect(dialogue.said.join(" ")).toMatch(/twice the evaporation or a day with the fan on.*3\.8 L/);
  });

  test("fan of 9 L over 0.7 L a day: budget of 3.5 L, no fault", async () => {
    const script = { ...REFERENCE_BOX, "topOff.evaporationLPerDay": "0.7", "topOff.fan.aboveC": "27" };
    const { settings, faults } = await answered({ ...script, "topOff.fan.evaporationLPerDay": "9" });
    expect(faults).toEqual([]);
    expect(settings?.topOff.dailyBudgetL).toBe(3.5);
  });
});

describe("a reservoir larger than the box can take", () => {
  // V·step/(S − step) = 140/34 = 4.12 L is the smallest of the three limits of the reference box.
  test("10 L, not kept: asked again, 4 L taken, 4.1 L told", async () => {
    const { settings, dialogue } = await answered({
      ...REFERENCE_BOX,
      "topOff.reservoirL": ["10", "4"],
      "topOff.reservoirAccepted": "no",
    });
    expect(settings?.topOff).toMatchObject({ reservoirL: 4, largeReservoirAccepted: null });
    expect(dialogue.said.join("\n")).toMatch(/at most 4\.1 L of fresh water/);
  });

  test("10 L, kept with ok: refused; with a reason in words: taken", async () => {
    const { settings, dialogue } = await answered({
      ...REFERENCE_BOX,
      "topOff.reservoirL": "10",
      "topOff.reservoirAccepted": "yes",
      "topOff.largeReservoirAccepted": ["ok", "Away for a week, the neighbour looks in."],
    });
    expect(settings?.topOff.largeReservoirAccepted).toBe("Away for a week, the neighbour looks in.");
    expect(dialogue.refused).toMatchObject([{ answer: "ok", expected: expect.stringMatching(/10 characters/) }]);
  });
});

describe("parts that need other parts", () => {
  test("no high float: no top-off, told why", async () => {
    const { draft, dialogue, faults } = await answered({ ...REFERENCE_BOX, "inputs.high-float.pin": "none" });
    expect(draft.outputs["top-off-pump"]).toBeUndefined();
    expect(dialogue.said.join("\n")).toMatch(/needs a working float and a high float/);
    expect(faults).toEqual([]);
  });

  test("no thermometer: no heater, told why", async () => {
    const { draft, dialogue, faults } = await answered({ ...REFERENCE_BOX, "inputs.thermometer-1": "none" });
    expect(draft.outputs["heater-1"]).toBeUndefined();
    expect(dialogue.said.join("\n")).toMatch(/heater needs a thermometer/);
    expect(faults).toEqual([]);
  });

  test("no low float: heater in the last chamber refused; with one: taken", async () => {
    const heater = { "heat.heaterPlace": ["last-chamber", "pinned-chamber"] };
    const { dialogue, faults } = await answered({ ...REFERENCE_BOX, "inputs.low-float.pin": "none", ...heater });
    expect(dialogue.refused).toMatchObject([{ id: "heat.heaterPlace", expected: expect.stringMatching(/low float/) }]);
    expect(faults).toEqual([]);
    expect((await answered({ ...REFERENCE_BOX, ...heater })).settings?.heat.heaterPlace).toBe("last-chamber");
  });

  test("standard firmware: attended for 60 min, or a switch of the keeper's own described in words", async () => {
    const standard = { ...REFERENCE_BOX, "board.firmware": "standard" };
    expect((await answered(standard)).settings).toMatchObject({ attendedMinutes: 60, independentGuard: null });
    const own = { letsGo: "switch", independentGuard: ["timer", "A timer relay that must be fed."] };
    const { settings, dialogue } = await answered({ ...standard, ...own });
    expect(settings).toMatchObject({ attendedMinutes: null, independentGuard: "A timer relay that must be fed." });
    expect(dialogue.refused).toHaveLength(1);
  });

  test("instrument that compensates, no temperature told: compensation refused; with one: taken", async () => {
    const probe = {
      "inputs.conductivity-probe": "modbus",
      "line.port": "/dev/ttyUSB0",
      "inputs.conductivity-probe.slave": "1",
      "conductivity.temperature": "no",
      "inputs.conductivity-probe.compensation": ["2 25", "none"],
    };
    const { dialogue, settings } = await answered({ ...REFERENCE_BOX, ...probe });
    expect(dialogue.refused).toMatchObject([
      { answer: "2 25", expected: expect.stringMatching(/nothing can be undone/) },
    ]);
    expect(settings?.inputs["conductivity-probe"]).toMatchObject({ compensation: "none", temperatureC: null });
    const { settings: undone } = await answered({ ...REFERENCE_BOX, ...probe, "conductivity.temperature": "yes" });
    expect(undone?.inputs["conductivity-probe"]).toMatchObject({ compensation: { percentPerK: 2, referenceC: 25 } });
  });

  test("no board at all: settings without boards, without a fault", async () => {
    const { settings, draft } = await answered({ ...REFERENCE_BOX, board: "no", "inputs.thermometer-1": "none" });
    expect(settings).not.toBeNull();
    expect(draft.boards).toEqual({});
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
      "inputs.thermometer-1.device": "",
      "inputs.thermometer-2": "one-wire",
      "inputs.thermometer-2.device": ["28-0316a2795caa", ""],
      "inputs.conductivity-probe": "modbus",
      "inputs.conductivity-probe.slave": "1",
      "inputs.conductivity-probe.compensation": "none",
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
])("name %j: id %s", (name, id) => {
  expect(idFrom(name)).toBe(id);
  expect(checkSettings({ tank: { id, name } }).faults).toEqual([]);
});

/** Answers of any kind: mostly of the right shape, now and then nonsense, always at last something that will do. */
const number = (from: number, to: number) =>
  fc.double({ min: from, max: to, noNaN: true }).map((value) => `${Number(value.toPrecision(4))}`);
const NONSENSE = fc.oneof(
  fc.string(),
  fc.constantFrom("", "none", "yes", "-1", "0", "9999999", "28", "A0", "input 0 int16"),
);
const pin = fc.oneof(
  fc.integer({ min: 0, max: 70 }).map(String),
  fc.integer({ min: 0, max: 9 }).map((n) => `A${n}`),
  fc.constant("none"),
);

const GOOD: readonly [RegExp, fc.Arbitrary<string>][] = [
  [/^tank\.name$/, fc.string({ minLength: 1, maxLength: 60, unit: "grapheme" })],
  [/netVolumeL/, number(20, 2000)],
  [
    /temperatureC$/,
    fc.oneof(number(18, 30), fc.constant("holding 7 float32 1 low-first"), fc.constant("input 3 int16 0.1")),
  ],
  [/targets\.salinity/, number(28, 40)],
  [/Level$/, fc.constantFrom("high", "low")],
  [/\.pin$/, pin],
  [/^sensed$/, fc.constantFrom("yes", "no")],
  [/lastChamber/, fc.constantFrom("250 x 80", "50 x 40", "1000x1000")],
  [/pumpOffLevelMm/, number(0, 299)],
  [/highFloatMm/, fc.oneof(number(5, 300), fc.constant("300"))],
  [/lowFloatMm/, number(-300, -5)],
  [/Hysteresis/, number(1, 50)],
  [/provenFlow/, number(25, 5000)],
  [/evaporation/, number(0.05, 50)],
  [/freeVolume/, number(0, 500)],
  [/reservoirL$/, number(0.5, 200)],
  [
    /reservoirAccepted|^top-off$|^heater$|^secondHeater$|^board$|Shares|conductivity\.temperature/,
    fc.constantFrom("yes", "yes", "no"),
  ],
  [/largeReservoirAccepted|independentGuard/, fc.string({ minLength: 10, maxLength: 50 })],
  [/^inputs\.(thermometer|room)[^.]*$/, fc.constantFrom("one-wire", "modbus", "ntc", "none")],
  [/^inputs\.conductivity-probe$/, fc.constantFrom("modbus", "none")],
  [/device/, fc.integer({ min: 0, max: 9 }).map((n) => `28-0316a2795ca${n}`)],
  [/slave/, fc.integer({ min: 1, max: 9 }).map(String)],
  [/compensation/, fc.constantFrom("none", "2 25", "1.91 20", "9 9")],
  [/port/, fc.constantFrom("/dev/ttyACM0", "/dev/ttyUSB0", "/dev/ttyUSB1")],
  [/firmware/, fc.constantFrom("guard", "standard")],
  [/letsGo/, fc.constantFrom("attended", "switch")],
  [/heaterPlace/, fc.constantFrom("pinned-chamber", "last-chamber")],
  [/heaterW/, number(10, 2000)],
  [/roomC/, number(0, 40)],
  [/returnPumpW/, number(0, 500)],
  [/attendedMinutes/, number(10, 240)],
  [/thermistor/, fc.constant("10000 10000 3950")],
];

test("1,000 random interviews: settings that check accepts without a fault", async () => {
  await fc.assert(
    fc.asyncProperty(fc.gen(), async (gen) => {
      const dialogue = scripted((id) => {
        if (gen(fc.nat, { max: 9 }) === 0) return gen(() => NONSENSE);
        const [, good] = GOOD.find(([pattern]) => pattern.test(id)) ?? [];
        return good === undefined ? "" : gen(() => good);
      });
      const draft = await interview(dialogue, NOTHING).catch((error: Error) => {
        // A keeper who gives two hundred wrong answers is not what this is about.
        if (/no answer to/.test(error.message)) return null;
        throw error;
      });
      fc.pre(draft !== null);
      expect(checkSettings(JSON.parse(JSON.stringify(draft))).faults).toEqual([]);
    }),
    { numRuns: 1000, endOnFailure: true },
  );
});
