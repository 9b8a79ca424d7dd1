import { createHash } from "node:crypto";
import { writeFileSync } from "node:fs";
import { HEALTHY_EXPECTATIONS } from "../../../controller/rehearsal/healthy/expectations.ts";
import type { HealthyRow } from "../../../controller/rehearsal/healthy/holds.ts";
import type { Report } from "../../../controller/rehearsal/index.ts";
import { rehearsalSettings } from "../../../shared/settings/index.ts";
import { healthyScenario } from "../../promises/healthy-scenarios.ts";
import { brokenPromises, liveAll } from "../../promises/held.ts";
import { type Broken, type Life, type Span, spanOf } from "../../promises/life.ts";
import type { Campaign, JudgedWeek } from "../campaign.ts";
import { columns } from "../columns.ts";

/** The scenarios of boxes that should be left alone, one after the other, each held to its row. A number is a row. */
export interface JudgedScenario extends JudgedWeek {
  readonly scenario: string;
  readonly hours: number;
  readonly ours: Spans;
  readonly bare: Spans;
  readonly alarms: Life["alarms"];
  readonly asks: number;
  readonly throttledH: number;
  readonly locks: readonly string[];
  readonly spilledL: number;
  readonly violations: Report["violations"];
  readonly broken: readonly Broken[];
}

interface Spans {
  readonly salinity: Span;
  readonly celsius: Span;
}

export const SCENARIO_ROWS: readonly HealthyRow[] = HEALTHY_EXPECTATIONS.flatMap(({ rows }) => rows);

export const SCENARIO_CAMPAIGN: Campaign<JudgedScenario> = {
  name: "scenarios",
  live: (seed, number) => live(seed, number).judged,
  failureOf: (judged) => (isWhole(judged) ? null : failureOf(judged)),
  brokenTogether: () => [],
  table: tableOf,
  replay,
};

function live(seed: number, number: number) {
  const before = process.threadCpuUsage();
  const row = SCENARIO_ROWS[number];
  if (row === undefined) throw new Error(`there are ${SCENARIO_ROWS.length} scenarios, and no number ${number}`);
  const lived = liveAll(healthyScenario(row.scenario), { seed, settings: rehearsalSettings() });
  const { ours, report } = lived;
  const judged: JudgedScenario = {
    week: number,
    campaignSeed: seed,
    scenario: row.scenario,
    hours: ours.hours,
    ours: spansOf(ours),
    bare: spansOf(lived.bare()),
    alarms: ours.alarms,
    asks: ours.asks.length,
    throttledH: report.throttledH,
    locks: ours.lockouts.map(({ reason, atH }) => `${reason} at ${atH.toFixed(0)} h`),
    spilledL: report.truth.spilledL,
    violations: report.violations,
    broken: brokenPromises(lived, row),
    digest: createHash("sha256").update(JSON.stringify(report)).digest("hex").slice(0, 16),
    cpuS: secondsSince(before),
  };
  return { judged, report };
}

const spansOf = (life: Life): Spans => ({
  salinity: spanOf(life.samples, "salinity"),
  celsius: spanOf(life.samples, "celsius"),
});

function secondsSince(before: NodeJS.CpuUsage): number {
  const { user, system } = process.threadCpuUsage(before);
  return (user + system) / 1e6;
}

const isWhole = ({ broken, violations, spilledL }: JudgedScenario): boolean =>
  broken.length === 0 && violations.length === 0 && spilledL === 0;

const failureOf = (judged: JudgedScenario): string =>
  [
    `FAILED ${judged.scenario} (digest ${judged.digest})`,
    ...brokenLines(judged),
    `  npm run campaign -- --scenarios --week ${judged.week} --seed ${judged.campaignSeed}`,
  ].join("\n");

const brokenLines = ({ broken, violations, spilledL }: JudgedScenario): string[] => [
  ...broken.map(({ promise, atH, what }) => `  ${promise} at ${atH.toFixed(1)} h: ${what}`),
  ...violations.map(({ invariant, atH, detail }) => `  ${invariant} at ${atH} h: ${detail}`),
  ...(spilledL > 0 ? [`  ${spilledL.toFixed(2)} L on the floor`] : []),
];

const HEADS = [
  "ours / bare parts",
  "days",
  "salinity",
  "bare",
  "°C",
  "bare",
  "low",
  "medium",
  "high",
  "asks",
  "throttled h",
  "locks",
  "broken",
];

function tableOf(judged: readonly JudgedScenario[]): string[] {
  return columns(HEADS, judged.map(cellsOf));
}

function cellsOf(judged: JudgedScenario): string[] {
  const { scenario, hours, ours, bare, alarms, asks, throttledH, locks } = judged;
  const span = ({ lowest, highest }: Span) => `${lowest.toFixed(2)}–${highest.toFixed(2)}`;
  const loud = (["low", "medium", "high"] as const).map((wanted) =>
    String(alarms.filter(({ priority }) => priority === wanted).length),
  );
  const [first = "–"] = locks;
  return [
    scenario,
    (hours / 24).toFixed(0),
    span(ours.salinity),
    span(bare.salinity),
    span(ours.celsius),
    span(bare.celsius),
    ...loud,
    String(asks),
    throttledH.toFixed(1),
    locks.length > 1 ? `${first} +${locks.length - 1}` : first,
    brokenWords(judged),
  ];
}

const brokenWords = ({ broken, violations, spilledL }: JudgedScenario): string =>
  [
    ...new Set(broken.map(({ promise }) => promise)),
    ...(violations.length > 0 ? [`${violations.length} violations`] : []),
    ...(spilledL > 0 ? ["floor wet"] : []),
  ].join(" ") || "–";

function replay(seed: number, number: number, write: string | undefined): readonly string[] {
  const { judged, report } = live(seed, number);
  if (write !== undefined) writeFileSync(write, `${JSON.stringify(report, null, 2)}\n`);
  return [JSON.stringify(report, null, 2), ...tableOf([judged]), ...brokenLines(judged), `digest ${judged.digest}`];
}
