import { parentPort } from "node:worker_threads";
import { judgeFortnight } from "./ledger-judge.ts";

/** Lives one fortnight after another in a thread of its own. */
parentPort?.on("message", (seed: number) => {
  parentPort?.postMessage(judgeFortnight(seed));
});
