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

/** Prints the table of `waterFigures`, from a process of its own: what a compiler has seen before changes what it makes. */
export function measureWater(): void {
  execFileSync(process.execPath, [...process.execArgv, fileURLToPath(import.meta.url)], { stdio: "inherit" });
}

/** Times every scalar function of the water on a million values, beside the GSW library's C code called through numpy
 *  on as many in the same run, and prints a table. Where the library is missing its column stays empty. */
export function waterFigures(): WaterFigure[] {
  const missing = missingTools(["gsw"]);
  const peers = missing.length === 0 ? peerFigures() : new Map<string, number>();
  const figures = Object.entries(cases()).map(([name, waters]) => {
    const { ns, bytesPerCall } = time(name, waters);
    const peerNs = peers.get(name) ?? null;
    return { name, ns, peerNs, ratio: peerNs === null ? null : ns / peerNs, bytesPerCall };
  });
  print(figures, missing);
  return figures;
}

type Law = (first: never, second: never) => number | null;
type Case = readonly [law: Law, first: Float64Array, second: Float64Array];

/** The waters of a tank, 18 to 32 °C and SP 28 to 40, evenly scattered by the golden ratio. */
function cases(): Record<string, Case> {
  const scattered = (low: number, high: number, turn: number) =>
    Float64Array.from({ length: COUNT }, (_, index) => low + (high - low) * ((index * turn) % 1));
  const t = scattered(18, 32, 0.6180339887498949);
  const SP = scattered(28, 40, 0.7548776662466927);
  const from = (law: (SP: PracticalSalinity, t: Celsius) => number | null, salinities = SP) =>
    salinities.map((S, index) => law(S as PracticalSalinity, t[index] as Celsius)!);
  const C = from(conductivityFromSalinity);
  const brackish = from(
    conductivityFromSalinity,
    SP.map((S) => (S - 27) / 7),
  );
  const SA = from(absoluteSalinity);
  const waterC = celsius(25);
  const sg = from((S, sampleC) => specificGravity(S, { sampleC, waterC }));
  const R = from((_, tC) => platinumResistance(tC, PT1000));
  const tenMetres = decibars(10);
  const linear = { percentPerK: percentPerKelvin(2), referenceC: waterC };
  return {
    practicalSalinity: [practicalSalinity, C, t],
    "practicalSalinity, SP below 2": [practicalSalinity, brackish, t],
    "practicalSalinity, under pressure": [
      (value: MillisiemensPerCm, tC: Celsius) => practicalSalinity(value, tC, tenMetres),
      C,
      t,
    ],
    conductivityFromSalinity: [conductivityFromSalinity, SP, t],
    conductivityAt25: [conductivityAt25, C, t],
    rawConductivity: [(value: MillisiemensPerCm, tC: Celsius) => rawConductivity(value, tC, linear), C, t],
    absoluteSalinity: [absoluteSalinity, SP, t],
    salinityFromAbsolute: [salinityFromAbsolute, SA, t],
    densityTeos10: [densityTeos10, SA, t],
    densityEos80: [densityEos80, SP, t],
    heatCapacity: [heatCapacity, SA, t],
    specificGravity: [(S: PracticalSalinity, tC: Celsius) => specificGravity(S, { sampleC: tC, waterC: tC }), SP, t],
    salinityFromSpecificGravity: [
      (reading: SpecificGravity, tC: Celsius) => salinityFromSpecificGravity(reading, { sampleC: tC, waterC }),
      sg,
      t,
    ],
    oxygenSaturationUmolPerKg: [oxygenSaturationUmolPerKg, SP, t],
    oxygenSaturationMgPerL: [oxygenSaturationMgPerL, SP, t],
    ammoniumPkaTotal: [ammoniumPkaTotal, SP, t],
    ammoniumPkaNbs: [ammoniumPkaNbs, SP, t],
    saturationPressure: [(_: number, tC: Celsius) => saturationPressure(tC), SP, t],
    platinumTemperature: [(value: typeof PT1000) => platinumTemperature(value, PT1000), R, t],
  };
}

/** Processor time of this thread, so that what else the machine does counts for neither side. */
function time(name: string, [law, first, second]: Case): { ns: number; bytesPerCall: number } {
  const results = new Float64Array(COUNT);
  const loop = loopOfItsOwn(name);
  for (let warming = 0; warming < 3; warming++) loop(law, first, second, results, COUNT);
  let best = Number.POSITIVE_INFINITY;
  for (let round = 0; round < ROUNDS; round++) {
    const start = process.threadCpuUsage();
    for (let pass = 0; pass < PASSES; pass++) loop(law, first, second, results, COUNT);
    const { user, system } = process.threadCpuUsage(start);
    best = Math.min(best, user + system);
  }
  return {
    ns: (best / COUNT / PASSES) * 1e3,
    bytesPerCall: bytesLeft(() => loop(law, first, second, results, FEW)) / FEW,
  };
}

type Loop = (law: Law, first: Float64Array, second: Float64Array, results: Float64Array, count: number) => void;

/** A loop shared by all would see many callees and inline none of them; its source must differ to be compiled anew. */
const loopOfItsOwn = (name: string): Loop =>
  new Function(
    "law",
    "first",
    "second",
    "results",
    "count",
    `/* ${name} */ for (let i = 0; i < count; i++) results[i] = law(first[i], second[i]);`,
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

if (import.meta.main) waterFigures();
