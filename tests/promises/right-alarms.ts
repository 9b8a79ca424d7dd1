/** Which way things go wrong: what the water, the parts and people can suffer, and an alarm can tell of. */
export const DRIFTS = ["fresh", "salty", "cold", "hot"] as const;
export type Drift = (typeof DRIFTS)[number];
export type Told = Drift | "floor" | "level" | "pump-dry" | "heater-dry";

/** Something stands in the way of fresh water, or shows that it is missing. */
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
];

const SALTIER = ["salinity-high", "salinity-very-high", "salinity-rising-fast"];
const FRESHER = ["salinity-low", "salinity-very-low", "salinity-falling-fast", "salinity-falls-unexplained"];

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
];

/** Water runs that should not, or is somewhere where it should not be. */
const UNORDERED = ["water-not-ordered", "water-over-high-mark", "floor-wet", "top-off-locked", "top-off-not-answered"];

/**
 * The right alarms for each: what one says is true of it or of what causes it, and sends a person to the right part. An
 * alarm that speaks of something else has told nobody.
 */
export const RIGHT_ALARMS: Readonly<Record<Told, readonly string[]>> = {
  salty: [...SALTIER, ...NO_TOP_OFF],
  fresh: [...FRESHER, ...UNORDERED, "excess-litres-rising", "daily-budget-used", "float-failed"],
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
  floor: UNORDERED,
  level: [...NO_TOP_OFF, ...FRESHER],
  "pump-dry": ["reservoir-empty", "reservoir-low", "top-off-not-answered", "top-off-locked", "float-failed"],
  "heater-dry": ["heater-no-effect", "heat-withheld", "heat-locked", "water-under-low-mark", "temperature-low"],
};

/** What cleared a day ago speaks of something else. */
const STILL_TELLS_H = 24;

export interface ToldAlarm {
  readonly id: string;
  readonly raisedAtH: number;
  readonly clearedAtH: number | null;
}

/** When a right alarm was first raised in this span that still told at its end; null = nobody was told. */
export function toldAtH(alarms: readonly ToldAlarm[], of: Told, fromH: number, untilH: number): number | null {
  const telling = alarms.filter(
    ({ id, raisedAtH, clearedAtH }) =>
      RIGHT_ALARMS[of].includes(id) &&
      raisedAtH >= fromH &&
      raisedAtH <= untilH &&
      (clearedAtH === null || clearedAtH >= untilH - STILL_TELLS_H),
  );
  return telling.length === 0 ? null : Math.min(...telling.map(({ raisedAtH }) => raisedAtH));
}
