/** A campaign: seeded weeks on the simulated tank, each judged by itself, all of them told in one table. */
export interface Campaign<Judged extends JudgedWeek> {
  readonly name: CampaignName;
  /** Needs nothing but the campaign's seed and the number of the week. */
  live(seed: number, week: number): Judged;
  /** What a week broke, in words with the command that lives it again; null = nothing. */
  failureOf(judged: Judged): string | null;
  /** What only all weeks together can break. */
  brokenTogether(judged: readonly Judged[]): readonly string[];
  table(judged: readonly Judged[]): readonly string[];
  /** Lives one week again and tells all of it; `write`: a file for its scenario. */
  replay(seed: number, week: number, write: string | undefined): readonly string[];
}

/** What every campaign knows of a week; the rest is its own, and plain enough for a file. */
export interface JudgedWeek {
  readonly week: number;
  readonly campaignSeed: number;
  /** Of the whole report, so that a replay can be held against it. */
  readonly digest: string;
  /** Processor time that it took. */
  readonly cpuS: number;
}

export const CAMPAIGN_NAMES = ["faults", "healthy", "scenarios"] as const;
export type CampaignName = (typeof CAMPAIGN_NAMES)[number];

/** The weeks that the tests live, the same on every commit. Others are lived by command. */
export const FIXED_SEED = 1;
export const FIXED_WEEKS = { faults: 24, healthy: 12 } as const;
