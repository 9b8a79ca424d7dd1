import { execFileSync } from "node:child_process";
import { fileURLToPath } from "node:url";
import {
  ammoniumPkaNbs,
  ammoniumPkaTotal,
  oxygenSaturationMgPerL,
  oxygenSaturationUmolPerKg,
  saturationPressure,
} from "../../shared/chemistry/index.ts";
import {
  absoluteSalinity,
  conductivityAt25,
  conductivityFromSalinity,
  densityEos80,
  densityTeos10,
  heatCapacity,
  practicalSalinity,
  rawConductivity,
  salinityFromAbsolute,
  salinityFromSpecificGravity,
  specificGravity,
} from "../../shared/seawater/index.ts";
import {
  type Celsius,
  celsius,
  decibars,
  type GramsPerKilogram,
  type MillisiemensPerCm,
  type PracticalSalinity,
  PT1000,
  percentPerKelvin,
  platinumResistance,
  platinumTemperature,
  type SpecificGravity,
} from "../../shared/units/index.ts";
import { missingTools } from "../system/rig/tools.ts";

/** One function of the water: nanoseconds per call, the reference library's, and the bytes it left on the heap. */
export type WaterFigure = {
  readonly name: string;
  readonly ns: number;
  readonly peerNs: number | null;
  readonly ratio: number | null;
  readonly bytesPerCall: number;
};

const COUNT = 1_000_000;
const ROUNDS = 5;
/** Passes over the values in a round: the processor time of a thread is told in ticks of up to 4 ms. */
const PASSES = 8;
const FEW = 10_000;

/** Functions whose ratio to the reference library must not exceed 1. */
export const MUST_NOT_BE_SLOWER = ["practicalSalinity", "densityTeos10", "densityEos80", "specificGravity"];

/** Times every scalar function of the water on a million values, beside the GSW library's C code called through numpy
 *  on as many in the same run, and prints a table. Where the library is missing its column stays empty. */
export function measureWater(): WaterFigure[] {
  const missing = missingTools(["gsw"]);
  const peers = missing.length === 0 ? peerFigures() : new Map<string, number>();
  const figures = Object.entries(calls()).map(([name, call]) => {
    const { ns, bytesPerCall } = time(name, call);
    const peerNs = peers.get(name) ?? null;
    return { name, ns, peerNs, ratio: peerNs === null ? null : ns / peerNs, bytesPerCall };
  });
  print(figures, missing);
  return figures;
}

/** The waters of a tank, 18 to 32 °C and SP 28 to 40, evenly scattered by the golden ratio. */
function calls(): Record<string, (index: number) => number | null> {
  const scattered = (low: number, high: number, turn: number) =>
    Float64Array.from({ length: COUNT }, (_, index) => low + (high - low) * ((index * turn) % 1));
  const t = scattered(18, 32, 0.6180339887498949) as unknown as Celsius[];
  const SP = scattered(28, 40, 0.7548776662466927) as unknown as PracticalSalinity[];
  const from = <Q extends number>(make: (index: number) => number | null) =>
    Float64Array.from({ length: COUNT }, (_, index) => make(index)!) as unknown as Q[];
  const C = from<MillisiemensPerCm>((i) => conductivityFromSalinity(SP[i]!, t[i]!));
  const brackish = from<MillisiemensPerCm>((i) =>
    conductivityFromSalinity(((SP[i]! - 27) / 7) as PracticalSalinity, t[i]!),
  );
  const SA = from<GramsPerKilogram>((i) => absoluteSalinity(SP[i]!));
  const waterC = celsius(25);
  const sg = from<SpecificGravity>((i) => specificGravity(SP[i]!, { sampleC: t[i]!, waterC }));
  const R = from<typeof PT1000>((i) => platinumResistance(t[i]!, PT1000));
  const tenMetres = decibars(10);
  const linear = { percentPerK: percentPerKelvin(2), referenceC: waterC };
  return {
    practicalSalinity: (i) => practicalSalinity(C[i]!, t[i]!),
    "practicalSalinity, SP below 2": (i) => practicalSalinity(brackish[i]!, t[i]!),
    "practicalSalinity, under pressure": (i) => practicalSalinity(C[i]!, t[i]!, tenMetres),
    conductivityFromSalinity: (i) => conductivityFromSalinity(SP[i]!, t[i]!),
    conductivityAt25: (i) => conductivityAt25(C[i]!, t[i]!),
    rawConductivity: (i) => rawConductivity(C[i]!, t[i]!, linear),
    absoluteSalinity: (i) => absoluteSalinity(SP[i]!),
    salinityFromAbsolute: (i) => salinityFromAbsolute(SA[i]!),
    densityTeos10: (i) => densityTeos10(SA[i]!, t[i]!),
    densityEos80: (i) => densityEos80(SP[i]!, t[i]!),
    heatCapacity: (i) => heatCapacity(SA[i]!, t[i]!),
    specificGravity: (i) => specificGravity(SP[i]!, { sampleC: t[i]!, waterC: t[i]! }),
    salinityFromSpecificGravity: (i) => salinityFromSpecificGravity(sg[i]!, { sampleC: t[i]!, waterC }),
    oxygenSaturationUmolPerKg: (i) => oxygenSaturationUmolPerKg(SP[i]!, t[i]!),
    oxygenSaturationMgPerL: (i) => oxygenSaturationMgPerL(SP[i]!, t[i]!),
    ammoniumPkaTotal: (i) => ammoniumPkaTotal(SP[i]!, t[i]!),
    ammoniumPkaNbs: (i) => ammoniumPkaNbs(SP[i]!, t[i]!),
    saturationPressure: (i) => saturationPressure(t[i]!),
    platinumTemperature: (i) => platinumTemperature(R[i]!, PT1000),
  };
}

