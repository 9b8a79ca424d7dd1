import { readFileSync, writeFileSync } from "node:fs";
import { availableParallelism } from "node:os";
import { isMainThread, parentPort, Worker, workerData } from "node:worker_threads";
import { MACHINES } from "./machines.ts";
import { FIGURES_FILE, type Figures, PROOF_FILE, proofPage } from "./proof-page.ts";
import { type Explored, explore } from "./search.ts";

const WIDTHS = [82, 9, 12, 6, 11, 8];

/**
 * `npm run explore`: every machine to its fixed point, two at a time. Prints states, transitions, depth and seconds;
 * a broken rule prints the shortest walk that leads to it. `--only a,b` explores some of them.
 */

function explored(key: string): Explored {
  const make = MACHINES[key];
  if (make === undefined) throw new Error(`no machine "${key}"; there are ${Object.keys(MACHINES).join(", ")}`);
  return explore(make());
}

async function main(): Promise<void> {
  const only = process.argv[2] === "--only" ? (process.argv[3] ?? "").split(",") : null;
  const keys = only ?? Object.keys(MACHINES);
  const results = new Map<string, Explored>();
  const waiting = [...keys];
  const began = process.hrtime.bigint();
  print(["machine", "states", "transitions", "depth", "walk steps", "seconds"]);
  const next = async (): Promise<void> => {
    for (let key = waiting.shift(); key !== undefined; key = waiting.shift()) {
      const result = await inWorker(key);
      results.set(key, result);
      const { name, states, transitions, depth, walks, seconds } = result;
      print([
        name,
        ...[states, transitions, depth, walks].map((figure) => figure.toLocaleString("en")),
        String(seconds),
      ]);
    }
  };
  await Promise.all(Array.from({ length: Math.min(2, availableParallelism(), keys.length) }, next));
  const all = keys.map((key) => results.get(key) as Explored);
  const sum = (of: (one: Explored) => number) => all.reduce((total, one) => total + of(one), 0).toLocaleString("en");
  const seconds = Number((process.hrtime.bigint() - began) / 100_000_000n) / 10;
  print(["all", sum((one) => one.states), sum((one) => one.transitions), "", sum((one) => one.walks), String(seconds)]);
  for (const { broken } of all) if (broken !== null) process.stdout.write(`\n${broken}\n`);
  if (all.some(({ broken }) => broken !== null)) process.exitCode = 1;
  else if (only === null) compareFigures(figuresOf(keys, all));
}

function inWorker(key: string): Promise<Explored> {
  return new Promise((resolve, reject) => {
    const worker = new Worker(new URL(import.meta.url), { workerData: key });
    worker.once("message", resolve);
    worker.once("error", reject);
  });
}

function print(columns: readonly string[]): void {
  const line = columns.map((column, place) => {
    const width = WIDTHS[place] as number;
    return place === 0 ? column.slice(0, width).padEnd(width) : column.padStart(width);
  });
  process.stdout.write(`${line.join(" ")}\n`);
}

const figuresOf = (keys: readonly string[], all: readonly Explored[]): Figures["machines"] =>
  Object.fromEntries(
    keys.map((key, place) => {
      const { name, about, states, transitions, depth, walks } = all[place] as Explored;
      return [key, { name, about, states, transitions, depth, walks }];
    }),
  );

/** The page that says what is proved gives the figures of this run, or it is made anew. */
function compareFigures(machines: Figures["machines"]): void {
  const figures = JSON.parse(readFileSync(FIGURES_FILE, "utf8")) as Figures;
  if (JSON.stringify(figures.machines) === JSON.stringify(machines)) return;
  if (process.env.UPDATE_PAGES === undefined) {
    process.stdout.write("\ntests/PROOF.md gives other figures: UPDATE_PAGES=1 npm run explore\n");
    process.exitCode = 1;
    return;
  }
  const renewed = { ...figures, machines };
  writeFileSync(FIGURES_FILE, `${JSON.stringify(renewed, null, 2)}\n`);
  writeFileSync(PROOF_FILE, proofPage(renewed));
}

if (isMainThread) await main();
else parentPort?.postMessage(explored(workerData as string));
