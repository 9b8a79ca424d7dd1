import type { Celsius, Days, Fraction, Quantity } from "../units/index.ts";
import { kelvinFromCelsius } from "../units/index.ts";
import type { MilligramsPerLitreO2 } from "./nitrification.ts";
import type { MilligramsPerLitreN } from "./nitrogen-basis.ts";

/** Bacteria as the oxygen demand of their cells. */
export type MilligramsPerLitreCod = Quantity<"mg/L COD">;

/** What the two kinds of nitrifying bacteria eat and what they have grown to, averaged over the water. */
export type NitrifyingWater = {
  readonly ammonia: MilligramsPerLitreN;
  readonly nitrite: MilligramsPerLitreN;
  readonly nitrate: MilligramsPerLitreN;
  readonly ammoniaOxidisers: MilligramsPerLitreCod;
  readonly nitriteOxidisers: MilligramsPerLitreCod;
};

export type NitrifyingConditions = {
  readonly t90C: Celsius;
  readonly oxygen: MilligramsPerLitreO2;
  /** Un-ionised share of the total ammonia, from ammonia-…ts; it holds the nitrite oxidisers back. */
  readonly unionised: Fraction;
};

/** One kind of bacteria: growth per day at 26 °C, half-saturations for food and oxygen [mg/L], yield [g COD per g N],
 *  decay per day, activation energy [kJ/mol]. */
type Kind = {
  readonly growth: number;
  readonly K: number;
  readonly KO: number;
  readonly Y: number;
  readonly b: number;
  readonly Ea: number;
};

/** Two-step nitrification: Monod kinetics with oxygen limitation, and inhibition of the second step by un-ionised
 *  ammonia. Structure and yields: Sin et al. 2008; E_a: Vannecke & Volcke 2015; K_I: Park & Bae 2009. Growth is set for
 *  sea water, a project's own calibration to the usual 12 to 45 days of a new tank (common practice), not to a paper. */
const AMMONIA_OXIDISERS: Kind = { growth: 0.7, K: 0.5, KO: 0.7, Y: 0.15, b: 0.06, Ea: 68 };
const NITRITE_OXIDISERS: Kind = { growth: 0.5, K: 0.5, KO: 1.0, Y: 0.05, b: 0.06, Ea: 44 };
const INHIBITION_MG_N_PER_L = 0.64;
const GAS_CONSTANT = 8.314462618e-3;
const CALIBRATED_K = 299.15;
const LONGEST_STEP_DAYS = 0.05;

/** What the keeper of a new tank starts from (common practice, calibrated as above). */
export const SEED = {
  nothing: { ammoniaOxidisers: 5e-4 as MilligramsPerLitreCod, nitriteOxidisers: 5e-5 as MilligramsPerLitreCod },
  liveRock: { ammoniaOxidisers: 0.01 as MilligramsPerLitreCod, nitriteOxidisers: 0.003 as MilligramsPerLitreCod },
  bottled: { ammoniaOxidisers: 0.1 as MilligramsPerLitreCod, nitriteOxidisers: 0.05 as MilligramsPerLitreCod },
} as const;

/** The water a span of time later, by one explicit step of the length given [days]; steps of up to 0.01 d agree with
 *  finer ones to 1 %, and are the caller's business. Amounts never fall below zero, and nitrogen is conserved.
 *  Valid 5…40 °C (from memory), O₂ and share 0 or more; outside, or not finite: null. */
export function nitrify(water: NitrifyingWater, conditions: NitrifyingConditions, span: Days): NitrifyingWater | null {
  if (!(conditions.t90C >= 5 && conditions.t90C <= 40) || !(span >= 0 && span <= LONGEST_STEP_DAYS)) return null;
  if (!(conditions.oxygen >= 0 && conditions.oxygen < Infinity)) return null;
  if (!(conditions.unionised >= 0 && conditions.unionised <= 1)) return null;
  if (!Object.values(water).every((amount) => amount >= 0 && amount < Infinity)) return null;
  const freeAmmonia = conditions.unionised * water.ammonia;
  const inhibition = 1 / (1 + freeAmmonia / INHIBITION_MG_N_PER_L);
  const first = rate(AMMONIA_OXIDISERS, water.ammoniaOxidisers, water.ammonia, conditions);
  const second = rate(NITRITE_OXIDISERS, water.nitriteOxidisers, water.nitrite, conditions) * inhibition;
  const toNitrite = Math.min(water.ammonia, first * span);
  const toNitrate = Math.min(water.nitrite + toNitrite, second * span);
  return {
    ammonia: (water.ammonia - toNitrite) as MilligramsPerLitreN,
    nitrite: (water.nitrite + toNitrite - toNitrate) as MilligramsPerLitreN,
    nitrate: (water.nitrate + toNitrate) as MilligramsPerLitreN,
    ammoniaOxidisers: grown(AMMONIA_OXIDISERS, water.ammoniaOxidisers, toNitrite, span),
    nitriteOxidisers: grown(NITRITE_OXIDISERS, water.nitriteOxidisers, toNitrate, span),
  };
}

/** r = (µ/Y) X · S/(K + S) · O/(K_O + O), warmed by Arrhenius from 26 °C [mg N per litre and day]. */
function rate(kind: Kind, X: number, S: number, { t90C, oxygen }: NitrifyingConditions): number {
  const warmth = Math.exp((kind.Ea / GAS_CONSTANT) * (1 / CALIBRATED_K - 1 / kelvinFromCelsius(t90C)));
  return ((kind.growth * warmth) / kind.Y) * X * (S / (kind.K + S)) * (oxygen / (kind.KO + oxygen));
}

const grown = ({ Y, b }: Kind, X: number, eaten: number, days: number): MilligramsPerLitreCod =>
  (X + Y * eaten - b * X * days) as MilligramsPerLitreCod;
