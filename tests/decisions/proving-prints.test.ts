import { describe, expect, test } from "vitest";
import { fingerprint } from "../../controller/decisions/calibration/prints.ts";
import { printsOf } from "../../controller/decisions/proving/prints.ts";
import { PROOF_PARTS, type ProofPart } from "../../shared/contract/proving.ts";
import { rehearsalSettings, type Settings } from "../../shared/settings/index.ts";

/** Which proofs a changed line of the settings takes back, and which it only makes due again. */
const pin = (number: number) => ({ board: "io", pin: number });
const FILE = {
  ...rehearsalSettings(),
  boards: {
    io: { kind: "firmata", port: "/dev/ttyACM0", baud: 57_600, firmware: "guard" },
    bus: { kind: "one-wire", folder: "/sys/bus/w1/devices", pollMs: 1_000 },
  },
  inputs: {
    "high-float": { ...pin(2), closedWhen: "off" },
    "working-float": { ...pin(3), closedWhen: "on" },
    "low-float": { ...pin(4), closedWhen: "on" },
    "reservoir-float": { ...pin(5), closedWhen: "on" },
    "floor-sensor": { ...pin(6), closedWhen: "on" },
    "thermometer-1": { board: "bus", device: "28-000000000001" },
    "thermometer-2": { board: "bus", device: "28-000000000002" },
  },
  outputs: {
    "water-guard": { ...pin(8), energisedLevel: "high" },
    "top-off-pump": { ...pin(9), energisedLevel: "high" },
    "heat-guard": { ...pin(10), energisedLevel: "high" },
    "heater-1": { ...pin(11), energisedLevel: "high" },
    "heat-guard-2": { ...pin(12), energisedLevel: "high" },
    "heater-2": { ...pin(13), energisedLevel: "high" },
  },
} as const satisfies Settings;
const { boards, inputs, outputs, tank, topOff, heat, targets } = FILE;
const SECOND = { heaterW: 100, heaterPlace: "pinned-chamber", thermometerSharesHeaterChamber: true } as const;

const otherParts = (which: "part" | "port", change: Partial<Settings>, file: Settings = FILE) => {
  const [before, after] = [printsOf(file), printsOf({ ...file, ...change })];
  return PROOF_PARTS.filter((part) => before[part][which] !== after[part][which]);
};

