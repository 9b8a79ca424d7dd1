import { readFileSync, writeFileSync } from "node:fs";
import { z } from "zod";
import { CAMPAIGN_NAMES, type JudgedWeek } from "./campaign.ts";
import { Refused } from "./refused.ts";

/** One process's part of a campaign: the third of eight lives every eighth week, so that all are equally heavy. */
export interface Share {
  readonly place: number;
  readonly of: number;
}

export const WHOLE: Share = { place: 1, of: 1 };
/** More processes than anybody has. */
const MOST = 1000;

/** `3/8`; null = no share. */
export function shareFrom(written: string): Share | null {
  const found = /^(\d+)\/(\d+)$/.exec(written);
  const [place, of] = [Number(found?.[1]), Number(found?.[2])];
  return place >= 1 && place <= of && of <= MOST ? { place, of } : null;
}

export const weeksOf = (weeks: number, { place, of }: Share): readonly number[] =>
  Array.from({ length: weeks }, (_, week) => week).filter((week) => week % of === place - 1);

const whole = (least: number) => z.number().int().min(least);
const fileSchema = z.strictObject({
  campaign: z.enum(CAMPAIGN_NAMES),
  seed: whole(0),
  weeks: whole(1),
  share: z.strictObject({ place: whole(1), of: whole(1) }),
  judged: z.array(
    z.looseObject({ week: whole(0), campaignSeed: whole(0), digest: z.string(), cpuS: z.number().min(0) }),
  ),
});
export type ShareFile = z.infer<typeof fileSchema>;

export const writeShare = (path: string, share: Omit<ShareFile, "judged"> & { judged: readonly JudgedWeek[] }): void =>
  writeFileSync(path, `${JSON.stringify(share)}\n`);

export function readShare(path: string): ShareFile {
  let raw: unknown;
  try {
    raw = JSON.parse(readFileSync(path, "utf8"));
  } catch (error) {
    throw new Refused(`${path} cannot be read: ${(error as Error).message}`);
  }
  const { data, error } = fileSchema.safeParse(raw);
  if (data !== undefined) return data;
  const [issue] = error.issues;
  throw new Refused(`${path} is no share of a campaign: ${issue?.path.join(".")}: ${issue?.message}`);
}

export interface Joined extends Omit<ShareFile, "share"> {
  /** Weeks that no share has lived. */
  readonly missing: readonly number[];
}

/** All weeks of several shares in their order. They must be shares of one campaign, and no week may be there twice. */
export function joinShares(shares: readonly ShareFile[]): Joined {
  const [first] = shares;
  if (first === undefined) throw new Refused("there is nothing to join");
  const { campaign, seed, weeks } = first;
  const other = shares.find((each) => each.campaign !== campaign || each.seed !== seed || each.weeks !== weeks);
  if (other !== undefined) throw new Refused(`${inWords(first)} and ${inWords(other)} are not one campaign`);
  const judged = shares.flatMap((share) => share.judged).sort((a, b) => a.week - b.week);
  const twice = judged.find(({ week }, place) => judged[place - 1]?.week === week);
  if (twice !== undefined) throw new Refused(`week ${twice.week} is there twice`);
  const lived = new Set(judged.map(({ week }) => week));
  const missing = weeksOf(weeks, WHOLE).filter((week) => !lived.has(week));
  return { campaign, seed, weeks, judged, missing };
}

const inWords = ({ campaign, seed, weeks }: ShareFile): string => `${weeks} weeks of ${campaign} with seed ${seed}`;
