import fc from "fast-check";
import { CONTACT_PARTS, type ContactPart, OUTPUT_PARTS, THERMOMETER_PARTS } from "../../shared/contract/index.ts";
import { BROKEN_WIRE_READS } from "../../shared/settings/broken-wire.ts";

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
      accepted: fc.option(fc.string({ minLength: 10, maxLength: 300, unit: "binary" }), { nil: null }),
      litres: fc.record({ net: fc.integer({ min: 20, max: 2000 }), rim: fc.integer({ min: 0, max: 500 }) }),
      reservoirL: fc.integer({ min: 1, max: 200 }),
    })
    .map(settingsFrom);

const PROBES = ["conductivity-probe", "source-probe"] as const;

interface Drawn {
  readonly present: readonly string[];
  readonly ways: readonly number[];
  readonly firmware: string;
  readonly name: string;
  readonly accepted: string | null;
  readonly litres: { readonly net: number; readonly rim: number };
  readonly reservoirL: number;
}

function settingsFrom(drawn: Drawn): Record<string, unknown> {
  const needed = drawn.present.flatMap((part) => NEEDS[part] ?? []);
  const present = [...new Set([...drawn.present, ...needed])];
  let pin = 1;
  const wired = (part: string, index: number) => wiringOf(part, drawn.ways[index % 16] as number, () => (pin += 1));
  const parts = present.map((part, index) => [part, wired(part, index)] as const);
  const isOutput = ([part]: readonly [string, unknown]) => (OUTPUT_PARTS as readonly string[]).includes(part);
  // The high float never hangs on the working float's port: above every pin that was given.
  const inputs = Object.fromEntries(parts.filter((part) => !isOutput(part)));
  const high = inputs["high-float"];
  if (high !== undefined) inputs["high-float"] = { ...high, pin: pin + 8 };
  return {
    tank: {
      name: drawn.name,
      netVolumeL: drawn.litres.net,
      freeVolumePumpOffL: drawn.litres.rim,
      freeVolumeWeirBlockedL: drawn.litres.rim / 2,
    },
    targets: { temperatureC: 25, salinity: 35 },
    topOff: {
      provenFlowLPerMin: 1.5,
      sliceMl: 100,
      evaporationLPerDay: 1.5,
      reservoirL: drawn.reservoirL,
      largeReservoirAccepted: drawn.accepted,
    },
    heat: { heaterW: 200, heaterPlace: "pinned-chamber", thermometerSharesHeaterChamber: true },
    boards: BOARDS(drawn.firmware),
    inputs,
    outputs: Object.fromEntries(parts.filter(isOutput)),
    attendedMinutes: 60,
  };
}

const NEEDS: Readonly<Record<string, readonly string[]>> = {
  "top-off-pump": ["water-guard", "working-float", "high-float"],
  "heater-1": ["heat-guard", "thermometer-1"],
};

const BOARDS = (firmware: string) => ({
  io: { kind: "firmata", port: "/dev/ttyACM0", firmware },
  "second-board": { kind: "firmata", port: "/dev/ttyACM1", firmware },
  line: { kind: "modbus", port: "/dev/ttyUSB0", parity: "even" },
  bus: { kind: "one-wire" },
  writer: { kind: "text", port: "/dev/ttyUSB1", pattern: "^(?<ec>[0-9.]+),(?<a>[0-9.]+),(?<b>[0-9.]+),(?<c>[0-9.]+)$" },
});

function wiringOf(part: string, way: number, nextPin: () => number): object {
  const board = way % 2 === 0 ? "io" : "second-board";
  const closedWhen = way % 3 === 0 ? "on" : "off";
  if ((OUTPUT_PARTS as readonly string[]).includes(part)) {
    const sensed = way % 5 < 2 ? { sensed: { board, pin: nextPin(), closedWhen } } : {};
    return { board, pin: nextPin(), energisedLevel: way % 7 < 2 ? "low" : "high", ...sensed };
  }
  if ((CONTACT_PARTS as readonly string[]).includes(part)) {
    const supervised = way % 4 === 0 ? { supervised: { pullUpOhms: 10_000, closedOhms: 4700, openOhms: 14_700 } } : {};
    // Watched by resistors either contact will do; else only the one that a broken wire does not speak for.
    const right = BROKEN_WIRE_READS[part as ContactPart] === "on" ? "off" : "on";
    return { board, pin: nextPin(), closedWhen: way % 4 === 0 ? closedWhen : right, ...supervised };
  }
  return (THERMOMETER_PARTS as readonly string[]).includes(part)
    ? thermometer(part, way, board, nextPin)
    : probe(part, way);
}

function thermometer(part: string, way: number, board: string, nextPin: () => number): object {
  const index = (THERMOMETER_PARTS as readonly string[]).indexOf(part);
  const group = ["a", "b", "c"][index] as string;
  const ways = [
    { board: "line", slave: 2 + index, temperatureC: { address: way, type: "int16", scale: 0.01 } },
    { board: "bus", device: `28-0316a2795ca${index}` },
    { board, pin: nextPin(), thermistor: { seriesOhms: 10_000, ohmsAt25C: 10_000, betaK: 3950 } },
    { board: "writer", text: { group, unit: "°F" } },
  ];
  return ways[way % ways.length] as object;
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
