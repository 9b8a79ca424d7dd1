import type {
  Celsius,
  Days,
  Decibars,
  Doubt,
  Kelvin,
  MillisiemensPerCm,
  Percent,
  PracticalSalinity,
} from "../units/index.ts";
import { celsius, decibars, standardUncertainty } from "../units/index.ts";
import { practicalSalinity } from "./practical-salinity.ts";
import { temperatureInRange } from "./range.ts";

/** Everything that a salinity from a conductivity probe may be wrong by, each a half-width or k = 1. */
export type SalinityDoubts = {
  readonly conductivityMsPerCm: MillisiemensPerCm;
  readonly t90C: Celsius;
  readonly pDbar?: Decibars;
  /** Of the calibration standard and of setting the cell to it, in percent of the conductivity. */
  readonly cellConstant: Doubt<Percent>;
  /** Of the water's temperature in use. */
  readonly temperature: Doubt<Kelvin>;
  /** Of the standard's temperature while calibrating; left out, the same as in use. */
  readonly temperatureAtCalibration?: Doubt<Kelvin>;
  readonly noise: Doubt<MillisiemensPerCm>;
  /** Fouling and ageing, in percent of the conductivity for every 30 days since the calibration. */
  readonly driftPer30Days: Doubt<Percent>;
  readonly sinceCalibration: Days;
  /** Of a synthetic salt against standard sea water. */
  readonly composition: Doubt<PracticalSalinity>;
};

/** What each source contributes to the salinity, as k = 1. */
export type SalinityUncertaintyParts = {
  readonly cellConstant: number;
  readonly temperature: number;
  readonly temperatureAtCalibration: number;
  readonly noise: number;
  readonly drift: number;
  readonly composition: number;
};

export type SalinityUncertainty = {
  readonly expanded: PracticalSalinity;
  readonly k: 2;
  readonly parts: SalinityUncertaintyParts;
};

/** Expanded uncertainty (k = 2, about 95 %) of a practical salinity, and what each source contributes (k = 1).
 *  Independent sources in quadrature, through the slopes of PSS-78 at this very water.
 *  Source: JCGM 100:2008 (GUM), 5.1.2. Range as practicalSalinity; any doubt negative or not finite: null.
 *  Check: an ordinary probe (1 % standard, 0.5 K twice, 1 % drift in a month, 0.15 composition, 0.05 noise) has
 *  U = 0.95 at SP 35 and 25 °C (common practice). */
export function salinityUncertainty(doubts: SalinityDoubts): SalinityUncertainty | null {
  const { perMsPerCm, perKelvin } = slopesAt(doubts.conductivityMsPerCm, doubts.t90C, doubts.pDbar ?? decibars(0));
  const perPercent = (doubts.conductivityMsPerCm / 100) * perMsPerCm;
  const calibration = doubts.temperatureAtCalibration ?? doubts.temperature;
  const parts: SalinityUncertaintyParts = {
    cellConstant: perPercent * standardUncertainty(doubts.cellConstant),
    temperature: perKelvin * standardUncertainty(doubts.temperature),
    // A standard whose temperature was misread sets the cell wrong by sea water's change of conductivity with it.
    temperatureAtCalibration: perKelvin * standardUncertainty(calibration),
    noise: perMsPerCm * standardUncertainty(doubts.noise),
    drift: ((perPercent * doubts.sinceCalibration) / 30) * standardUncertainty(doubts.driftPer30Days),
    composition: standardUncertainty(doubts.composition),
  };
  const all = Object.values(parts);
  if (!all.every((part) => part >= 0)) return null;
  const expanded = 2 * Math.hypot(...all);
  return expanded < Infinity ? { expanded: expanded as PracticalSalinity, k: 2, parts } : null;
}

const STEP_KELVIN = 0.01;
const STEP_SHARE = 1e-4;

/** |∂SP/∂C| and |∂SP/∂t|, by differences taken towards the inside of the range; NaN where there is no salinity. */
function slopesAt(C: MillisiemensPerCm, t90C: Celsius, p: Decibars): { perMsPerCm: number; perKelvin: number } {
  const stepC = temperatureInRange(t90C - STEP_KELVIN) ? -STEP_KELVIN : STEP_KELVIN;
  const here = practicalSalinity(C, t90C, p) ?? Number.NaN;
  const less = practicalSalinity((C * (1 - STEP_SHARE)) as MillisiemensPerCm, t90C, p) ?? Number.NaN;
  const aside = practicalSalinity(C, celsius(t90C + stepC), p) ?? Number.NaN;
  return { perMsPerCm: (here - less) / (C * STEP_SHARE), perKelvin: Math.abs((aside - here) / stepC) };
}
