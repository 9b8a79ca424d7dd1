import type { Ohms } from "./electrical.ts";
import type { Celsius, Kelvin } from "./temperature.ts";
import { celsius, celsiusFromKelvin, kelvin, kelvinFromCelsius } from "./temperature.ts";

/** The three coefficients of a Steinhart–Hart curve, R in ohms and T in kelvin. */
export type SteinhartHart = { readonly A: number; readonly B: number; readonly C: number };
/** A thermistor by its resistance at a reference temperature (25 °C unless told otherwise) and its beta. */
export type BetaThermistor = { readonly R0: Ohms; readonly beta: Kelvin; readonly referenceC?: Celsius };

const REFERENCE_C = celsius(25);
/** Beyond this no NTC bead is sold; an open or shorted wire computes far outside it. */
const COLDEST_C = -60;
const WARMEST_C = 300;

/** Temperature [°C] of an NTC thermistor from its resistance [Ω]: 1/T = A + B ln R + C (ln R)³.
 *  Source: Steinhart & Hart 1968, Deep-Sea Res. 15, 497–503. Valid inside the span that the coefficients were fitted
 *  to; a resistance that is not positive and finite, or a result outside −60…300 °C: null. */
export function steinhartHartTemperature(resistance: Ohms, { A, B, C }: SteinhartHart): Celsius | null {
  const L = Math.log(resistance);
  return believable(celsiusFromKelvin(kelvin(1 / (A + B * L + C * L * L * L))));
}

/** Resistance [Ω] from temperature [°C]: the inverse, the real root of a cubic in ln R by Cardano's rule.
 *  Needs B and C above zero, as every NTC has; otherwise null. */
export function steinhartHartResistance(t90C: Celsius, { A, B, C }: SteinhartHart): Ohms | null {
  if (believable(t90C) === null || !(C > 0) || !(B > 0)) return null;
  const x = (A - 1 / kelvinFromCelsius(t90C)) / C;
  const y = Math.sqrt((B / (3 * C)) ** 3 + (x / 2) ** 2);
  return Math.exp(Math.cbrt(y - x / 2) - Math.cbrt(y + x / 2)) as Ohms;
}

/** Temperature [°C] by the two-constant law 1/T = 1/T0 + ln(R/R0)/β, good to 0.1…0.5 K over 0…50 °C.
 *  Source: common practice of thermistor data sheets. Range as above. Check: R = R0 gives the reference temperature. */
export function betaTemperature(
  resistance: Ohms,
  { R0, beta, referenceC = REFERENCE_C }: BetaThermistor,
): Celsius | null {
  if (!(R0 > 0) || !(beta > 0)) return null;
  return believable(
    celsiusFromKelvin(kelvin(1 / (1 / kelvinFromCelsius(referenceC) + Math.log(resistance / R0) / beta))),
  );
}

/** Resistance [Ω] by the same law. */
export function betaResistance(t90C: Celsius, { R0, beta, referenceC = REFERENCE_C }: BetaThermistor): Ohms | null {
  if (believable(t90C) === null || !(R0 > 0) || !(beta > 0)) return null;
  return (R0 * Math.exp(beta * (1 / kelvinFromCelsius(t90C) - 1 / kelvinFromCelsius(referenceC)))) as Ohms;
}

const believable = (t90C: Celsius): Celsius | null => (t90C >= COLDEST_C && t90C <= WARMEST_C ? t90C : null);
