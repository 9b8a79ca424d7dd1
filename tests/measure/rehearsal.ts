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
  readonly dayS: number;
  readonly dayScans: number;
  readonly yearDays: number;
  readonly yearS: number;
  readonly yearScans: number;
  /** Heap in use after collection: a week into the year, and at its end. Needs `--expose-gc` to mean much. */
  readonly heapStartMb: number;
  readonly heapEndMb: number;
  readonly alarms: number;
  readonly violations: number;
}

const DAY_H = 24;

/** Prints and returns how long a day and a year take on the simulated tank, and what the heap does meanwhile. */
export function measureRehearsal(yearDays = 365): RehearsalFigures {
  timed(scenarioOf("warm-up", 6, []), "even");
  const day = timed(scenarioOf("a day", DAY_H, []), "even");
  const year = timedYear(yearDays);
  const figures = {
    dayS: day.seconds,
    dayScans: day.report.scans,
    yearDays,
    yearS: year.seconds,
    yearScans: year.report.scans,
    heapStartMb: year.heapStartMb,
    heapEndMb: year.heapEndMb,
    alarms: year.report.alarms.length,
    violations: year.report.violations.length,
  };
  console.table([
    { figure: "a simulated day at 4 Hz", measured: `${figures.dayS.toFixed(2)} s`, "to reach": "≤ 2 s" },
    {
      figure: `${yearDays} simulated days, adaptive, ${figures.yearScans} scans`,
      measured: `${figures.yearS.toFixed(0)} s, ${((figures.yearS * 365) / yearDays).toFixed(0)} s a year`,
      "to reach": "≤ 300 s a year",
    },
    {
      figure: `heap after a week and after ${yearDays} days`,
      measured: `${figures.heapStartMb.toFixed(1)} MB, ${figures.heapEndMb.toFixed(1)} MB`,
      "to reach": "flat",
    },
    {
      figure: "alarms, violations in that time",
      measured: `${figures.alarms}, ${figures.violations}`,
      "to reach": "–, 0",
    },
  ]);
  return figures;
}

const HAND_EVERY_DAYS = 4;

/** A keeper who fills the reservoir, changes a tenth of the water each fortnight and tests by hand. */
function keeper(days: number): object[] {
  const hands: object[] = [];
  for (let day = HAND_EVERY_DAYS; day < days; day += HAND_EVERY_DAYS) {
    hands.push({ do: "refill", atH: day * DAY_H + 18 });
    if (day % (3 * HAND_EVERY_DAYS) === 0) hands.push({ do: "water-change", atH: day * DAY_H + 19, litres: 14 });
    if (day % (2 * HAND_EVERY_DAYS) === 0) hands.push({ do: "hand-test", atH: day * DAY_H + 21 });
    hands.push({ do: "acknowledge", atH: day * DAY_H + 22 });
  }
  return hands;
}

function scenarioOf(name: string, hours: number, hands: object[]): Scenario {
  const { scenario, errors } = checkScenario({ name, hours, hands }, rehearsalSettings());
  if (scenario === null) throw new Error(JSON.stringify(errors[0]));
  return scenario;
}

interface Timed {
  readonly seconds: number;
  readonly report: Report;
}

/** Processor time of this thread: on a busy machine the clock would count others' work too. */
function timed(scenario: Scenario, scans: ScanPace, watch: () => void = () => undefined): Timed {
  const before = process.threadCpuUsage();
  const report = rehearse(scenario, { seed: 1, settings: rehearsalSettings(), scans, watch });
  const { user, system } = process.threadCpuUsage(before);
  return { seconds: (user + system) / 1e6, report };
}

function timedYear(days: number): Timed & { readonly heapStartMb: number; readonly heapEndMb: number } {
  const scenario = scenarioOf("a year", days * DAY_H, keeper(days));
  const periods = (days * DAY_H * 3_600_000) / rehearsalSettings().scanMs;
  const early = Math.floor(Math.min(periods / 2, (periods * 7) / days));
  const late = Math.floor(periods * 0.999);
  let [seen, heapStartMb, heapEndMb] = [0, 0, 0];
  const year = timed(scenario, "adaptive", () => {
    seen += 1;
    if (seen === early) heapStartMb = heapMb();
    if (seen === late) heapEndMb = heapMb();
  });
  return { ...year, heapStartMb, heapEndMb };
}

function heapMb(): number {
  globalThis.gc?.();
  return process.memoryUsage().heapUsed / 1e6;
}
