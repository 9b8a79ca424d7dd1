import { type Broken, type Life, loudAlarms, type Sample, sampleAt } from "../life.ts";
import { throttleBroken } from "./throttle-cost.ts";

/** Temperatures that a heater and a fan can reach in this room at all: those of the best hand on the same parts. */
export interface Reach {
  readonly lowestC: number;
  readonly highestC: number;
}

const SALINITY_WITHIN = 0.3;
const KELVIN_WITHIN = 0.5;
/** Where the best hand is beyond that, as far as it and no more than this. */
const BESIDE_BEST_K = 0.2;

export const ANYWHERE: Reach = { lowestC: Infinity, highestC: -Infinity };

/**
 * H1: a box in which nothing fails and somebody refills: no lock, no throttle, no alarm above low priority, salinity
 * within 0.3 of the start, temperature within 0.5 K of the setpoint wherever heater or fan can. `allows`: alarms that
 * are true of the weather.
 */
export const wholeBox = (life: Life, reach: Reach, allows: readonly string[] = []): readonly Broken[] =>
  upTo({ ...life, alarms: life.alarms.filter(({ id }) => !allows.includes(id)) }, reach, life.hours, "H1");

/**
 * H2: the same without a conductivity probe, for fourteen days from the eighth learned day on; after that it may be
 * throttled, and pays no more than throttling may cost.
 */
export const WITHOUT_PROBE_H = (7 + 14) * 24;

export function wholeBoxWithoutProbe(life: Life, reach: Reach): readonly Broken[] {
  const first = upTo(life, reach, Math.min(life.hours, WITHOUT_PROBE_H), "H2");
  if (life.hours <= WITHOUT_PROBE_H) return first;
  const locked = life.lockouts.filter(({ atH }) => atH > WITHOUT_PROBE_H).map((lock) => lockBroken("H2", lock));
  return [...first, ...locked, ...throttleBroken("H2", life, WITHOUT_PROBE_H, "learned")];
}

function upTo(life: Life, reach: Reach, untilH: number, promise: "H1" | "H2"): Broken[] {
  const start = sampleAt(life, 0);
  const samples = life.samples.filter(({ atH }) => atH <= untilH);
  const first = (is: (sample: Sample) => boolean, what: (sample: Sample) => string): Broken[] => {
    const found = samples.find(is);
    return found === undefined ? [] : [{ promise, atH: found.atH, what: what(found) }];
  };
  const lowestC = Math.min(life.setpointC - KELVIN_WITHIN, reach.lowestC - BESIDE_BEST_K);
  const highestC = Math.max(life.setpointC + KELVIN_WITHIN, reach.highestC + BESIDE_BEST_K);
  return [
    ...life.lockouts.filter(({ atH }) => atH <= untilH).map((lock) => lockBroken(promise, lock)),
    ...alarmsBroken(
      promise,
      loudAlarms(life).filter(({ raisedAtH }) => raisedAtH <= untilH),
    ),
    ...first(
      ({ throttledH }) => throttledH > 0,
      () => "throttled",
    ),
    ...first(
      ({ salinity }) => Math.abs(salinity - start.salinity) > SALINITY_WITHIN,
      ({ salinity }) => `salinity ${salinity.toFixed(2)}, ${start.salinity.toFixed(2)} at the start`,
    ),
    ...first(
      ({ celsius }) => celsius < lowestC || celsius > highestC,
      ({ celsius }) => `${celsius.toFixed(2)} °C, within ${lowestC.toFixed(2)} to ${highestC.toFixed(2)} is in reach`,
    ),
  ];
}

/** One line for each alarm, however often it came. */
function alarmsBroken(promise: "H1" | "H2", alarms: Life["alarms"]): Broken[] {
  return [...new Set(alarms.map(({ id }) => id))].map((wanted) => {
    const raised = alarms.filter(({ id }) => id === wanted);
    const [first] = raised;
    const times = raised.length === 1 ? "" : `, ${raised.length} times`;
    return { promise, atH: first?.raisedAtH ?? 0, what: `alarm ${wanted} (${first?.priority})${times}` };
  });
}

const lockBroken = (promise: "H1" | "H2", { reason, atH }: Life["lockouts"][number]): Broken => ({
  promise,
  atH,
  what: `locked: ${reason}`,
});
