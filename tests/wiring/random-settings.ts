import fc from "fast-check";
import {
  CONTACT_PARTS,
  type ContactPart,
  OUTPUT_PARTS,
  type OutputPart,
  THERMOMETER_PARTS,
} from "../../shared/contract/index.ts";
import { BROKEN_WIRE_READS } from "../../shared/settings/broken-wire.ts";
import { GUARD_PINS } from "../../shared/settings/index.ts";

/**
 * Settings of any set-up: every subset of parts, wired in every way that the schema knows. Pins and devices are handed
 * out in turn, so that nearly all of them are valid; the test keeps those that are.
 */
export const randomSettings = (): fc.Arbitrary<Record<string, unknown>> =>
  fc
    .record({
      present: fc.uniqueArray(
        fc.constantFrom<string>(...CONTACT_PARTS, ...THERMOMETER_PARTS, ...PROBES, ...OUTPUT_PARTS),
      ),
      ways: fc.array(fc.nat(1000), { minLength: 16, maxLength: 16 }),
      firmware: fc.constantFrom("standard", "guard"),
      name: fc.string({ minLength: 1, maxLength: 60, unit: "grapheme" }),
      largeReservoir: fc.option(fc.string({ minLength: 10, maxLength: 300, unit: "binary" }), { nil: null }),
      litres: fc.record({ net: fc.integer({ min: 60, max: 2000 }), rim: fc.integer({ min: 4, max: 500 }) }),
      reservoirL: fc.constantFrom(1, 1, 1.5, 4, 10, 200),
    })
    .map(settingsFrom);

const PROBES = ["conductivity-probe", "source-probe"] as const;

interface Drawn {
  readonly present: readonly string[];
  readonly ways: readonly number[];
  readonly firmware: string;
  readonly name: string;
  readonly largeReservoir: string | null;
  readonly litres: { readonly net: number; readonly rim: number };
  readonly reservoirL: number;
}

function settingsFrom(drawn: Drawn): Record<string, unknown> {
  const needed = drawn.present.flatMap((part) => NEEDS[part] ?? []);
  const present = [...new Set([...drawn.present, ...needed])];
  const guarded = drawn.firmware === "guard";
  const pins = guarded ? guardPins() : freePins();
  const parts = present.map(
    (part, index) => [part, wiringOf(part, drawn.ways[index % 16] as number, guarded, pins)] as const,
  );
  const isOutput = ([part]: readonly [string, unknown]) => (OUTPUT_PARTS as readonly string[]).includes(part);
  const { largeReservoir } = drawn;
  return {
    tank: {
      name: drawn.name,
      netVolumeL: drawn.litres.net,
      lastChamberM2: 0.02,
      pumpOffLevelMm: 60,
      highFloatMm: 70,
      freeVolumePumpOffL: drawn.litres.rim,
      freeVolumeWeirBlockedL: drawn.litres.rim / 2,
    },
    targets: { temperatureC: 25, salinity: 35 },
    topOff: {
      provenFlowLPerMin: 1.5,
      sliceMl: 100,
      evaporationLPerDay: 1.5,
      dailyBudgetL: 0.5,
      reservoirL: drawn.reservoirL,
      largeReservoir:
        largeReservoir === null
          ? null
          : { because: largeReservoir, noSiphon: "air-gap", highFloatInSeries: true, displayGuard: "overflow" },
    },
    heat: {
      heaterW: 50,
      lossWPerK: 5,
      coldestRoomC: 20,
      roomC: 22,
      heaterPlace: "pinned-chamber",
      thermometerSharesHeaterChamber: true,
      secondHeater: present.includes("heater-2")
        ? { heaterW: 50, heaterPlace: "pinned-chamber", thermometerSharesHeaterChamber: true }
        : null,
    },
    boards: BOARDS(drawn.firmware),
    inputs: Object.fromEntries(parts.filter((part) => !isOutput(part))),
    outputs: Object.fromEntries(parts.filter(isOutput)),
    attendedMinutes: 60,
  };
}

/** Pins one after another: for what only closes and opens, for what is measured, and for the high float. */
interface Pins {
  plain(): number;
  analog(): number;
  high(): number;
}

