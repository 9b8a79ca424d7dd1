import { describe, expect, test } from "vitest";
import { provenBeforeHeat } from "../../controller/decisions/heat/observation.ts";
import { EVERY_MACHINE } from "../../controller/decisions/list.ts";
import { dueAfterMs, isFitted, overdueAfterMs } from "../../controller/decisions/proving/parts.ts";
import { begunWords, WHAT_TO_SHOW } from "../../controller/decisions/proving/words.ts";
import {
  type Gates,
  PROOF_PARTS,
  PROVING_RUNS,
  type ProofPart,
  type ProvingRun,
} from "../../shared/contract/proving.ts";
import { rehearsalSettings, type Settings } from "../../shared/settings/index.ts";

/** Which parts a box has, what each of them keeps off until it was seen to work, and how a person shows it. */
const FILE = rehearsalSettings();
const DAY_MS = 86_400_000;
const PINNED = { heaterW: 100, heaterPlace: "pinned-chamber", thermometerSharesHeaterChamber: true } as const;
const LOW = { ...PINNED, heaterPlace: "last-chamber" } as const;
const withHeat = (heat: Partial<Settings["heat"]>): Settings => ({ ...FILE, heat: { ...FILE.heat, ...heat } });
const two = withHeat({ secondHeater: PINNED });

describe("what a part that is not proven keeps off", () => {
  const SECOND: ProofPart[] = ["heat-guard-2", "heater-2"];
  const gateOf = (part: ProofPart, file: Settings): Gates =>
    EVERY_MACHINE.find(({ gates }) => gates?.of(file).includes(part) === true)?.gates?.name ?? null;
  const gated = (gate: Gates, settings: Settings) => PROOF_PARTS.filter((part) => gateOf(part, settings) === gate);
  test("top-off: both floats, level with the pump off, water guard, pump, siphon; with one heater or two", () => {
    const parts = ["high-float", "working-float", "pump-off-level", "water-guard", "top-off-pump", "siphon"];
    for (const settings of [FILE, two]) expect(gated("top-off", settings)).toEqual(parts);
  });
  test("heat: its guard and heater; second heat: its own, where there is one", () => {
    expect(gated("heat", FILE)).toEqual(["heat-guard", "heater-1"]);
    expect(gated("second-heat", FILE)).toEqual([]);
    expect(gated("heat", two)).toEqual(["heat-guard", "heater-1"]);
    expect(gated("second-heat", two)).toEqual(SECOND);
  });
  test("heater in the last chamber: its heat waits for the low float too", () => {
    const low = withHeat({ heaterPlace: "last-chamber" });
    expect(provenBeforeHeat(low, "heater-1")).toEqual(["heat-guard", "heater-1", "low-float"]);
    expect(gateOf("low-float", low)).toBe("heat");
    const secondLow = withHeat({ secondHeater: LOW });
    expect(provenBeforeHeat(secondLow, "heater-2")).toEqual(["heat-guard-2", "heater-2", "low-float"]);
    expect(gateOf("low-float", secondLow)).toBe("second-heat");
    expect(gateOf("low-float", FILE)).toBeNull();
  });
  test("no second heater: nothing gates it", () => {
    expect(provenBeforeHeat(FILE, "heater-2")).toEqual([]);
  });
  test("floor sensor, thermometer, thermostat, protective device: gate nothing", () => {
    for (const part of ["floor-sensor", "thermometer-1", "heater-thermostat", "protective-device"] as const) {
      expect(gateOf(part, two)).toBeNull();
    }
  });
});

test("high float and protective device: due after 35 days, overdue after 60; all others after 365 and 425", () => {
  const monthly = (after: typeof dueAfterMs, days: number) =>
    PROOF_PARTS.filter((part) => after(part) === days * DAY_MS);
  expect(monthly(dueAfterMs, 35)).toEqual(["high-float", "protective-device"]);
  expect(monthly(dueAfterMs, 365)).toHaveLength(PROOF_PARTS.length - 2);
  expect(monthly(overdueAfterMs, 60)).toEqual(["high-float", "protective-device"]);
  expect(monthly(overdueAfterMs, 365 + 60)).toHaveLength(PROOF_PARTS.length - 2);
});

