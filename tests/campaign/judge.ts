import { createHash } from "node:crypto";
import { type Report, rehearse, rehearseBareParts } from "../../controller/rehearsal/index.ts";
import type { Truth } from "../../controller/rehearsal/plant/truth.ts";
import { rehearsalSettings } from "../../shared/settings/index.ts";
import { liveAllKnowing } from "./all-knowing.ts";
import { excusesFor } from "./excuses.ts";
import { type Harm, type HarmKind, type HarmWatch, watchHarm } from "./harm.ts";
import { type Week, weekOf } from "./weeks.ts";

export interface JudgedHarm extends Harm {
  /** The first alarm of at least medium priority after something broke that still told of it; null = nobody was told. */
  readonly toldAtH: number | null;
  readonly verdict: "avoidable" | "excused";
  readonly why: string;
}

export interface JudgedWeek {
  readonly week: number;
  readonly campaignSeed: number;
  readonly faults: readonly string[];
  readonly startSalinity: number;
  readonly ours: { readonly truth: Truth; readonly harms: readonly JudgedHarm[] };
  readonly bare: { readonly truth: Truth; readonly harms: readonly (Harm & { readonly toldAtH: number | null })[] };
  readonly violations: Report["violations"];
  /** Of the whole report, so that a replay can be held against it. */
  readonly digest: string;
  readonly failed: boolean;
  /** Processor time that it took. */
  readonly cpuS: number;
}

export interface LivedWeek {
  readonly judged: JudgedWeek;
  readonly week: Week;
  readonly report: Report;
}

/** Lives a week three times at most: with the controller, with the bare parts, and where harm came by the best hand. */
export function liveWeek(campaignSeed: number, number: number): LivedWeek {
  const before = process.threadCpuUsage();
  const week = weekOf(campaignSeed, number);
  const { scenario, seed, faults } = week;
  const settings = rehearsalSettings();
  const startSalinity = scenario.start.salinity ?? settings.targets.salinity;
  const watching = () => watchHarm(startSalinity, settings.scanMs);
  const [ours, bare] = [watching(), watching()];
  const report = rehearse(scenario, { seed, settings, scans: "adaptive", watch: ours.look });
  const bareTruth = rehearseBareParts(scenario, { seed, settings, watch: bare.look });
  const best = (): HarmWatch => {
    const knowing = watching();
    liveAllKnowing(scenario, { seed, settings, watch: knowing.look });
    return knowing;
  };
  const harms = judgeHarms(week, report, ours.harms(), best);
  const single = faults.length === 1;
  const judged: JudgedWeek = {
    week: number,
    campaignSeed,
    faults,
    startSalinity,
    ours: { truth: report.truth, harms },
    bare: { truth: bareTruth, harms: bare.harms().map((harm) => ({ ...harm, toldAtH: toldAt(week, report, harm) })) },
    violations: report.violations,
    digest: createHash("sha256").update(JSON.stringify(report)).digest("hex").slice(0, 16),
    failed: report.violations.length > 0 || (single && harms.some(({ verdict }) => verdict === "avoidable")),
    cpuS: secondsSince(before),
  };
  return { judged, week, report };
}

function secondsSince(before: NodeJS.CpuUsage): number {
  const { user, system } = process.threadCpuUsage(before);
  return (user + system) / 1e6;
}

function judgeHarms(week: Week, report: Report, harms: readonly Harm[], best: () => HarmWatch): JudgedHarm[] {
  // Lived only where a verdict hangs on it: for a harm that the rules excuse and the parts do not, nobody asks.
  let hand: HarmWatch | null = null;
  const atBest = (): HarmWatch => {
    hand ??= best();
    return hand;
  };
  return harms.map((harm) => {
    const toldAtH = toldAt(week, report, harm);
    const excuses = excusesFor(week.scenario, harm.harm, harm.atH);
    const excuse = excuses.find(({ by, margin }) => by === "parts" && isAsBad(atBest(), harm, margin));
    const rule = excuses.find(({ by }) => by === "rules");
    const chosen = excuse ?? rule;
    if (chosen === undefined)
      return { ...harm, toldAtH, verdict: "avoidable", why: whyNot(atBest(), harm, excuses.length) };
    if (toldAtH === null && !dead(week)) return { ...harm, toldAtH, verdict: "avoidable", why: "nobody was told" };
    return { ...harm, toldAtH, verdict: "excused", why: chosen.reason };
  });
}

const whyNot = (atBest: HarmWatch, { harm }: Harm, excuses: number): string => {
  const comes = `the best hand comes to ${atBest.furthest()[harm].toFixed(2)}`;
  if (!isHarmed(atBest, harm)) return `these parts could have prevented it: ${comes}`;
  return excuses === 0 ? "no excuse is written for it" : comes;
};

/** A dead computer tells nobody; that it is silent is for somebody else to notice. */
const dead = ({ scenario }: Week): boolean =>
  scenario.faults.some(({ kind }) => kind === "controller-killed" || kind === "kill-mid-pour");

/** What the best hand suffers excuses the same and a little more, never ten litres by a tenth. */
const MARGIN = { floor: 0.25, fresh: 0.5, salty: 0.75, cold: 1, hot: 1 } as const;
/** Where the best hand just escapes, it excuses what is hardly worse: a harm begins at a limit, and water knows none. */
const ESCAPES_BY = { floor: 0, fresh: 0.1, salty: 0.15, cold: 0.2, hot: 0.2 } as const;

export function isAsBad(best: HarmWatch, { harm, worst }: Harm, margin: number = MARGIN[harm]): boolean {
  const atBest = best.furthest()[harm];
  const worse = harm === "cold" ? atBest - worst : Math.abs(worst) - Math.abs(atBest);
  return worse <= (isHarmed(best, harm) ? margin : ESCAPES_BY[harm]);
}

const isHarmed = (watch: HarmWatch, kind: HarmKind): boolean => watch.harms().some(({ harm }) => harm === kind);

/** An alarm of a moment may tell of what is on its way to the floor for as long. */
const AT_ONCE_H = 1 / 60;
/** What cleared longer ago speaks of something else. */
const STILL_TELLS_H = 24;

function toldAt({ scenario }: Week, { alarms }: Report, harm: Harm): number | null {
  const brokeH = Math.min(...scenario.faults.map(({ atH }) => atH));
  const untilH = harm.atH + (harm.harm === "floor" ? AT_ONCE_H : 0);
  const telling = alarms.filter(
    ({ priority, raisedAtH, clearedAtH }) =>
      priority !== "low" &&
      raisedAtH >= brokeH &&
      raisedAtH <= untilH &&
      (clearedAtH === null || clearedAtH >= harm.atH - STILL_TELLS_H),
  );
  return telling.length === 0 ? null : Math.min(...telling.map(({ raisedAtH }) => raisedAtH));
}
