import { HARMS, type Harm, type HarmKind } from "./harm.ts";
import type { JudgedFaultWeek, JudgedHarm } from "./judge.ts";

/** What one side of the comparison came to, over some weeks. */
export interface SideFigures {
  readonly harmed: number;
  readonly floorL: number;
  /** Farthest below and above the salinity of the start. */
  readonly freshest: number;
  readonly saltiest: number;
  readonly coldestC: number;
  readonly hottestC: number;
}

export interface RowFigures {
  readonly name: string;
  readonly weeks: number;
  readonly ours: SideFigures;
  readonly bare: SideFigures;
  /** Harms of either side that an alarm came before, of all, and hours between, in the middle of all of them. */
  readonly told: number;
  readonly toldOf: number;
  readonly earlierH: number | null;
  readonly failed: number;
  readonly violations: number;
}

export interface CampaignFigures {
  readonly weeks: number;
  readonly seed: number;
  readonly one: RowFigures;
  readonly two: RowFigures;
  readonly kinds: readonly RowFigures[];
  /** Excused harms of weeks with one fault, by reason. */
  readonly excused: readonly {
    readonly harm: HarmKind;
    readonly fault: string;
    readonly why: string;
    readonly weeks: number;
  }[];
}

export function campaignFigures(judged: readonly JudgedFaultWeek[]): CampaignFigures {
  const seed = judged[0]?.campaignSeed ?? 0;
  const one = judged.filter(({ faults }) => faults.length === 1);
  const two = judged.filter(({ faults }) => faults.length === 2);
  const names = [...new Set(one.map(({ faults }) => faults[0] as string))].sort();
  return {
    weeks: judged.length,
    seed,
    one: rowOf("one fault", one),
    two: rowOf("two faults", two),
    kinds: names.map((name) =>
      rowOf(
        name,
        one.filter(({ faults }) => faults[0] === name),
      ),
    ),
    excused: excusedOf(one),
  };
}

function rowOf(name: string, weeks: readonly JudgedFaultWeek[]): RowFigures {
  const harms = weeks.flatMap(({ ours, bare }) => [...ours.harms, ...onlyBare(ours.harms, bare.harms)]);
  const early = harms.flatMap(({ atH, toldAtH }) => (toldAtH === null ? [] : [Math.max(0, atH - toldAtH)]));
  return {
    name,
    weeks: weeks.length,
    ours: sideOf(weeks, "ours"),
    bare: sideOf(weeks, "bare"),
    told: early.length,
    toldOf: harms.length,
    earlierH: middleOf(early),
    failed: weeks.filter(({ failed }) => failed).length,
    violations: weeks.reduce((sum, { violations }) => sum + violations.length, 0),
  };
}

type Told = Harm & Pick<JudgedHarm, "toldAtH">;
/** Harm that came to the bare parts alone: the alarm of the controller tells how early one would have known. */
const onlyBare = (ours: readonly Told[], bare: readonly Told[]): readonly Told[] =>
  bare.filter(({ harm }) => !ours.some((other) => other.harm === harm));

function sideOf(weeks: readonly JudgedFaultWeek[], side: "ours" | "bare"): SideFigures {
  const truths = weeks.map((week) => ({ truth: week[side].truth, start: week.startSalinity }));
  const most = (of: (each: (typeof truths)[number]) => number) => round(Math.max(...truths.map(of)));
  return {
    harmed: weeks.filter((week) => week[side].harms.length > 0).length,
    floorL: most(({ truth }) => truth.spilledL),
    freshest: -most(({ truth, start }) => start - truth.salinityMin),
    saltiest: most(({ truth, start }) => truth.salinityMax - start),
    coldestC: -most(({ truth }) => -truth.temperatureMinC),
    hottestC: most(({ truth }) => truth.temperatureMaxC),
  };
}

function excusedOf(weeks: readonly JudgedFaultWeek[]): CampaignFigures["excused"] {
  const counts = new Map<string, { harm: HarmKind; fault: string; why: string; weeks: number }>();
  for (const { faults, ours } of weeks) {
    for (const { harm, verdict, why } of ours.harms) {
      if (verdict !== "excused") continue;
      const fault = faults[0] as string;
      const key = `${fault}|${harm}|${why}`;
      const known = counts.get(key) ?? { harm, fault, why, weeks: 0 };
      counts.set(key, { ...known, weeks: known.weeks + 1 });
    }
  }
  return [...counts.values()].sort(
    (a, b) => a.fault.localeCompare(b.fault) || HARMS.indexOf(a.harm) - HARMS.indexOf(b.harm),
  );
}

function middleOf(values: readonly number[]): number | null {
  if (values.length === 0) return null;
  const sorted = [...values].sort((a, b) => a - b);
  return round(sorted[Math.floor(sorted.length / 2)] as number);
}

const round = (value: number): number => Math.round(value * 100) / 100 + 0;
