import type { SensorPlace } from "../../../controller/rehearsal/healthy/holds.ts";
import { type Broken, type Life, riseOf, sampleAt } from "../life.ts";
import { throttleBroken } from "./throttle-cost.ts";

export interface FailedSensor {
  readonly place: SensorPlace;
  readonly atH: number;
  /** Alarms that speak of it. */
  readonly tells: readonly string[];
}

const TOLD_WITHIN_H = 1;
/** "Changes nothing": what two runs of the same box differ by, a pour and a spell of heat. */
const SAME_SALINITY = 0.1;
const SAME_K = 0.35;
const KELVIN_PER_DAY = 0.5;
const TOLD_BEFORE = 0.5;
const SPARE = 0.1;

/**
 * H6: one failed sensor of a pair or three changes nothing in the water; any other costs what throttling costs and 0.5 K
 * a day at most; each is told within the hour. Of those that stop everything: told before 0.5, and evaporation is the cost.
 */
export function oneSensor(failed: Life, whole: Life, sensor: FailedSensor): readonly Broken[] {
  const { place, atH } = sensor;
  const told = failed.alarms.find(({ id, raisedAtH }) => raisedAtH >= atH && sensor.tells.includes(id))?.raisedAtH;
  switch (place) {
    case "spare":
      return [...lateBroken(told, atH), ...changeBroken(failed, whole, atH)];
    case "alone":
      return [
        ...lateBroken(told, atH),
        ...throttleBroken("H6", failed, atH, "not-learned"),
        ...coolingBroken(failed, whole, atH),
      ];
    case "stops":
      return [...lateToldBroken(failed, told, atH), ...evaporationBroken(failed, atH)];
  }
}

const lateBroken = (told: number | undefined, atH: number): Broken[] =>
  told !== undefined && told - atH <= TOLD_WITHIN_H
    ? []
    : [{ promise: "H6", atH, what: told === undefined ? "never told" : `told after ${(told - atH).toFixed(1)} h` }];

function changeBroken(failed: Life, whole: Life, fromH: number): Broken[] {
  for (const sample of failed.samples) {
    if (sample.atH < fromH) continue;
    const beside = sampleAt(whole, sample.atH);
    const salinity = Math.abs(sample.salinity - beside.salinity);
    const kelvin = Math.abs(sample.celsius - beside.celsius);
    if (salinity > SAME_SALINITY || kelvin > SAME_K) {
      const what = `differs by ${salinity.toFixed(2)} in salinity and ${kelvin.toFixed(2)} K from the whole box`;
      return [{ promise: "H6", atH: sample.atH, what }];
    }
  }
  return [];
}

function coolingBroken(failed: Life, whole: Life, fromH: number): Broken[] {
  for (const sample of failed.samples) {
    if (sample.atH < fromH) continue;
    const kelvin = Math.abs(sample.celsius - sampleAt(whole, sample.atH).celsius);
    const may = SAME_K + (KELVIN_PER_DAY * (sample.atH - fromH)) / 24;
    if (kelvin > may) {
      return [
        {
          promise: "H6",
          atH: sample.atH,
          what: `${kelvin.toFixed(2)} K from the whole box, ${may.toFixed(2)} at most`,
        },
      ];
    }
  }
  return [];
}

/** Told before the water has moved by 0.5; where it never does, within the life. */
function lateToldBroken(failed: Life, told: number | undefined, fromH: number): Broken[] {
  const before = sampleAt(failed, fromH);
  const moved = failed.samples.find(
    ({ atH, salinity }) => atH >= fromH && Math.abs(salinity - before.salinity) >= TOLD_BEFORE,
  );
  if (moved === undefined || (told !== undefined && told <= moved.atH)) return [];
  return [{ promise: "H6", atH: moved.atH, what: `salinity moved by ${TOLD_BEFORE} and nobody was told` }];
}

function evaporationBroken(failed: Life, fromH: number): Broken[] {
  const from = sampleAt(failed, fromH);
  const found = failed.samples.find(
    (sample) => sample.atH >= fromH && Math.abs(sample.salinity - from.salinity) > riseOf(failed, from, sample) + SPARE,
  );
  if (found === undefined) return [];
  const what = `salinity moved by ${(found.salinity - from.salinity).toFixed(2)}, evaporation alone makes ${riseOf(failed, from, found).toFixed(2)}`;
  return [{ promise: "H6", atH: found.atH, what }];
}
