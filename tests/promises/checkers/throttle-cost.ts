import { type Broken, type Life, type PromiseId, riseOf, sampleAt } from "../life.ts";

/** Of the rise that evaporation alone would bring, what throttling may let come: once its rate is learned, and before. */
const SHARE = { learned: 0.45, "not-learned": 0.65 } as const;
/** A pour of its size, and the swing between low and full. */
const SPARE = 0.1;

/** Salinity beyond which more was lost than throttling may cost from this hour on. */
export function throttleBroken(
  promise: PromiseId,
  life: Life,
  fromH: number,
  rate: keyof typeof SHARE,
): readonly Broken[] {
  const from = sampleAt(life, fromH);
  const found = life.samples.find(
    (sample) =>
      sample.atH > fromH && sample.salinity - from.salinity > SHARE[rate] * riseOf(life, from, sample) + SPARE,
  );
  if (found === undefined) return [];
  const paid = (found.salinity - from.salinity).toFixed(2);
  const may = (SHARE[rate] * riseOf(life, from, found)).toFixed(2);
  return [{ promise, atH: found.atH, what: `salinity ${paid} higher since ${fromH} h, throttling may cost ${may}` }];
}
