import { readdirSync, readFileSync } from "node:fs";
import { join, resolve } from "node:path";
import { describe, expect, it } from "vitest";
import { EXAMPLE_SCENARIO } from "../../controller/cli/rehearse-example.ts";
import { checkScenario, scenarioJsonSchema } from "../../controller/rehearsal/index.ts";
import { SETTINGS } from "./still-tank.ts";

const base = { name: "a scenario", hours: 1 };
const stuck = (value: string, atH: number, untilH?: number) => ({
  kind: "float-stuck",
  part: "high-float",
  value,
  atH,
  ...(untilH === undefined ? {} : { untilH }),
});
/** A settings file must wire the low float of a heater whose level falls. */
const LAST_CHAMBER = {
  boards: { io: { kind: "firmata", port: "/dev/ttyACM0" } },
  inputs: { "low-float": { board: "io", pin: 6, closedWhen: "on" } },
  heat: { heaterPlace: "last-chamber" },
};
const pathsOf = (raw: unknown): string[] => checkScenario(raw, SETTINGS).errors.map((error) => error.path);

describe("a scenario", () => {
  it("name and hours only: taken, default room, no faults or hands; neither: refused for both", () => {
    const { scenario } = checkScenario(base, SETTINGS);
    expect(scenario?.room).toEqual({ temperatureC: 22, swingC: 2, humidityPct: 50 });
    expect(scenario?.faults).toEqual([]);
    expect(scenario?.hands).toEqual([]);
    expect(pathsOf({})).toEqual(expect.arrayContaining(["name", "hours"]));
  });

  const refused: [what: string, raw: unknown, path: string][] = [
    ["an unknown key", { ...base, hour: 3 }, "hour"],
    ["an unknown key inside a fault", { ...base, faults: [{ kind: "siphon", litres: 3 }] }, "faults.0.litres"],
    ["an unknown key inside a hand", { ...base, hands: [{ do: "hold", minuts: 3 }] }, "hands.0.minuts"],
    ["an unknown kind of fault", { ...base, faults: [{ kind: "earthquake" }] }, "faults.0.kind"],
    ["an unknown hand", { ...base, hands: [{ do: "wait" }] }, "hands.0.do"],
    ["a part that is left out where several fit", { ...base, faults: [{ kind: "relay-welded" }] }, "faults.0.part"],
    ["a part that is not right", { ...base, faults: [{ kind: "float-short", part: "heater-1" }] }, "faults.0.part"],
    [
      "a part that this tank has not",
      { ...base, faults: [{ kind: "heater-dead", part: "heater-2" }] },
      "faults.0.part",
    ],
    ["a part for a fault that has none", { ...base, faults: [{ kind: "tank-leak", part: "board" }] }, "faults.0.part"],
    [
      "a value left out that is required",
      { ...base, faults: [{ kind: "float-stuck", part: "high-float" }] },
      "faults.0.value",
    ],
    ["a value out of range", { ...base, faults: [{ kind: "weir-clogged", value: 2 }] }, "faults.0.value"],
    ["a value of the wrong sort", { ...base, faults: [{ kind: "siphon", value: "fast" }] }, "faults.0.value"],
    ["a value where none belongs", { ...base, faults: [{ kind: "tube-off", value: 1 }] }, "faults.0.value"],
    ["an end before its beginning", { ...base, faults: [{ kind: "tube-off", atH: 2, untilH: 1 }] }, "faults.0.untilH"],
    ["an end of what has none", { ...base, faults: [{ kind: "memory-lost", untilH: 1 }] }, "faults.0.untilH"],
    ["a time before the beginning", { ...base, hands: [{ do: "hold", atH: -1 }] }, "hands.0.atH"],
    ["hours that never end", { ...base, hours: 1e9 }, "hours"],
    ["no hours", { ...base, hours: 0 }, "hours"],
    ["a number that is none", { ...base, room: { temperatureC: "warm" } }, "room.temperatureC"],
    ["a wrong setting", { ...base, settings: { topOff: { sliceMl: 9000 } } }, "settings.topOff.sliceMl"],
    ["an unknown setting", { ...base, settings: { tanks: {} } }, "settings.tanks"],
    [
      "settings that contradict each other",
      { ...base, settings: { tank: { highFloatMm: 50 } } },
      "settings.tank.highFloatMm",
    ],
    ["more in the reservoir than it holds", { ...base, start: { reservoirL: 11 } }, "start.reservoirL"],
    [
      "a water change larger than half the tank",
      { ...base, hands: [{ do: "water-change", litres: 90 }] },
      "hands.0.litres",
    ],
    ["a fault that begins after the end", { ...base, faults: [{ kind: "tube-off", atH: 1.5 }] }, "faults.0.atH"],
    ["a hand after the end", { ...base, hands: [{ do: "clear", atH: 2 }] }, "hands.0.atH"],
    [
      "a float that is stuck dry and wet at once",
      { ...base, faults: [stuck("dry", 0.5), stuck("wet", 0.5)] },
      "faults.1",
    ],
    [
      "a float that is mended by one fault while another still holds it",
      { ...base, faults: [stuck("dry", 0, 0.6), stuck("dry", 0.5)] },
      "faults.1",
    ],
    [
      "a float stuck in a cable that is shorted",
      { ...base, faults: [{ kind: "shared-cable-short" }, stuck("wet", 0)] },
      "faults.1",
    ],
    [
      "a contact welded and dead at once",
      {
        ...base,
        faults: [
          { kind: "relay-dead", part: "heat-guard" },
          { kind: "guard-and-relay-welded", part: "heater-1" },
        ],
      },
      "faults.1",
    ],
    [
      "a probe that is open and out of the water",
      {
        ...base,
        faults: [
          { kind: "thermometer-bus-short", untilH: 0.5 },
          { kind: "probe-out-of-water", part: "thermometer-2", atH: 0.4 },
        ],
      },
      "faults.1",
    ],
    [
      "a room of two temperatures",
      { ...base, faults: [{ kind: "room-temperature" }, { kind: "room-temperature", value: 10 }] },
      "faults.1",
    ],
    ["a part left out that is no part", { ...base, settings: { without: ["tail-float"] } }, "settings.without.0"],
    ["a part left out that every box has", { ...base, settings: { without: ["high-float"] } }, "settings.without.0"],
    [
      "neither thermometer 1 nor the conductivity probe",
      { ...base, settings: { without: ["conductivity-probe", "thermometer-1"] } },
      "settings.without.0",
    ],
    [
      "no return sensor where no thermometer shares the heater's chamber",
      { ...base, settings: { without: ["return-sensor"], heat: { thermometerSharesHeaterChamber: false } } },
      "settings.without.0",
    ],
    [
      "no low float where the heater hangs in the last chamber",
      { ...base, settings: { ...LAST_CHAMBER, without: ["low-float"] } },
      "settings.without.0",
    ],
    [
      "a fault of a part that is left out",
      {
        ...base,
        settings: { without: ["low-float"] },
        faults: [{ kind: "float-stuck", part: "low-float", value: "dry" }],
      },
      "faults.0.part",
    ],
    [
      "a hand at a part that is left out",
      {
        ...base,
        settings: { without: ["low-float"] },
        hands: [{ do: "lift-float", part: "low-float" }],
      },
      "hands.0.part",
    ],
    ["a fault of a fan that this tank has not", { ...base, faults: [{ kind: "fan-dead" }] }, "faults.0.kind"],
    ["a hand that ends without being repeated", { ...base, hands: [{ do: "refill", untilH: 1 }] }, "hands.0.untilH"],
    [
      "a hand that ends before it begins",
      { ...base, hands: [{ do: "refill", atH: 0.5, everyH: 0.1, untilH: 0.4 }] },
      "hands.0.untilH",
    ],
    [
      "a hand that is done more often than anybody could",
      { ...base, hours: 2000, hands: [{ do: "refill", everyH: 0.01 }] },
      "hands.0.everyH",
    ],
    ["an absence that ends before it begins", { ...base, hands: [{ do: "absence", atH: 1, toH: 0.5 }] }, "hands.0.toH"],
    ["a wrong measurement of nothing", { ...base, hands: [{ do: "salinity-measured-wrong" }] }, "hands.0.salinity"],
    ["a float lifted that is none", { ...base, hands: [{ do: "lift-float", part: "floor-sensor" }] }, "hands.0.part"],
    ["something that is no scenario", [], ""],
    ["nothing", null, ""],
  ];

  it.each(refused)("%s: refused at $2, in no words of a library", (_, raw, path) => {
    expect(pathsOf(raw)).toContain(path);
    for (const { expected } of checkScenario(raw, SETTINGS).errors) {
      expect(expected).not.toMatch(/invalid|received|too (big|small)|>=|<=|undefined|must be/i);
    }
  });

  it("swing of 99, hold of 900 min, hand wait: each with its range or its choices", () => {
    const raw = { ...base, room: { swingC: 99 }, hands: [{ do: "hold", minutes: 900 }, { do: "wait" }] };
    expect(checkScenario(raw, SETTINGS).errors.map(({ path, expected }) => [path, expected])).toEqual([
      ["room.swingC", "a number from 0 to 15"],
      ["hands.0.minutes", "at most 240"],
      ["hands.1.do", expect.stringMatching(/^one of "hold", /)],
    ]);
  });

  it("the scenario that --example prints: taken", () => {
    expect(pathsOf(EXAMPLE_SCENARIO)).toEqual([]);
  });

  it("faults of one thing in turn, of two things at once: taken", () => {
    const faults = [
      stuck("dry", 0, 0.5),
      stuck("wet", 0.5),
      { kind: "float-open-circuit", part: "high-float", atH: 0.7 },
      { kind: "relay-welded", part: "top-off-pump" },
      { kind: "guard-and-relay-welded", part: "top-off-pump" },
      { kind: "probe-offset", part: "thermometer-1", value: 1 },
      { kind: "probe-out-of-water", part: "thermometer-1" },
      { kind: "controller-killed", atH: 0.1 },
      { kind: "controller-killed", atH: 0.2, value: 60 },
    ];
    expect(pathsOf({ ...base, faults })).toEqual([]);
  });

  it("stuck dry until 0.6 h and wet from 0.5: refused, says by which fault and until when", () => {
    const [error] = checkScenario({ ...base, faults: [stuck("dry", 0.2, 0.6), stuck("wet", 0.5)] }, SETTINGS).errors;
    expect(error?.expected).toBe(
      "no other fault of the high-float while it is stuck dry by faults.0, from 0.2 h to 0.6 h",
    );
    expect(error?.value).toMatchObject({ kind: "float-stuck", value: "wet" });
  });

  it("part named where it fits, or left out where only one does: taken", () => {
    const faults = [
      { kind: "pump-worn" },
      { kind: "pump-worn", part: "top-off-pump" },
      { kind: "heater-dead" },
      { kind: "shared-cable-short", part: "high-float" },
      { kind: "thermometer-bus-short" },
      { kind: "mains-lost", part: "mains-sensor" },
      { kind: "board-silent", part: "board" },
      { kind: "return-pump-stopped", part: "return-pump" },
    ];
    expect(pathsOf({ ...base, faults })).toEqual([]);
  });

  it("its JSON schema: seven keys and no other", () => {
    const schema = scenarioJsonSchema() as { properties: Record<string, unknown>; additionalProperties: boolean };
    expect(Object.keys(schema.properties)).toEqual(["name", "hours", "settings", "room", "start", "faults", "hands"]);
    expect(schema.additionalProperties).toBe(false);
  });
});

describe.each(["scenarios", "healthy/scenarios"])("scenario files of the house, %s", (folder) => {
  const place = resolve(import.meta.dirname, "../../controller/rehearsal", folder);

  it.each(readdirSync(place))("%s: taken without an error", (file) => {
    expect(pathsOf(JSON.parse(readFileSync(join(place, file), "utf8")))).toEqual([]);
  });
});
