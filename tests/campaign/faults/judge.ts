import { createHash } from "node:crypto";
import {
  type Report,
  rehearse,
  rehearseBareParts,
  type Scenario,
  settingsOf,
} from "../../../controller/rehearsal/index.ts";
import type { Truth } from "../../../controller/rehearsal/plant/truth.ts";
import { rehearsalSettings } from "../../../shared/settings/index.ts";
import { toldAtH } from "../../promises/right-alarms.ts";
import { liveAllKnowing } from "../all-knowing.ts";
import type { JudgedWeek } from "../campaign.ts";
import { type Excuse, excusesFor } from "./excuses.ts";
import { floodOf, type Harm, type HarmKind, type HarmWatch, isLower, watchHarm } from "./harm.ts";
import { type Week, weekOf } from "./weeks.ts";

export interface JudgedHarm extends Harm {
  /** The first right alarm after something broke that still told of it; null = nobody was told. */
  readonly toldAtH: number | null;
  readonly verdict: "avoidable" | "excused";
  readonly why: string;
}

export interface JudgedFaultWeek extends JudgedWeek {
  readonly faults: readonly string[];
  readonly startSalinity: number;
  readonly ours: { readonly truth: Truth; readonly harms: readonly JudgedHarm[] };
  readonly bare: { readonly truth: Truth; readonly harms: readonly (Harm & { readonly toldAtH: number | null })[] };
  readonly violations: Report["violations"];
  readonly failed: boolean;
}

export interface LivedWeek {
  readonly judged: JudgedFaultWeek;
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
  const best = once(() => {
    const knowing = watching();
    liveAllKnowing(scenario, { seed, settings, watch: knowing.look });
    return knowing;
  });
  const told = (harm: Harm) => toldOf(scenario, report, harm);
  const harms = judgeHarms({ scenario, report, ours, best, volumeL: settingsOf(scenario, settings).tank.netVolumeL });
  const single = faults.length === 1;
  const judged: JudgedFaultWeek = {
    week: number,
    campaignSeed,
    faults,
    startSalinity,
    ours: { truth: report.truth, harms },
    bare: { truth: bareTruth, harms: bare.harms().map((harm) => ({ ...harm, toldAtH: told(harm) })) },
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

function once<Value extends object>(make: () => Value): () => Value {
  let made: Value | null = null;
  return () => {
    made ??= make();
    return made;
  };
}

interface Case {
  readonly scenario: Scenario;
  readonly report: Report;
  readonly ours: HarmWatch;
  /** Lived only where a verdict hangs on it. */
  readonly best: () => HarmWatch;
  readonly volumeL: number;
}

const judgeHarms = (week: Case): JudgedHarm[] =>
  [...week.ours.harms(), ...floodOf(week.report.alarms)].map((harm) => judgeHarm(week, harm));

function judgeHarm(week: Case, harm: Harm): JudgedHarm {
  const { scenario, report, best } = week;
  const told = toldOf(scenario, report, harm);
  const avoidable = (why: string): JudgedHarm => ({ ...harm, toldAtH: told, verdict: "avoidable", why });
  if (harm.harm === "flood") return avoidable("nobody looks at so many");
  const excuses = excusesFor(scenario, harm.harm, harm.atH);
  const chosen = excuses.find((excuse) => isExcused(week, harm, excuse));
  if (chosen === undefined) return avoidable(whyNot(best(), harm, excuses.length));
  if (told === null && !isDead(scenario)) return avoidable("nobody was told by the right alarm");
  return { ...harm, toldAtH: told, verdict: "excused", why: chosen.reason };
}

function isExcused(week: Case, harm: Harm, excuse: Excuse): boolean {
  switch (excuse.by) {
    case "parts":
      return isAsBad(week.best(), harm);
    case "unseen":
      return isAsBad(week.best(), harm, excuse.margin);
    case "stopped":
      return isStoppedInTime(week, harm);
  }
}

/** What stops on purpose is told before half a unit, and costs what has evaporated since something broke. */
function isStoppedInTime({ scenario, report, ours, best, volumeL }: Case, harm: Harm): boolean {
  const brokeH = brokeAtH(scenario);
  const told = toldAtH(report.alarms, "salty", brokeH, harm.atH);
  if (told === null || told > (ours.halfAtH() ?? Infinity)) return false;
  if (harm.harm === "level") return true;
  const evaporatedL = ours.evaporatedL(scenario.hours) - ours.evaporatedL(brokeH);
  const salinity = scenario.start.salinity ?? 35;
  return isAsBad(best(), harm, MARGIN.salty + (salinity * evaporatedL) / (volumeL - evaporatedL));
}

const whyNot = (atBest: HarmWatch, { harm }: Harm, excuses: number): string => {
  const comes = `the best hand comes to ${atBest.furthest()[harm].toFixed(2)}`;
  if (!isHarmed(atBest, harm)) return `these parts could have prevented it: ${comes}`;
  return excuses === 0 ? "no excuse is written for it" : comes;
};

/** A dead computer tells nobody; that it is silent is for somebody else to notice. */
const isDead = ({ faults }: Scenario): boolean =>
  faults.some(({ kind }) => kind === "controller-killed" || kind === "kill-mid-pour");

type WaterHarm = Exclude<HarmKind, "flood">;

/** What the best hand suffers excuses the same and a little more, never ten litres by a tenth. */
const MARGIN: Readonly<Record<WaterHarm, number>> = {
  floor: 0.25,
  fresh: 0.5,
  salty: 0.75,
  cold: 1,
  hot: 1,
  level: 2880,
  "pump-dry": 60,
  "heater-dry": 60,
};
/** Where the best hand just escapes, it excuses what is hardly worse: a harm begins at a limit, and water knows none. What
 *  was locked for a part that is whole again waits for the evening. */
const ESCAPES_BY: Readonly<Record<WaterHarm, number>> = {
  floor: 0,
  fresh: 0.1,
  salty: 0.15,
  cold: 0.2,
  hot: 0.2,
  level: 720,
  "pump-dry": 5,
  "heater-dry": 5,
};

/** The harm comes to the best hand as well, about as badly; or not beyond this much worse, where a margin is given. */
export function isAsBad(best: HarmWatch, { harm, worst }: Harm, margin?: number): boolean {
  if (harm === "flood") return false;
  const atBest = best.furthest()[harm];
  const worse = isLower(harm) ? atBest - worst : worst - atBest;
  return worse <= (margin ?? (isHarmed(best, harm) ? MARGIN[harm] : ESCAPES_BY[harm]));
}

const isHarmed = (watch: HarmWatch, kind: HarmKind): boolean => watch.harms().some(({ harm }) => harm === kind);

/** An alarm of a moment may tell of what is on its way to the floor for as long. */
const AT_ONCE_H = 1 / 60;

const brokeAtH = ({ faults }: Scenario): number => Math.min(...faults.map(({ atH }) => atH));

function toldOf(scenario: Scenario, { alarms }: Report, { harm, atH }: Harm): number | null {
  if (harm === "flood") return atH;
  return toldAtH(alarms, harm, brokeAtH(scenario), atH + (harm === "floor" ? AT_ONCE_H : 0));
}
