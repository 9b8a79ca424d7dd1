import { availableParallelism } from "node:os";
import { Worker } from "node:worker_threads";
import type { JudgedWeek } from "./judge.ts";

/** More room for the young: a week makes much that is forgotten in the next second. */
const YOUNG_MB = 64;

/** Weeks of one campaign on all cores; the result does not depend on who lived which. */
export async function runCampaign(
  weeks: number,
  campaignSeed: number,
  onJudged: (judged: JudgedWeek) => void = () => undefined,
): Promise<readonly JudgedWeek[]> {
  const judged: JudgedWeek[] = [];
  let nextWeek = 0;
  const live = () =>
    new Promise<void>((resolve, reject) => {
      const resourceLimits = { maxYoungGenerationSizeMb: YOUNG_MB };
      const worker = new Worker(new URL("./worker.ts", import.meta.url), { resourceLimits });
      const next = () => {
        if (nextWeek >= weeks) void worker.terminate().then(() => resolve());
        else worker.postMessage([campaignSeed, nextWeek++]);
      };
      worker.on("error", reject);
      worker.on("message", (each: JudgedWeek) => {
        judged.push(each);
        onJudged(each);
        next();
      });
      next();
    });
  await Promise.all(Array.from({ length: Math.min(weeks, availableParallelism()) }, live));
  return judged.sort((a, b) => a.week - b.week);
}
