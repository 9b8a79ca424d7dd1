/** Which way water goes wrong. */
export const DRIFTS = ["fresh", "salty", "cold", "hot"] as const;
export type Drift = (typeof DRIFTS)[number];

/** The tank grows saltier for want of fresh water: all that stands in its way, or shows that it is missing. */
const NO_TOP_OFF = [
  "top-off-locked",
  "top-off-withheld",
  "top-off-not-answered",
  "daily-budget-used",
  "reservoir-empty",
  "reservoir-not-fresh",
  "hold-question",
  "float-failed",
  "float-chattering",
  "water-under-low-mark",
  "water-over-high-mark",
  "water-not-ordered",
  "floor-wet",
  "return-pump-stopped",
  "return-sensor-suspect",
  "mains-lost",
  "board-silent",
  "disk-failed",
  "proofs-fallen",
  "excess-litres-rising",
] as const;

const NO_HEAT = [
  "heat-withheld",
  "heat-locked",
  "heat-locked-and-cold",
  "heater-no-effect",
  "heater-too-weak",
  "thermometers-disagree",
  "thermometer-failed",
  "temperature-unknown",
  "return-pump-stopped",
  "return-sensor-suspect",
  "water-under-low-mark",
  "mains-lost",
  "board-silent",
] as const;

/**
 * The right alarm for each drift: what it says is true of this drift or of what causes it, and sends a person to the
 * right part. An alarm that speaks of something else has told nobody.
 */
export const RIGHT_ALARMS: Readonly<Record<Drift, readonly string[]>> = {
  salty: ["salinity-high", "salinity-very-high", "salinity-rising-fast", ...NO_TOP_OFF],
  fresh: [
    "salinity-low",
    "salinity-very-low",
    "salinity-falling-fast",
    "salinity-falls-unexplained",
    "excess-litres-rising",
    "top-off-locked",
    "top-off-not-answered",
    "water-not-ordered",
    "water-over-high-mark",
    "floor-wet",
    "daily-budget-used",
    "float-failed",
  ],
  cold: ["temperature-low", "temperature-very-low", ...NO_HEAT],
  hot: [
    "temperature-high",
    "temperature-very-high",
    "heating-while-off",
    "heat-locked",
    "thermometers-disagree",
    "thermometer-failed",
    "temperature-unknown",
    "return-pump-stopped",
    "return-sensor-suspect",
  ],
};

/** When a right alarm was first raised before this hour and still tells: what cleared a day ago speaks of something else. */
const STILL_TELLS_H = 24;

export interface ToldAlarm {
  readonly id: string;
  readonly raisedAtH: number;
  readonly clearedAtH: number | null;
}

export function toldAtH(alarms: readonly ToldAlarm[], drift: Drift, fromH: number, untilH: number): number | null {
  const telling = alarms.filter(
    ({ id, raisedAtH, clearedAtH }) =>
      RIGHT_ALARMS[drift].includes(id) &&
      raisedAtH >= fromH &&
      raisedAtH <= untilH &&
      (clearedAtH === null || clearedAtH >= untilH - STILL_TELLS_H),
  );
  return telling.length === 0 ? null : Math.min(...telling.map(({ raisedAtH }) => raisedAtH));
}