describe("settings that make a part another", () => {
  const moved = { board: "io", pin: 40 };
  const wiredInputs = ["high-float", "working-float", "low-float", "reservoir-float", "floor-sensor"] as const;
  test.each(wiredInputs)("%s on another pin or on none: it alone", (part) => {
    expect(otherParts("part", { inputs: { ...inputs, [part]: { ...inputs[part], ...moved } } })).toEqual([part]);
    expect(otherParts("part", { inputs: { ...inputs, [part]: undefined } })).toEqual([part]);
  });
  test.each(["thermometer-1", "thermometer-2"] as const)("%s with another device: it alone", (part) => {
    const wired = { ...inputs, [part]: { ...inputs[part], device: "28-00000000000f" } };
    expect(otherParts("part", { inputs: wired })).toEqual([part]);
  });
  const switches: [output: keyof typeof outputs, parts: ProofPart[]][] = [
    ["water-guard", ["water-guard"]],
    // What runs on after a stop is the pump's own doing too.
    ["top-off-pump", ["top-off-pump", "siphon"]],
    ["heat-guard", ["heat-guard"]],
    ["heater-1", ["heater-1"]],
    ["heat-guard-2", ["heat-guard-2"]],
    ["heater-2", ["heater-2"]],
  ];
  test.each(switches)("%s on another pin: its own parts", (output, parts) => {
    expect(otherParts("part", { outputs: { ...outputs, [output]: { ...outputs[output], ...moved } } })).toEqual(parts);
  });
  const lines: [story: string, change: Partial<Settings>, parts: ProofPart[]][] = [
    ["a pump of another flow", { topOff: { ...topOff, provenFlowLPerMin: 1.4 } }, ["top-off-pump"]],
    ["another run-on", { topOff: { ...topOff, coastMl: 25 } }, ["siphon"]],
    ["a high float moved", { tank: { ...tank, highFloatMm: 75 } }, ["pump-off-level"]],
    ["another level with the pump off", { tank: { ...tank, pumpOffLevelMm: 55 } }, ["pump-off-level"]],
    ["another last chamber", { tank: { ...tank, lastChamberM2: 0.03 } }, ["pump-off-level"]],
    ["a heater of another power", { heat: { ...heat, heaterW: 150 } }, ["heater-1", "heater-thermostat"]],
    ["a heater in another place", { heat: { ...heat, heaterPlace: "last-chamber" } }, ["heater-1"]],
    ["a second heater of some power", { heat: { ...heat, secondHeater: SECOND } }, ["heater-2", "heater-2-thermostat"]],
    [
      "another setpoint: the thermostats stand above the old one",
      { targets: { ...targets, temperatureC: 26 } },
      ["heater-thermostat", "heater-2-thermostat"],
    ],
    ["a target of the salinity", { targets: { ...targets, salinity: 34 } }, []],
  ];
  test.each(lines)("by %s: the parts listed, no port", (_, change, parts) => {
    expect(otherParts("part", change)).toEqual(parts);
    expect(otherParts("port", change)).toEqual([]);
  });
  test("second heater in another place: heater-2 alone", () => {
    const two: Settings = { ...FILE, heat: { ...heat, secondHeater: SECOND } };
    const secondHeater = { ...SECOND, heaterPlace: "last-chamber" } as const;
    expect(otherParts("part", { heat: { ...heat, secondHeater } }, two)).toEqual(["heater-2"]);
  });
  test("board of other firmware: all that is wired to it and the siphon, nothing else", () => {
    const standard = { ...boards, io: { ...boards.io, firmware: "standard" } } as const;
    const onBoard = PROOF_PARTS.filter((part) => part in inputs || part in outputs || part === "siphon");
    expect(otherParts("part", { boards: standard })).toEqual(onBoard.filter((part) => !part.startsWith("thermometer")));
  });
});

describe("settings that change a port only", () => {
  const ON_IO = PROOF_PARTS.filter((part) => part in outputs || part === "siphon" || /float|floor/.test(part));
  test("board's port renamed: no part is another, all on that board get another port", () => {
    const renamed = { boards: { ...boards, io: { ...boards.io, port: "/dev/ttyACM1" } } };
    expect(otherParts("part", renamed)).toEqual([]);
    expect(otherParts("port", renamed)).toEqual(ON_IO);
  });
  test("one-wire folder renamed: no part is another, both thermometers get another port", () => {
    const renamed = { boards: { ...boards, bus: { ...boards.bus, folder: "/mnt/devices" } } };
    expect(otherParts("part", renamed)).toEqual([]);
    expect(otherParts("port", renamed)).toEqual(["thermometer-1", "thermometer-2"]);
  });
});

describe("the fingerprints", () => {
  test("same settings object: made once; a copy: made anew", () => {
    expect(printsOf(FILE)).toBe(printsOf(FILE));
    expect(printsOf({ ...FILE })).not.toBe(printsOf(FILE));
  });
  // Written out by hand: prints made of anything else would take back every proof with an update of the controller.
  const texts: [part: ProofPart, part: string, port: string][] = [
    [
      "high-float",
      '[{"board":"io","pin":2,"closedWhen":"off"},{"kind":"firmata","baud":57600,"firmware":"guard"},[]]',
      '"/dev/ttyACM0"',
    ],
    [
      "water-guard",
      '[{"board":"io","pin":8,"energisedLevel":"high"},{"kind":"firmata","baud":57600,"firmware":"guard"},[]]',
      '"/dev/ttyACM0"',
    ],
    ["protective-device", "[null,{},[]]", "null"],
    ["pump-off-level", "[null,{},[70,60,0.02]]", "null"],
  ];
  test.each(texts)("%s: hash of exactly this text", (part, text, port) => {
    expect(printsOf(FILE)[part]).toEqual({ part: fingerprint(text), port: fingerprint(port) });
  });
  test("part without a wire: hash of a part without boards", () => {
    expect(printsOf(rehearsalSettings())["water-guard"]).toEqual({
      part: fingerprint("[null,{},[]]"),
      port: fingerprint("null"),
    });
  });
});
