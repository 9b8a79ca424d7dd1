import type { Doubtful, Forecast } from "../../shared/contract/ledger.ts";

/** When something will be, with the earliest and latest that the doubt allows (k = 2). Pure arithmetic of lines. */

/** Time until a value that moves along a line leaves its band, in the unit of the rate; null = it stands still. */
export function untilBandIsLeft(now: Doubtful, rate: Doubtful, band: readonly [number, number]): Forecast | null {
  const [low, high] = band;
  if (Math.abs(rate.value) <= rate.uncertainty / 2) return null;
  const towards = rate.value > 0 ? 1 : -1;
  const edge = towards > 0 ? high : low;
  const way = towards * (edge - now.value);
  const speed = Math.abs(rate.value);
  const slowest = speed - rate.uncertainty;
  return {
    expected: Math.max(0, way) / speed,
    earliest: Math.max(0, way - now.uncertainty) / (speed + rate.uncertainty),
    latest: slowest <= 0 ? null : Math.max(0, way + now.uncertainty) / slowest,
  };
}

/** Days that an amount lasts at a rate. */
export function daysLeft(litres: Doubtful, perDay: Doubtful): Forecast | null {
  if (perDay.value <= 0) return null;
  const slowest = perDay.value - perDay.uncertainty;
  return {
    expected: litres.value / perDay.value,
    earliest: Math.max(0, litres.value - litres.uncertainty) / (perDay.value + perDay.uncertainty),
    latest: slowest <= 0 ? null : (litres.value + litres.uncertainty) / slowest,
  };
}
