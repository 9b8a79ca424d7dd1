import type { Campaign, CampaignName, JudgedWeek } from "./campaign.ts";
import { FAULT_CAMPAIGN } from "./faults/campaign.ts";
import { HEALTHY_CAMPAIGN } from "./healthy/campaign.ts";

const CAMPAIGNS = { faults: FAULT_CAMPAIGN, healthy: HEALTHY_CAMPAIGN } as const;

/** Each campaign is handed only weeks that it judged itself. */
export const campaignOf = (name: CampaignName): Campaign<JudgedWeek> =>
  CAMPAIGNS[name] as unknown as Campaign<JudgedWeek>;
