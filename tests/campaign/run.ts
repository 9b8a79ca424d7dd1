import { type Task, taskFrom } from "./arguments.ts";
import type { Campaign, CampaignName, JudgedWeek } from "./campaign.ts";
import { liveOnAllCores } from "./cores.ts";
import type { JudgedFaultWeek } from "./faults/judge.ts";
import { keepFigures } from "./faults/keep-figures.ts";
import { campaignOf } from "./list.ts";
import { Refused } from "./refused.ts";
import { joinShares, readShare, WHOLE, weeksOf, writeShare } from "./shares.ts";

/**
 * `npm run campaign -- --weeks 500 --seed 1`: random weeks with one or two faults, or with `--healthy` weeks in which
 * nothing fails, beside the bare parts. A week that fails prints the command that lives it again. `--share 3/8` lives an
 * eighth of them in this process alone and writes a file; `--join` makes one table of all the files. `UPDATE_PAGES=1`
 * writes the figures of a fault campaign without failures into `tests/PROOF.md`.
 */
async function main(): Promise<void> {
  const task = taskFrom(process.argv.slice(2));
  switch (task.do) {
    case "live":
      return liveAll(task);
    case "share":
      return liveShare(task);
    case "join":
      return join(task.files);
    case "replay":
      for (const line of campaignOf(task.name).replay(task.seed, task.week, task.write)) print(line);
  }
}

const TOLD_EVERY = 20;

/** Says what fails as it comes, and now and then how far it is. */
function createProgress(campaign: Campaign<JudgedWeek>, weeks: number): (judged: JudgedWeek) => void {
  const began = process.hrtime.bigint();
  let lived = 0;
  return (judged) => {
    lived += 1;
    const failure = campaign.failureOf(judged);
    if (failure !== null) print(failure);
    if (lived % TOLD_EVERY !== 0 && lived !== weeks) return;
    process.stderr.write(`${lived} of ${weeks} weeks, ${secondsSince(began).toFixed(0)} s\n`);
  };
}

async function liveAll({ name, seed, weeks }: Extract<Task, { do: "live" }>): Promise<void> {
  const campaign = campaignOf(name);
  const judged = await liveOnAllCores(name, seed, weeksOf(weeks, WHOLE), createProgress(campaign, weeks));
  tell(name, judged);
}

function liveShare({ name, seed, weeks, share, to }: Extract<Task, { do: "share" }>): void {
  const campaign = campaignOf(name);
  const mine = weeksOf(weeks, share);
  const progress = createProgress(campaign, mine.length);
  const judged: JudgedWeek[] = [];
  for (const week of mine) {
    const each = campaign.live(seed, week);
    judged.push(each);
    progress(each);
    // What has been lived is kept, however it ends.
    writeShare(to, { campaign: name, seed, weeks, share, judged });
  }
  print(`${mine.length} of ${weeks} weeks in ${to}; all shares together: npm run campaign -- --join FILES`);
}

function join(files: readonly string[]): void {
  const { campaign: name, judged, missing } = joinShares(files.map(readShare));
  const campaign = campaignOf(name);
  for (const failure of judged.flatMap((each) => campaign.failureOf(each) ?? [])) print(failure);
  tell(name, judged);
  if (missing.length === 0) return;
  print(`${missing.length} weeks are in no file: ${missing.slice(0, 20).join(", ")}`);
  process.exitCode = 1;
}

function tell(name: CampaignName, judged: readonly JudgedWeek[]): void {
  const campaign = campaignOf(name);
  for (const line of campaign.table(judged)) print(line);
  const cpuS = judged.reduce((sum, each) => sum + each.cpuS, 0);
  const failed = judged.filter((each) => campaign.failureOf(each) !== null);
  print(
    `\n${judged.length} weeks of ${name}, ${(cpuS / judged.length).toFixed(1)} s of one core each; ${failed.length} failed`,
  );
  const together = campaign.brokenTogether(judged);
  for (const line of together) print(line);
  if (failed.length > 0 || together.length > 0) process.exitCode = 1;
  else if (name === "faults" && process.env.UPDATE_PAGES !== undefined) {
    keepFigures(judged as readonly JudgedFaultWeek[]);
  }
}

const secondsSince = (began: bigint): number => Number((process.hrtime.bigint() - began) / 1_000_000n) / 1000;
const print = (text: string): void => void process.stdout.write(`${text}\n`);

try {
  await main();
} catch (error) {
  if (!(error instanceof Refused)) throw error;
  process.stderr.write(`${error.message}\n`);
  process.exitCode = 2;
}
