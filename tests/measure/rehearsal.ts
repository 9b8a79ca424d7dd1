import { setFlagsFromString } from "node:v8";
import { runInNewContext } from "node:vm";
import {
  checkScenario,
  type Report,
  rehearse,
  type ScanPace,
  type Scenario,
} from "../../controller/rehearsal/index.ts";
import { rehearsalSettings } from "../../shared/settings/index.ts";

export interface RehearsalFigures {
  /** A simulated day with four scans a second, after a warm-up. */
  readonly day: Timed;
  readonly yearDays: number;
  readonly year: Timed;
  /** Heap in use after a collection, at every twelfth of the year: a simulated month, when the year is whole. */
  readonly heapMb: readonly number[];
}

export interface Timed {
  /** Of this thread: on a busy machine the clock counts others' work too. */
  readonly processorS: number;
  readonly clockS: number;
  readonly report: Report;
}

const DAY_H = 24;
const TWELFTHS = 12;

/** Prints and returns how long a day and a year take on the simulated tank, and what the heap does meanwhile:
 *  `node tests/measure/rehearsal.ts [days of the year]`. */
export function measureRehearsal(yearDays = 365): RehearsalFigures {
  timed(scenarioOf("warm-up", 6, []), "even");
  const day = timed(scenarioOf("a day", DAY_H, []), "even");
  const { year, heapMb } = timedYear(yearDays);
  const aYear = (seconds: number) => ((seconds * 365) / yearDays).toFixed(0);
  console.table([
    {
      figure: `a simulated day at 4 Hz, ${day.report.scans} scans`,
      measured: `${day.processorS.toFixed(2)} s of processor, ${day.clockS.toFixed(2)} s by the clock`,
      "to reach": "≤ 2 s",
    },
    {
      figure: `${yearDays} simulated days, adaptive, ${year.report.scans} scans`,
      measured: `${year.processorS.toFixed(0)} s of processor, ${year.clockS.toFixed(0)} s by the clock`,
      "to reach": "",
    },
    {
      figure: "a year at that pace",
      measured: `${aYear(year.processorS)} s of processor, ${aYear(year.clockS)} s by the clock`,
      "to reach": "≤ 300 s",
    },
    {
      figure: `heap in use after each twelfth of the ${yearDays} days`,
      measured: `${heapMb.map((mb) => mb.toFixed(1)).join(" ")} MB`,
      "to reach": "flat",
    },
    {
      figure: "alarms, lockouts, violations in that time",
      measured: [year.report.alarms, year.report.lockouts, year.report.violations]
        .map((rows) => rows.length)
        .join(", "),
      "to reach": "–, –, 0",
    },
  ]);
  return { day, yearDays, year, heapMb };
}

/** Top-off locks when litres beyond evaporation were not bounded by a hand test for four days. */
const TEST_EVERY_DAYS = 2;
const REFILL_EVERY_DAYS = 4;
const CHANGE_EVERY_DAYS = 12;

/** A keeper who fills the reservoir, measures by hand, and changes a tenth of the water now and then. */
function keeper(days: number): object[] {
  const hands: object[] = [];
  for (let day = TEST_EVERY_DAYS; day < days; day += TEST_EVERY_DAYS) {
    if (day % REFILL_EVERY_DAYS === 0) hands.push({ do: "refill", atH: day * DAY_H + 18 });
    if (day % CHANGE_EVERY_DAYS === 0) hands.push({ do: "water-change", atH: day * DAY_H + 19, litres: 14 });
    hands.push({ do: "hand-test", atH: day * DAY_H + 21 }, { do: "acknowledge", atH: day * DAY_H + 22 });
  }
  return hands;
}

function scenarioOf(name: string, hours: number, hands: object[]): Scenario {
  const { scenario, errors } = checkScenario({ name, hours, hands }, rehearsalSettings());
  if (scenario === null) throw new Error(JSON.stringify(errors[0]));
  return scenario;
}

function timed(scenario: Scenario, scans: ScanPace, watch: () => void = () => undefined): Timed {
  const began = performance.now();
  const before = process.threadCpuUsage();
  const report = rehearse(scenario, { seed: 1, settings: rehearsalSettings(), scans, watch });
  const { user, system } = process.threadCpuUsage(before);
  return { processorS: (user + system) / 1e6, clockS: (performance.now() - began) / 1000, report };
}

function timedYear(days: number): { readonly year: Timed; readonly heapMb: readonly number[] } {
  const scenario = scenarioOf("a year", days * DAY_H, keeper(days));
  const periods = (days * DAY_H * 3_600_000) / rehearsalSettings().scanMs;
  const every = Math.floor(periods / TWELFTHS);
  const heapMb: number[] = [];
  let seen = 0;
  const year = timed(scenario, "adaptive", () => {
    seen += 1;
    if (seen % every === 0 && heapMb.length < TWELFTHS) heapMb.push(heapInUseMb());
  });
  return { year, heapMb };
}

setFlagsFromString("--expose-gc");
const collect = runInNewContext("gc") as () => void;

function heapInUseMb(): number {
  collect();
  return process.memoryUsage().heapUsed / 1e6;
}

if (process.argv[1] === import.meta.filename) measureRehearsal(Number(process.argv[2] ?? 365));
