import { writeFileSync } from "node:fs";
import { rarelyAsks } from "../../promises/checkers/asks.ts";
import type { Campaign } from "../campaign.ts";
import { type JudgedHealthyWeek, liveHealthyWeek } from "./judge.ts";
import { healthyTable } from "./table.ts";

/** Weeks in which nothing fails, beside the bare parts. */
export const HEALTHY_CAMPAIGN: Campaign<JudgedHealthyWeek> = {
  name: "healthy",
  live: (seed, week) => liveHealthyWeek(seed, week).judged,
  failureOf: (judged) => (judged.broken.length > 0 || judged.spilledL > 0 ? failureOf(judged) : null),
  brokenTogether: (judged) => rarelyAsks(judged).map(({ promise, what }) => `${promise}: ${what}`),
  table: healthyTable,
  replay,
};

const failureOf = (judged: JudgedHealthyWeek): string =>
  [
    `FAILED healthy week ${judged.week}: ${judged.box} (digest ${judged.digest})`,
    ...brokenLines(judged),
    `  npm run campaign -- --healthy --week ${judged.week} --seed ${judged.campaignSeed}`,
  ].join("\n");

const brokenLines = ({ broken, spilledL }: JudgedHealthyWeek): string[] => [
  ...broken.map(({ promise, atH, what }) => `  ${promise} at ${atH.toFixed(1)} h: ${what}`),
  ...(spilledL > 0 ? [`  ${spilledL.toFixed(2)} L on the floor`] : []),
];

/** The same week again: nothing in it depends on the campaign it was met in. */
function replay(seed: number, number: number, write: string | undefined): readonly string[] {
  const { judged, week, report } = liveHealthyWeek(seed, number);
  const scenario = JSON.stringify(week.scenario, null, 2);
  const lines = [scenario, JSON.stringify(report, null, 2)];
  if (write !== undefined) {
    writeFileSync(write, `${scenario}\n`);
    lines.push(`evenbrine rehearse ${write} --seed ${week.seed} --scans adaptive --beside-bare-parts`);
  }
  return [...lines, ...healthyTable([judged]), ...brokenLines(judged), `digest ${judged.digest}`];
}