/** Of a Mega: the high float's port is no other's. */
function freePins(): Pins {
  let plain = 1;
  let analog = 53;
  return { plain: () => (plain += 1), analog: () => (analog += 1), high: () => 44 };
}

/** Of the guard firmware: the high float on the analog side. */
function guardPins(): Pins {
  const plain = [2, 3, 4, 5, 6, 7];
  const analog = [17, 18, 19, 14, 15];
  return { plain: () => plain.shift() ?? analog.pop() ?? 2, analog: () => analog.shift() ?? 14, high: () => 16 };
}

const NEEDS: Readonly<Record<string, readonly string[]>> = {
  "top-off-pump": ["water-guard", "working-float", "high-float"],
  "heater-1": ["heat-guard", "thermometer-1"],
  "heater-2": ["heat-guard-2", "heater-1", "heat-guard", "thermometer-1"],
};

const BOARDS = (firmware: string) => ({
  io: { kind: "firmata", port: "/dev/ttyACM0", firmware },
  "second-board": { kind: "firmata", port: "/dev/ttyACM1", firmware },
  line: { kind: "modbus", port: "/dev/ttyUSB0", parity: "even" },
  bus: { kind: "one-wire" },
  writer: { kind: "text", port: "/dev/ttyUSB1", pattern: "^(?<ec>[0-9.]+),(?<a>[0-9.]+),(?<b>[0-9.]+),(?<c>[0-9.]+)$" },
});

function wiringOf(part: string, way: number, guarded: boolean, pins: Pins): object {
  const board = "io";
  const closedWhen = way % 3 === 0 ? "on" : "off";
  if ((OUTPUT_PARTS as readonly string[]).includes(part)) {
    const sensed = way % 5 < 2 ? { sensed: { board, pin: pins.plain(), closedWhen } } : {};
    const pin = guarded ? GUARD_PINS[part as OutputPart] : pins.plain();
    const isPulsed = guarded && part.includes("guard");
    return { board, pin, energisedLevel: !isPulsed && way % 7 < 2 ? "low" : "high", ...sensed };
  }
  if ((CONTACT_PARTS as readonly string[]).includes(part)) {
    const isWatched = way % 4 === 0 && part !== "high-float";
    const supervised = isWatched ? { supervised: { pullUpOhms: 10_000, closedOhms: 4700, openOhms: 14_700 } } : {};
    // Watched by resistors either contact will do; else only the one that a broken wire does not speak for.
    const right = BROKEN_WIRE_READS[part as ContactPart] === "on" ? "off" : "on";
    const pin = part === "high-float" ? pins.high() : isWatched ? pins.analog() : pins.plain();
    return { board, pin, closedWhen: isWatched ? closedWhen : right, ...supervised };
  }
  return (THERMOMETER_PARTS as readonly string[]).includes(part)
    ? thermometer(part, way, board, pins)
    : probe(part, way);
}

function thermometer(part: string, way: number, board: string, pins: Pins): object {
  const index = (THERMOMETER_PARTS as readonly string[]).indexOf(part);
  const group = ["a", "b", "c"][index] as string;
  const ways = [
    { board: "line", slave: 2 + index, temperatureC: { address: way, type: "int16", scale: 0.01 } },
    { board: "bus", device: `28-0316a2795ca${index}` },
    { board: "writer", text: { group, unit: "°F" } },
    { board, thermistor: { seriesOhms: 10_000, ohmsAt25C: 10_000, betaK: 3950 } },
  ];
  const chosen = ways[way % ways.length] as object;
  return "thermistor" in chosen ? { ...chosen, pin: pins.analog() } : chosen;
}

function probe(part: string, way: number): object {
  const compensation = way % 3 === 0 ? { percentPerK: 2, referenceC: 25 } : "none";
  const temperature = { group: "a", unit: "°C" };
  return way % 2 === 0
    ? {
        board: "line",
        slave: part === "source-probe" ? 9 : 1,
        conductivityMsPerCm: { address: 0, type: "float32" },
        temperatureC: { address: 2, type: "float32" },
        compensation,
      }
    : { board: "writer", text: { group: "ec", unit: "mS/cm", temperature }, compensation };
}
