import { writeFileSync } from "node:fs";
import type { Campaign } from "../campaign.ts";
import { columns } from "../columns.ts";
import { campaignFigures, type RowFigures } from "./figures.ts";
import { type JudgedFaultWeek, liveWeek } from "./judge.ts";

/** Weeks with one or two faults, beside the bare parts. */
export const FAULT_CAMPAIGN: Campaign<JudgedFaultWeek> = {
  name: "faults",
  live: (seed, week) => liveWeek(seed, week).judged,
  failureOf: (judged) => (judged.failed ? failureOf(judged) : null),
  brokenTogether: () => [],
  table: tableOf,
  replay,
};

const commandOf = ({ week, campaignSeed }: JudgedFaultWeek): string =>
  `npm run campaign -- --week ${week} --seed ${campaignSeed}`;

const failureOf = (judged: JudgedFaultWeek): string =>
  [
    `FAILED week ${judged.week}: ${judged.faults.join(", ")} (digest ${judged.digest})`,
    ...harmsOf(judged),
    ...judged.violations.map(({ invariant, atH, detail }) => `  ${invariant} at ${atH} h: ${detail}`),
    `  ${commandOf(judged)}`,
  ].join("\n");

const harmsOf = ({ ours }: JudgedFaultWeek): string[] =>
  ours.harms.map(({ harm, atH, worst, toldAtH, verdict, why }) => {
    const told = toldAtH === null ? "nobody told" : `told ${(atH - toldAtH).toFixed(1)} h before`;
    return `  ${harm} from ${atH.toFixed(2)} h, at worst ${worst.toFixed(2)}, ${told}: ${verdict}, ${why}`;
  });

/** The same week again: nothing in it depends on the campaign it was met in. */
function replay(seed: number, number: number, write: string | undefined): readonly string[] {
  const { judged, week, report } = liveWeek(seed, number);
  const scenario = JSON.stringify(week.scenario, null, 2);
  const lines = [scenario, JSON.stringify(report, null, 2)];
  if (write !== undefined) {
    writeFileSync(write, `${scenario}\n`);
    lines.push(`evenbrine rehearse ${write} --seed ${week.seed} --scans adaptive`);
  }
  const { one, two } = campaignFigures([judged]);
  return [
    ...lines,
    ...columns(HEADS, [cellsOf(judged.faults.length === 1 ? one : two)]),
    ...harmsOf(judged),
    `digest ${judged.digest}`,
  ];
}

const HEADS = [
  "ours / bare parts",
  "weeks",
  "harmed",
  "floor, L",
  "freshest",
  "saltiest",
  "coldest, °C",
  "hottest",
  "told before",
  "by, h",
  "failed",
];

function tableOf(judged: readonly JudgedFaultWeek[]): string[] {
  const { one, two, kinds, excused } = campaignFigures(judged);
  return [
    ...columns(HEADS, [one, two, ...kinds].map(cellsOf)),
    "",
    "Harm that nobody at the tank could have prevented, with one fault:",
    ...excused.map(({ fault, harm, why, weeks }) => `  ${fault}: ${harm}, ${weeks} × : ${why}`),
  ];
}

function cellsOf({ name, weeks, ours, bare, told, toldOf, earlierH, failed }: RowFigures): string[] {
  const pair = (of: (side: typeof ours) => number, decimals: number) =>
    `${of(ours).toFixed(decimals)} / ${of(bare).toFixed(decimals)}`;
  return [
    name,
    String(weeks),
    pair((side) => side.harmed, 0),
    pair((side) => side.floorL, 2),
    pair((side) => side.freshest, 2),
    pair((side) => side.saltiest, 2),
    pair((side) => side.coldestC, 1),
    pair((side) => side.hottestC, 1),
    `${told} of ${toldOf}`,
    earlierH === null ? "–" : earlierH.toFixed(1),
    String(failed),
  ];
}
