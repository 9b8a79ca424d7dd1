import { type Broken, between, type Life, spanOf, WEEK_H } from "../life.ts";

/** How much wider than with a bare float and thermostat a span may be in any week. */
const SALINITY_MORE = 0.2;
const KELVIN_MORE = 0.3;

/**
 * H3: never worse than the bare float and thermostat on the same tank and seed, in every week; weeks that are throttled
 * because litres could not be explained any longer (H2) are left to that promise.
 */
export function besideBareParts(ours: Life, bare: Life, throttledIsAllowedFromH = Infinity): readonly Broken[] {
  const weeks = Math.ceil(ours.hours / WEEK_H);
  return Array.from({ length: weeks }, (_, week) => week * WEEK_H).flatMap((fromH) => {
    const untilH = Math.min(ours.hours, fromH + WEEK_H);
    const own = between(ours, fromH, untilH);
    if (untilH > throttledIsAllowedFromH && own.some(({ throttledH }) => throttledH > 0)) return [];
    const theirs = between(bare, fromH, untilH);
    return (["salinity", "celsius"] as const).flatMap((of): Broken[] => {
      const [width, bareWidth] = [spanOf(own, of).width, spanOf(theirs, of).width];
      const more = of === "salinity" ? SALINITY_MORE : KELVIN_MORE;
      if (width <= bareWidth + more) return [];
      const what = `${of === "salinity" ? "salinity" : "temperature"} over ${width.toFixed(2)} in the week from ${fromH} h, bare parts ${bareWidth.toFixed(2)}`;
      return [{ promise: "H3", atH: fromH, what }];
    });
  });
}
