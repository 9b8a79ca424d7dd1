import { readFileSync, writeFileSync } from "node:fs";
import { FIGURES_FILE, type Figures, PROOF_FILE, proofPage } from "../explore/proof-page.ts";
import { runCampaign } from "./campaign.ts";
import { campaignFigures, type RowFigures } from "./figures.ts";
import { type JudgedWeek, liveWeek } from "./judge.ts";

/**
 * `npm run campaign -- --weeks 2000 --seed 1`: random weeks with one or two faults, beside the bare parts. A week that
 * fails prints the command that lives it again, `npm run campaign -- --week K --seed S`, which prints the scenario, the
 * report and the same digest; `--write file` keeps the scenario for `evenbrine rehearse`. `UPDATE_PAGES=1` writes the
 * figures of this run into `tests/PROOF.md`.
 */
const WEEKS = 2000;

async function main(): Promise<void> {
  const { weeks = WEEKS, seed = 1, week, write } = argumentsOf(process.argv.slice(2));
  if (week !== undefined) return replay(seed, week, write);
  const began = process.hrtime.bigint();
  let lived = 0;
  const judged = await runCampaign(weeks, seed, (each) => {
    lived += 1;
    if (each.failed) print(failureOf(each));
    if (lived % 100 === 0) process.stderr.write(`${lived} of ${weeks} weeks, ${Math.round(secondsSince(began))} s\n`);
  });
  const figures = campaignFigures(judged, seed);
  printTable([figures.one, figures.two, ...figures.kinds]);
  print("\nHarm that no controller could prevent, with one fault:");
  for (const { fault, harm, why, weeks: count } of figures.excused) print(`  ${fault}: ${harm}, ${count} × : ${why}`);
  const cpuS = judged.reduce((sum, each) => sum + each.cpuS, 0);
  const failed = judged.filter((each) => each.failed);
  print(
    `\n${weeks} weeks of campaign ${seed} in ${secondsSince(began).toFixed(0)} s, ${(cpuS / weeks).toFixed(1)} s of one core each`,
  );
  print(`${failed.length} failed`);
  for (const each of failed) print(commandOf(each));
  if (failed.length > 0) process.exitCode = 1;
  else if (process.env.UPDATE_PAGES !== undefined) keep(figures);
}

function argumentsOf(words: readonly string[]): { weeks?: number; seed?: number; week?: number; write?: string } {
  const found: Record<string, number | string> = {};
  for (let place = 0; place < words.length; place += 2) {
    const name = /^--(weeks|seed|week|write)$/.exec(words[place] as string)?.[1];
    const value = words[place + 1];
    const good = name === "write" ? value !== undefined : /^\d+$/.test(value ?? "");
    if (name === undefined || !good)
      throw new Error("campaign [--weeks N] [--seed S] or --week K --seed S [--write file]");
    found[name] = name === "write" ? (value as string) : Number(value);
  }
  return found;
}

/** The same week again: nothing in it depends on the campaign it was met in. */
function replay(seed: number, number: number, write: string | undefined): void {
  const { judged, week, report } = liveWeek(seed, number);
  print(JSON.stringify(week.scenario, null, 2));
  print(JSON.stringify(report, null, 2));
  if (write !== undefined) {
    writeFileSync(write, `${JSON.stringify(week.scenario, null, 2)}\n`);
    print(`evenbrine rehearse ${write} --seed ${week.seed} --scans adaptive`);
  }
  printTable([campaignFigures([judged], seed)[judged.faults.length === 1 ? "one" : "two"]]);
  print(harmsOf(judged));
  print(`digest ${judged.digest}`);
  if (judged.failed) process.exitCode = 1;
}

const commandOf = ({ week, campaignSeed }: JudgedWeek): string =>
  `npm run campaign -- --week ${week} --seed ${campaignSeed}`;

const failureOf = (judged: JudgedWeek): string =>
  [
    `FAILED week ${judged.week}: ${judged.faults.join(", ")} (digest ${judged.digest})`,
    harmsOf(judged),
    ...judged.violations.map(({ invariant, atH, detail }) => `  ${invariant} at ${atH} h: ${detail}`),
    `  ${commandOf(judged)}`,
  ].join("\n");

const harmsOf = ({ ours }: JudgedWeek): string =>
  ours.harms
    .map(({ harm, atH, worst, toldAtH, verdict, why }) => {
      const told = toldAtH === null ? "nobody told" : `told ${(atH - toldAtH).toFixed(1)} h before`;
      return `  ${harm} from ${atH.toFixed(2)} h, at worst ${worst.toFixed(2)}, ${told}: ${verdict}, ${why}`;
    })
    .join("\n");

const WIDTHS = [34, 6, 14, 14, 14, 14, 14, 11, 13, 9, 7];

function printTable(rows: readonly RowFigures[]): void {
  const heads = [
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
  line(heads);
  for (const { name, weeks, ours, bare, told, toldOf, earlierH, failed } of rows) {
    const pair = (of: (side: typeof ours) => number, decimals: number) =>
      `${of(ours).toFixed(decimals)} / ${of(bare).toFixed(decimals)}`;
    line([
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
    ]);
  }
}

const line = (columns: readonly string[]): void =>
  print(
    columns
      .map((column, place) =>
        place === 0 ? column.padEnd(WIDTHS[0] as number) : column.padStart(WIDTHS[place] as number),
      )
      .join(" "),
  );

function keep(campaign: ReturnType<typeof campaignFigures>): void {
  const figures = { ...(JSON.parse(readFileSync(FIGURES_FILE, "utf8")) as Figures), campaign };
  writeFileSync(FIGURES_FILE, `${JSON.stringify(figures, null, 2)}\n`);
  writeFileSync(PROOF_FILE, proofPage(figures));
}

const secondsSince = (began: bigint): number => Number((process.hrtime.bigint() - began) / 1_000_000n) / 1000;
const print = (text: string): void => void process.stdout.write(`${text}\n`);

await main();
