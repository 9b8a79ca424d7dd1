import { createHash } from "node:crypto";
import { rehearsalSettings } from "../../../shared/settings/index.ts";
import { besideBareParts } from "../../promises/checkers/beside-bare-parts.ts";
import { noSilence } from "../../promises/checkers/no-silence.ts";
import { wholeBox } from "../../promises/checkers/whole-box.ts";
import { liveAll, reachOf } from "../../promises/held.ts";
import { type Broken, type Life, spanOf } from "../../promises/life.ts";
import type { JudgedWeek } from "../campaign.ts";
import { type HealthyWeek, healthyWeekOf, type Marks } from "./weeks.ts";

/** What one side of the comparison came to in a week. */
export interface Spans {
  readonly salinity: number;
  readonly kelvin: number;
}

export interface JudgedHealthyWeek extends JudgedWeek {
  readonly marks: Marks;
  readonly box: string;
  readonly ours: Spans;
  readonly bare: Spans;
  readonly hours: number;
  /** But for what is true of the weather. */
  readonly alarms: Life["alarms"];
  readonly asks: Life["asks"];
  readonly throttledH: number;
  readonly locks: readonly string[];
  readonly spilledL: number;
  readonly broken: readonly Broken[];
}

export interface LivedHealthyWeek {
  readonly judged: JudgedHealthyWeek;
  readonly week: HealthyWeek;
  readonly report: object;
}

/** What a room does to a box in which nothing fails is no harm that comes in silence: who sits in it knows. */
const DRIFTS = ["salty", "fresh", "cold"] as const;

/** A room this warm may be called warm, and nothing else may be said of a box in which nothing fails. */
const WARM = ["temperature-high", "temperature-very-high"];

/** Lives a week with the controller and with the bare parts; by the best hand where it leaves its temperature. */
export function liveHealthyWeek(campaignSeed: number, number: number): LivedHealthyWeek {
  const before = process.threadCpuUsage();
  const week = healthyWeekOf(campaignSeed, number);
  const lived = liveAll(week.scenario, { seed: week.seed, settings: rehearsalSettings() });
  const { ours, report } = lived;
  const bare = lived.bare();
  // How often it may be loud is told by many weeks, not by one (H5).
  const quiet = { ...ours, alarms: [] };
  const broken = [...wholeBox(quiet, reachOf(lived)), ...besideBareParts(ours, bare), ...noSilence(ours, 0, DRIFTS)];
  const judged: JudgedHealthyWeek = {
    week: number,
    campaignSeed,
    marks: week.marks,
    box: week.box,
    ours: spansOf(ours),
    bare: spansOf(bare),
    hours: ours.hours,
    alarms: ours.alarms.filter(({ id }) => !WARM.includes(id)),
    asks: ours.asks.filter(({ what }) => !WARM.includes(what)),
    throttledH: report.throttledH,
    locks: ours.lockouts.map(({ reason }) => reason),
    spilledL: report.truth.spilledL,
    broken,
    digest: createHash("sha256").update(JSON.stringify(report)).digest("hex").slice(0, 16),
    cpuS: secondsSince(before),
  };
  return { judged, week, report };
}

const spansOf = (life: Life): Spans => ({
  salinity: spanOf(life.samples, "salinity").width,
  kelvin: spanOf(life.samples, "celsius").width,
});

function secondsSince(before: NodeJS.CpuUsage): number {
  const { user, system } = process.threadCpuUsage(before);
  return (user + system) / 1e6;
}
