import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { checkSettings } from "../../shared/settings/index.ts";

type Json = Record<string, unknown>;
const example = (): Json & {
  boards: Record<string, Json>;
  inputs: Record<string, Json>;
  outputs: Record<string, Json>;
} => JSON.parse(readFileSync(new URL("../../wiring-notes/settings-example.json", import.meta.url), "utf8"));
type Example = ReturnType<typeof example>;

const faultsOf = (change: (settings: Example) => void) => {
  const settings = example();
  change(settings);
  return checkSettings(settings).faults.map(({ path, expected }) => `${path}: ${expected}`);
};
const text = (more: Json = {}): Json => ({
  kind: "text",
  port: "/dev/ttyUSB1",
  pattern: "^(?<ec>[0-9.]+),(?<t>[0-9.]+)$",
  ...more,
});
const textProbe = (more: Json = {}, compensation: unknown = "none"): Json => ({
  board: "ec",
  text: { group: "ec", unit: "mS/cm", ...more },
  compensation,
});

describe("wiring accepted", () => {
  it("example of the wiring notes: no fault", () => expect(faultsOf(() => undefined)).toEqual([]));

  it("one-wire, thermistor, text, sensed output, supervised float: no fault", () => {
    const faults = faultsOf((settings) => {
      const pattern = "^(?<ec>[0-9.]+),(?<t>[0-9.]+),(?<pure>[0-9.]+)$";
      Object.assign(settings.boards, { bus: { kind: "one-wire" }, ec: text({ pattern }) });
      settings.inputs["thermometer-1"] = { board: "bus", device: "28-0316a2795caa" };
      settings.inputs["thermometer-2"] = {
        board: "io",
        pin: 14,
        thermistor: { seriesOhms: 10_000, ohmsAt25C: 10_000, betaK: 3950 },
      };
      settings.inputs["room-thermometer"] = { board: "ec", text: { group: "t", unit: "°F" } };
      settings.inputs["conductivity-probe"] = textProbe({ temperature: { group: "t", unit: "°C" } });
      settings.inputs["source-probe"] = textProbe({ group: "pure" });
      settings.inputs["high-float"] = {
        board: "io",
        pin: 15,
        closedWhen: "off",
        supervised: { pullUpOhms: 10_000, closedOhms: 4700, openOhms: 14_700 },
      };
      Object.assign(settings.outputs["top-off-pump"] as Json, { sensed: { board: "io", pin: 6, closedWhen: "on" } });
    });
    expect(faults).toEqual([]);
  });
});

describe("wiring refused", () => {
  const rows: [what: string, change: (settings: Example) => void, fault: RegExp][] = [
    [
      "standard firmware and nobody beside it",
      (settings) => Reflect.deleteProperty(settings, "attendedMinutes"),
      /^independentGuard: what opens pump and heater when this computer dies.*boards\.io\.firmware.*attendedMinutes/,
    ],
    [
      "slices that the guard firmware would lock the pump for",
      ({ boards }) => Object.assign(boards.io as Json, { firmware: "guard" }),
      /^topOff\.sliceMl: at most \d+ mL, or a longer topOff\.settleS/,
    ],
    [
      "two boards on one port",
      ({ boards }) => Object.assign(boards, { other: { kind: "modbus", port: "/dev/ttyUSB0" } }),
      /^boards\.other\.port: a port of its own: boards\.line has it$/,
    ],
    [
      "one pin for two parts",
      ({ outputs }) =>
        Object.assign(outputs["heater-1"] as Json, { sensed: { board: "io", pin: 2, closedWhen: "on" } }),
      /^outputs\.heater-1\.sensed\.pin: a pin of its own: inputs\.working-float has it$/,
    ],
    [
      "a part on a board of another kind",
      ({ inputs }) => Object.assign(inputs, { "thermometer-1": { board: "io", device: "28-0316a2795caa" } }),
      /^inputs\.thermometer-1\.board: the name of a one-wire board/,
    ],
    [
      "one probe as two thermometers",
      ({ inputs }) => Object.assign(inputs, { "thermometer-2": inputs["thermometer-1"] }),
      /^inputs\.thermometer-2: another probe than thermometer-1/,
    ],
    [
      "a compensation that cannot be undone",
      ({ inputs }) =>
        Object.assign(inputs["conductivity-probe"] as Json, {
          temperatureC: null,
          compensation: { percentPerK: 2, referenceC: 25 },
        }),
      /^inputs\.conductivity-probe\.temperatureC: the temperature that the instrument compensates with/,
    ],
    [
      "the same of an instrument that writes",
      ({ boards, inputs }) => {
        boards.ec = text();
        inputs["conductivity-probe"] = textProbe({}, { percentPerK: 2, referenceC: 25 });
      },
      /^inputs\.conductivity-probe\.text\.temperature: the temperature/,
    ],
    [
      "dissolved solids without their factor",
      ({ boards, inputs }) => {
        boards.ec = text();
        inputs["source-probe"] = textProbe(
          { unit: "mg/L TDS", temperature: { group: "t", unit: "°C" } },
          { percentPerK: 2, referenceC: 25 },
        );
      },
      /^inputs\.source-probe\.text\.tdsFactor: the factor/,
    ],
    [
      "one cell in the tank and in the source water",
      ({ inputs }) => {
        inputs["source-probe"] = inputs["conductivity-probe"] as Json;
      },
      /^inputs\.source-probe: another cell than conductivity-probe/,
    ],
    [
      "a group that the pattern lacks",
      ({ boards, inputs }) => {
        boards.ec = text();
        inputs["source-probe"] = textProbe({ group: "cond" });
      },
      /^inputs\.source-probe\.text\.group: the name of a group in boards\.ec\.pattern$/,
    ],
    [
      "a pattern without groups",
      ({ boards }) => Object.assign(boards, { ec: text({ pattern: "^([0-9.]+)$" }) }),
      /^boards\.ec\.pattern: a regular expression with a named group/,
    ],
    [
      "a pattern that is none",
      ({ boards }) => Object.assign(boards, { ec: text({ pattern: "(?<ec>" }) }),
      /^boards\.ec\.pattern: a regular expression/,
    ],
    [
      "resistors that cannot be told apart",
      ({ inputs }) =>
        Object.assign(inputs["high-float"] as Json, {
          supervised: { pullUpOhms: 10_000, closedOhms: 4700, openOhms: 5200 },
        }),
      /^inputs\.high-float\.supervised: short, closed, open and broken at least 8 %/,
    ],
    [
      "a typing error in one of several ways to wire a part",
      ({ inputs }) =>
        Object.assign(inputs, {
          "thermometer-1": { board: "line", slave: 2, temperatureC: { type: "int16", adress: 0 } },
        }),
      /^inputs\.thermometer-1\.temperatureC\.adress: no such key/,
    ],
  ];
  it.each(rows)("%s: fault $2", (_, change, fault) => {
    const faults = faultsOf(change);
    expect(
      faults.some((line) => fault.test(line)),
      faults.join("\n"),
    ).toBe(true);
  });
});
