import type { Celsius, Kilopascals, LitresPerHour } from "../units/index.ts";
import { KILOPASCALS_PER_PSI, litresPerHour } from "../units/index.ts";
import { isAmount, isPositive } from "./amount.ts";
import { temperatureCorrection } from "./membrane-temperature.ts";
import type { MilligramsPerLitreTds } from "./tds.ts";

/** What a membrane's maker measured: its flow, at 25 °C, at this pressure and dissolved content of the test water. */
export type MembraneRating = {
  readonly flow: LitresPerHour;
  readonly pressure: Kilopascals;
  readonly tds: MilligramsPerLitreTds;
};

/** How the membrane is run. The pressure behind it, in the product line, counts against it. */
export type MembraneDuty = {
  readonly feed: Kilopascals;
  readonly back: Kilopascals;
  readonly tds: MilligramsPerLitreTds;
  readonly t90C: Celsius;
};

/** Product flow [L/h] of a reverse osmosis membrane: Q = Q_rated (NDP / NDP_rated) / TCF, where the net driving
 *  pressure NDP = feed − back − osmotic. Source: membrane makers' design guides. No net pressure: 0; out of range or
 *  not finite: null. Check: 75 US gal/d (11.8 L/h) is 6.9 L/h at 10 °C and the rated pressure. */
export function membraneFlow(rating: MembraneRating, duty: MembraneDuty): LitresPerHour | null {
  const tcf = temperatureCorrection(duty.t90C);
  const rated = rating.pressure - osmoticPressure(rating.tds);
  const net = duty.feed - duty.back - osmoticPressure(duty.tds);
  if (tcf === null || !isPositive(rating.flow) || !isPositive(rated) || !(rating.tds >= 0)) return null;
  if (!isAmount(duty.feed) || !isAmount(duty.back) || !isAmount(duty.tds)) return null;
  return litresPerHour((rating.flow * Math.max(0, net / rated)) / tcf);
}

/** Osmotic pressure [kPa] by the makers' rule of thumb: one psi for every 100 mg/L. Common practice. */
export const osmoticPressure = (tds: MilligramsPerLitreTds): Kilopascals =>
  ((tds / 100) * KILOPASCALS_PER_PSI) as Kilopascals;
