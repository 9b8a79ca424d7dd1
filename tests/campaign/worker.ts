import { parentPort } from "node:worker_threads";
import type { CampaignName } from "./campaign.ts";
import { campaignOf } from "./list.ts";

/** Lives one week after another in a thread of its own. */
parentPort?.on("message", ([name, seed, week]: [CampaignName, number, number]) => {
  parentPort?.postMessage(campaignOf(name).live(seed, week));
});