describe("parts that are fitted", () => {
  const OF_SECOND: ProofPart[] = ["heat-guard-2", "heater-2", "heater-2-thermostat"];
  const fitted = (settings: Settings) => PROOF_PARTS.filter((part) => isFitted(part, settings));
  /** Boards, and on them nothing but what is named. */
  const boxWith = (inputs: readonly string[], outputs: readonly string[], heat: Partial<Settings["heat"]> = {}) => {
    const wired = (parts: readonly string[]) =>
      Object.fromEntries(parts.map((part) => [part, { board: "io", pin: 2 }]));
    const boards = { io: { kind: "firmata", port: "/dev/ttyACM0" } };
    return { ...withHeat(heat), boards, inputs: wired(inputs), outputs: wired(outputs) } as unknown as Settings;
  };
  test("no boards, as in a rehearsal: all parts, the second heater's only where it is named", () => {
    expect(fitted(FILE)).toEqual(PROOF_PARTS.filter((part) => !OF_SECOND.includes(part)));
    expect(fitted(two)).toEqual([...PROOF_PARTS]);
  });
  const rows: [story: string, inputs: string[], outputs: string[], parts: ProofPart[]][] = [
    ["a bare board: the residual-current device is in the wall", [], [], []],
    [
      "a high float, and with it the level that must stay below it",
      ["high-float"],
      [],
      ["high-float", "pump-off-level"],
    ],
    ["a working float", ["working-float"], [], ["working-float"]],
    ["a floor sensor", ["floor-sensor"], [], ["floor-sensor"]],
    ["a thermometer", ["thermometer-2"], [], ["thermometer-2"]],
    ["a pump, and with it its stop", [], ["top-off-pump"], ["top-off-pump", "siphon"]],
    ["a water guard", [], ["water-guard"], ["water-guard"]],
    ["a heat guard", [], ["heat-guard"], ["heat-guard"]],
    ["a heater, and with it its own thermostat", [], ["heater-1"], ["heater-1", "heater-thermostat"]],
  ];
  test.each(rows)("boards with %s", (_, inputs, outputs, parts) => {
    expect(fitted(boxWith(inputs, outputs))).toEqual([...parts, "protective-device"]);
  });
  test("boards with a second heater: its guard, heater and thermostat", () => {
    expect(fitted(boxWith([], [], { secondHeater: PINNED }))).toEqual([...OF_SECOND, "protective-device"]);
  });
});

describe("words for a person", () => {
  test.each(PROVING_RUNS)("what to show of %s: names its run", (part) => {
    expect(WHAT_TO_SHOW[part]).toMatch(new RegExp(`\\bprove ${part}(?![\\w-])`));
  });
  test("what to show of the protective device: press its test button, no run", () => {
    expect(WHAT_TO_SHOW["protective-device"]).toMatch(/^Press the test button .* everything on it must go dead\./);
  });
  const watched: Record<ProvingRun, RegExp> = {
    "pump-off-level": /Leave the return pump off\.$/,
    "water-guard": /^The pump's relay closes .* the water guard stays open: the pump must stand still\./,
    "top-off-pump": /^The pump runs .* Hold the tube over a jug\.$/,
    siphon: /^The pump runs .* the jug is watched for a minute\./,
    "thermometer-1": /Warm thermometer 1 in your hand\.$/,
    "thermometer-2": /Warm thermometer 2 in your hand\.$/,
    "heat-guard": /^The heater's relay closes .* the heat guard stays open: the heater must stay dark\.$/,
    "heater-1": /^The heater is on .* Look whether it comes on\.$/,
    "heater-thermostat": /^The heater is switched on .* its own thermostat, .* must keep it dark\.$/,
    "heat-guard-2": /^The second heater's relay closes .* its guard stays open: the second heater must stay dark\.$/,
    "heater-2": /^The second heater is on .* Look whether it comes on\.$/,
    "heater-2-thermostat": /^The second heater is switched on .* its own thermostat, .* must keep it dark\.$/,
  };
  test.each(PROVING_RUNS)("run of %s of 12 s: says how long and what to look at", (part) => {
    expect(begunWords(part, 12)).toMatch(watched[part]);
    expect(begunWords(part, 12)).toContain(" for 12 s");
  });
});
