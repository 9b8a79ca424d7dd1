import { parseArgs } from "node:util";
import { type CampaignName, FIXED_SEED } from "./campaign.ts";
import { weeksOfCampaign } from "./list.ts";
import { Refused } from "./refused.ts";
import { type Share, shareFrom } from "./shares.ts";

export const USAGE = `campaign [KIND] [--weeks N] [--seed S]                          on all cores
campaign [KIND] [--weeks N] [--seed S] --share 3/8 [--to file]   in this process alone
campaign --join file …                                           one table of many shares
campaign [KIND] --week K --seed S [--write file]                 one week again
KIND: left out, weeks in which something fails; --healthy, weeks in which nothing does; --scenarios, the scenarios of
boxes that should be left alone`;

/** What was asked for. */
export type Task =
  | { readonly do: "live"; readonly name: CampaignName; readonly weeks: number; readonly seed: number }
  | {
      readonly do: "share";
      readonly name: CampaignName;
      readonly weeks: number;
      readonly seed: number;
      readonly share: Share;
      readonly to: string;
    }
  | { readonly do: "join"; readonly files: readonly string[] }
  | {
      readonly do: "replay";
      readonly name: CampaignName;
      readonly seed: number;
      readonly week: number;
      readonly write: string | undefined;
    };

const OPTIONS = {
  healthy: { type: "boolean", default: false },
  scenarios: { type: "boolean", default: false },
  weeks: { type: "string" },
  seed: { type: "string" },
  week: { type: "string" },
  write: { type: "string" },
  share: { type: "string" },
  to: { type: "string" },
  join: { type: "boolean", default: false },
} as const;

/** Throws with the usage on what makes no sense. */
export function taskFrom(words: readonly string[]): Task {
  const { values, positionals } = parsed(words);
  if (values.join) {
    if (positionals.length === 0) throw wrong("--join needs the files of the shares");
    return { do: "join", files: positionals };
  }
  if (positionals.length > 0) throw wrong(`what is ${positionals[0]}?`);
  if (values.healthy && values.scenarios) throw wrong("--healthy or --scenarios, not both");
  const name = values.scenarios ? "scenarios" : values.healthy ? "healthy" : "faults";
  const weeks = wholeNumber("weeks", values.weeks, 1) ?? weeksOfCampaign(name);
  const seed = wholeNumber("seed", values.seed, 0) ?? FIXED_SEED;
  const week = wholeNumber("week", values.week, 0);
  if (week !== undefined) return { do: "replay", name, seed, week, write: values.write };
  if (values.share === undefined) return { do: "live", name, weeks, seed };
  const share = shareFrom(values.share);
  if (share === null) throw wrong(`--share wants something like 3/8, not ${values.share}`);
  const to = values.to ?? `campaign-${name}-seed-${seed}-weeks-${weeks}-share-${share.place}-of-${share.of}.json`;
  return { do: "share", name, weeks, seed, share, to };
}

function parsed(words: readonly string[]) {
  try {
    return parseArgs({ args: [...words], options: OPTIONS, allowPositionals: true });
  } catch (error) {
    throw wrong((error as Error).message);
  }
}

function wholeNumber(option: string, written: string | undefined, least: number): number | undefined {
  if (written === undefined) return undefined;
  const value = Number(written);
  if (/^\d+$/.test(written) && Number.isSafeInteger(value) && value >= least) return value;
  throw wrong(`--${option} wants a whole number from ${least}, not ${written}`);
}

const wrong = (why: string): Refused => new Refused(`${why}\n${USAGE}`);