/** Processor time of this thread, so that what else the machine does counts for neither side. */
function time(name: string, call: (index: number) => number | null): { ns: number; bytesPerCall: number } {
  const results = new Float64Array(COUNT);
  const loop = loopOfItsOwn(name);
  for (let warming = 0; warming < 3; warming++) loop(call, results, COUNT);
  let best = Number.POSITIVE_INFINITY;
  for (let round = 0; round < ROUNDS; round++) {
    const start = process.threadCpuUsage();
    for (let pass = 0; pass < PASSES; pass++) loop(call, results, COUNT);
    const { user, system } = process.threadCpuUsage(start);
    best = Math.min(best, user + system);
  }
  return { ns: (best / COUNT / PASSES) * 1e3, bytesPerCall: bytesLeft(() => loop(call, results, FEW)) / FEW };
}

type Loop = (call: (index: number) => number | null, results: Float64Array, count: number) => void;

/** A loop shared by all would see many callees and inline none of them; its source must differ to be compiled anew. */
const loopOfItsOwn = (name: string): Loop =>
  new Function(
    "call",
    "results",
    "count",
    `/* ${name} */ for (let i = 0; i < count; i++) results[i] = call(i);`,
  ) as Loop;

/** What the heap grew by, the least of a few tries: too few calls each for a collection to fall into most of them. */
function bytesLeft(work: () => void): number {
  let least = Number.POSITIVE_INFINITY;
  for (let attempt = 0; attempt < 9; attempt++) {
    const before = process.memoryUsage().heapUsed;
    work();
    const grown = process.memoryUsage().heapUsed - before;
    if (grown >= 0) least = Math.min(least, grown);
  }
  return least;
}

function peerFigures(): Map<string, number> {
  const script = fileURLToPath(new URL("water-peer.py", import.meta.url));
  const lines = execFileSync("/usr/bin/python3", [script, String(COUNT)], { encoding: "utf8" })
    .trim()
    .split("\n");
  return new Map(lines.map((line) => line.split("\t") as [string, string]).map(([name, ns]) => [name, Number(ns)]));
}

function print(figures: WaterFigure[], missing: string[]): void {
  const column = (value: number | null, digits: number) => (value === null ? "–" : value.toFixed(digits)).padStart(10);
  console.log(
    `\nWater, ns of processor time per call, best of ${ROUNDS} rounds of ${PASSES} × ${COUNT}; beside GSW-C through numpy`,
  );
  if (missing.length > 0) console.log(`(no reference library here: apt-get install ${missing.join(" ")})`);
  console.log(`${"".padEnd(36)}${["ours", "GSW", "ratio", "B/call"].map((head) => head.padStart(10)).join("")}`);
  for (const { name, ns, peerNs, ratio, bytesPerCall } of figures) {
    const wanted = MUST_NOT_BE_SLOWER.includes(name) ? "  ≤ 1 wanted" : "";
    console.log(
      `${name.padEnd(36)}${column(ns, 1)}${column(peerNs, 1)}${column(ratio, 2)}${column(bytesPerCall, 2)}${wanted}`,
    );
  }
}

if (import.meta.main) measureWater();
