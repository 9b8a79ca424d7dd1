import { createHash } from "node:crypto";
import { type Report, rehearse, rehearseBareParts } from "../../controller/rehearsal/index.ts";
import type { Truth } from "../../controller/rehearsal/plant/truth.ts";
import { rehearsalSettings } from "../../shared/settings/index.ts";
import { liveAllKnowing } from "./all-knowing.ts";
import { excusesFor } from "./excuses.ts";
import { type Harm, watchHarm } from "./harm.ts";
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
  const best = (): readonly Harm[] => {
    const knowing = watching();
    liveAllKnowing(scenario, { seed, settings, watch: knowing.look });
    return knowing.harms();
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

function judgeHarms(week: Week, report: Report, harms: readonly Harm[], best: () => readonly Harm[]): JudgedHarm[] {
  // Lived only where a verdict hangs on it: for a harm that the rules excuse and the parts do not, nobody asks.
  let unavoidable: readonly Harm[] | null = null;
  const atBest = ({ harm }: Harm): Harm | undefined => {
    unavoidable ??= best();
    return unavoidable.find((other) => other.harm === harm);
  };
  return harms.map((harm) => {
    const toldAtH = toldAt(week, report, harm);
    const excuses = excusesFor(week.scenario, harm.harm, harm.atH);
    const excuse = excuses.find(({ by, margin }) => by === "parts" && isAsBad(atBest(harm), harm, margin));
    const rule = excuses.find(({ by }) => by === "rules");
    const chosen = excuse ?? rule;
    if (chosen === undefined)
      return { ...harm, toldAtH, verdict: "avoidable", why: whyNot(atBest(harm), excuses.length) };
    if (toldAtH === null && !dead(week)) return { ...harm, toldAtH, verdict: "avoidable", why: "nobody was told" };
    return { ...harm, toldAtH, verdict: "excused", why: chosen.reason };
  });
}

const whyNot = (atBest: Harm | undefined, excuses: number): string => {
  if (atBest === undefined) return "these parts could have prevented it";
  return excuses === 0 ? "no excuse is written for it" : `the best hand comes to ${atBest.worst.toFixed(2)}`;
};

/** A dead computer tells nobody; that it is silent is for somebody else to notice. */
const dead = ({ scenario }: Week): boolean =>
  scenario.faults.some(({ kind }) => kind === "controller-killed" || kind === "kill-mid-pour");

/** What the best hand suffers excuses the same and a little more, never ten litres by a tenth. */
const MARGIN = { floor: 0.25, fresh: 0.5, salty: 0.75, cold: 1, hot: 1 } as const;

const isAsBad = (best: Harm | undefined, harm: Harm, margin: number = MARGIN[harm.harm]): boolean =>
  best !== undefined && !isMuchWorse(harm, best, margin);

const isMuchWorse = (harm: Harm, best: Harm, margin: number): boolean =>
  harm.harm === "cold" ? harm.worst < best.worst - margin : Math.abs(harm.worst) > Math.abs(best.worst) + margin;

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
