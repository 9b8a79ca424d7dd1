import { type Broken, type Life, sampleAt } from "../life.ts";
import { throttleBroken } from "./throttle-cost.ts";

const COST = 0.3;

/**
 * H4: what somebody forgot, mistyped or left unanswered, a restart, a lost copy of the memory: it costs at most 0.3 of
 * salinity before it is told twice, and what throttling costs after that.
 */
export function mishap(life: Life, mishapAtH: number): readonly Broken[] {
  const before = sampleAt(life, mishapAtH);
  const toldTwiceH = life.alarms.filter(({ raisedAtH }) => raisedAtH >= mishapAtH)[1]?.raisedAtH ?? Infinity;
  const found = life.samples.find(
    ({ atH, salinity }) => atH > mishapAtH && atH <= toldTwiceH && Math.abs(salinity - before.salinity) > COST,
  );
  if (found !== undefined) {
    const cost = Math.abs(found.salinity - before.salinity).toFixed(2);
    const told = toldTwiceH === Infinity ? "told less than twice" : `told twice at ${toldTwiceH.toFixed(1)} h`;
    return [{ promise: "H4", atH: found.atH, what: `cost ${cost} of salinity, ${told}` }];
  }
  return toldTwiceH === Infinity ? [] : throttleBroken("H4", life, toldTwiceH, "not-learned");
}
