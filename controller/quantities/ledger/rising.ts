import type { Hour } from "./memory.ts";

/** A litre of sea water in 140 litres makes 0.25 of salinity; an hour's mean is good to 0.03, a day's drift to 0.02. */
const LEAST_POURED_L = 1;
const HOURS_MEANT = 3;

/**
 * How far salinity at full mark has risen over the last litre that was poured, by means of three hours at both ends.
 * Fresh water only makes good what evaporated, so what rises with it came out of the reservoir. Null = less than a
 * litre was poured in the hours that are known, or nothing trustworthy was read at one of the ends.
 */
export function risenOverPours(hours: readonly Hour[]): number | null {
  const last = hours[hours.length - 1];
  if (last === undefined) return null;
  const begin = hours.findLastIndex((hour) => last.pouredL - hour.pouredL >= LEAST_POURED_L);
  if (begin < 0) return null;
  const before = meanOf(hours.slice(Math.max(0, begin - HOURS_MEANT + 1), begin + 1));
  const after = meanOf(hours.slice(-HOURS_MEANT));
  return before === null || after === null ? null : after - before;
}

function meanOf(hours: readonly Hour[]): number | null {
  const known = hours.flatMap(({ salinity }) => (salinity === null ? [] : [salinity]));
  return known.length === 0 ? null : known.reduce((sum, each) => sum + each, 0) / known.length;
}
