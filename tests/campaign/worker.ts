import { parentPort } from "node:worker_threads";
import { liveWeek } from "./judge.ts";

/** Lives one week after another in a thread of its own. */
parentPort?.on("message", ([campaignSeed, week]: [number, number]) => {
  parentPort?.postMessage(liveWeek(campaignSeed, week).judged);
});
