import { type Campaign, type CampaignName, FIXED_WEEKS, type JudgedWeek } from "./campaign.ts";
import { FAULT_CAMPAIGN } from "./faults/campaign.ts";
import { HEALTHY_CAMPAIGN } from "./healthy/campaign.ts";
import { SCENARIO_CAMPAIGN, SCENARIO_ROWS } from "./scenarios/campaign.ts";

const CAMPAIGNS = { faults: FAULT_CAMPAIGN, healthy: HEALTHY_CAMPAIGN, scenarios: SCENARIO_CAMPAIGN } as const;

/** Each campaign is handed only weeks that it judged itself. */
export const campaignOf = (name: CampaignName): Campaign<JudgedWeek> =>
  CAMPAIGNS[name] as unknown as Campaign<JudgedWeek>;

/** How many weeks are lived where nothing is said of it; of the scenarios all that there are. */
export const weeksOfCampaign = (name: CampaignName): number =>
  name === "scenarios" ? SCENARIO_ROWS.length : FIXED_WEEKS[name];
