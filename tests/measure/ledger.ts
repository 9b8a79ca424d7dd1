import { availableParallelism } from "node:os";
import { Worker } from "node:worker_threads";
import { FORTNIGHT_KINDS } from "./ledger-fortnights.ts";
import type { Judged, Share } from "./ledger-judge.ts";

/**
 * What the ledger believes, shows and foretells, judged over seeded fortnights on the simulated tank:
 * `node tests/measure/ledger.ts [fortnights] [first seed]`. Two hundred take about half an hour of one core.
 */

export const FORTNIGHTS = 200;

export interface LedgerFigures {
  readonly judged: readonly Judged[];
  readonly right: number;
  readonly salinity: number;
  readonly litres: number;
  readonly evaporation: number;
  readonly heatLoss: number;
  readonly reservoir: number;
  readonly salinityBand: number;
}

/** Prints the table. */
export async function measureLedger(
  fortnights = FORTNIGHTS,
  firstSeed = 0,
  onJudged: (each: Judged) => void = () => undefined,
): Promise<LedgerFigures> {
  const judged = await judgeMany(fortnights, firstSeed, onJudged);
  const rows = [...FORTNIGHT_KINDS, "all" as const].map((kind) => {
    const of = kind === "all" ? judged : judged.filter((each) => each.kind === kind);
    return {
      fortnights: kind,
      count: of.length,
      "right belief": percent(sum(of, (each) => each.right)),
      "where balance can tell": percent(sum(of, whereItCanTell)),
      "cannot tell, h": of.reduce((hours, each) => hours + each.cannotTell, 0),
      "hand tests each": (of.reduce((tests, each) => tests + each.handTests, 0) / Math.max(1, of.length)).toFixed(1),
      "± salinity": percent(sum(of, (each) => each.salinity)),
      "± litres/d": percent(sum(of, (each) => each.litres)),
      "± evaporation": percent(sum(of, (each) => each.evaporation)),
      "± heat loss": percent(sum(of, (each) => each.heatLoss)),
      "reservoir days": percent(sum(of, (each) => each.reservoir)),
      "salinity band": percent(sum(of, (each) => each.salinityBand)),
    };
  });
  console.table(rows);
  console.log("to reach: right belief ≥ 90 %, every ± ≥ 95 %, forecasts 95 % (as stated)");
  const share = (pick: (each: Judged) => Share) => ratio(sum(judged, pick));
  return {
    judged,
    right: share((each) => each.right),
    salinity: share((each) => each.salinity),
    litres: share((each) => each.litres),
    evaporation: share((each) => each.evaporation),
    heatLoss: share((each) => each.heatLoss),
    reservoir: share((each) => each.reservoir),
    salinityBand: share((each) => each.salinityBand),
  };
}

/** As many threads as there are cores; the result does not depend on who lived which. */
export async function judgeMany(
  fortnights: number,
  firstSeed: number,
  onJudged: (each: Judged) => void,
): Promise<readonly Judged[]> {
  const seeds = Array.from({ length: fortnights }, (_, index) => firstSeed + index);
  const judged: Judged[] = [];
  const live = () =>
    new Promise<void>((resolve, reject) => {
      const worker = new Worker(new URL("./ledger-worker.ts", import.meta.url));
      const next = () => {
        const seed = seeds.shift();
        if (seed === undefined) void worker.terminate().then(() => resolve());
        else worker.postMessage(seed);
      };
      worker.on("error", reject);
      worker.on("message", (each: Judged) => {
        judged.push(each);
        onJudged(each);
        next();
      });
      next();
    });
  await Promise.all(Array.from({ length: Math.min(fortnights, availableParallelism()) }, live));
  return judged.sort((a, b) => a.seed - b.seed);
}

/** Without the hours in which no water had come back to its mark for a day and the ledger said that it cannot tell. */
const whereItCanTell = ({ right: [held, of], cannotTell }: Judged): Share => [held - cannotTell, of - cannotTell];

const sum = (judged: readonly Judged[], pick: (each: Judged) => Share): Share =>
  judged.reduce<Share>(([times, of], each) => [times + pick(each)[0], of + pick(each)[1]], [0, 0]);
const ratio = ([times, of]: Share): number => (of === 0 ? 1 : times / of);
const percent = (share: Share): string =>
  share[1] === 0 ? "–" : `${(100 * ratio(share)).toFixed(1)} % of ${share[1]}`;

if (process.argv[1] === import.meta.filename) {
  const [fortnights = FORTNIGHTS, firstSeed = 0] = process.argv.slice(2).map(Number);
  // One line for each, so that a run that was cut short has said what it knew.
  await measureLedger(fortnights, firstSeed, (each) => console.error(JSON.stringify(each)));
}
