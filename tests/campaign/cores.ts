import { availableParallelism } from "node:os";
import { Worker } from "node:worker_threads";
import type { CampaignName, JudgedWeek } from "./campaign.ts";

/** More room for the young: a week makes much that is forgotten in the next second. */
const YOUNG_MB = 64;

/** Weeks of one campaign on all cores; the result does not depend on who lived which. */
export async function liveOnAllCores<Judged extends JudgedWeek>(
  name: CampaignName,
  seed: number,
  weeks: readonly number[],
  onJudged: (judged: Judged) => void = () => undefined,
): Promise<readonly Judged[]> {
  const judged: Judged[] = [];
  const waiting = [...weeks];
  const live = () =>
    new Promise<void>((resolve, reject) => {
      const resourceLimits = { maxYoungGenerationSizeMb: YOUNG_MB };
      const worker = new Worker(new URL("./worker.ts", import.meta.url), { resourceLimits });
      const next = () => {
        const week = waiting.shift();
        if (week === undefined) void worker.terminate().then(() => resolve());
        else worker.postMessage([name, seed, week]);
      };
      worker.on("error", reject);
      worker.on("message", (each: Judged) => {
        judged.push(each);
        onJudged(each);
        next();
      });
      next();
    });
  await Promise.all(Array.from({ length: Math.min(weeks.length, availableParallelism()) }, live));
  return judged.sort((a, b) => a.week - b.week);
}
