import type { Celsius, MillisiemensPerCm, PercentPerKelvin } from "../units/index.ts";
import { millisiemensPerCm, refused } from "../units/index.ts";
import { temperatureInRange } from "./range.ts";

/** How an instrument turned the conductivity that it measured into one "at" its reference temperature. */
export type LinearCompensation = { readonly percentPerK: PercentPerKelvin; readonly referenceC: Celsius };

/** The real conductivity [mS/cm] at temperature [°C], from a reading that the instrument compensated linearly:
 *  κ(t) = κ_ref (1 + α (t − t_ref)), with the instrument's own α and t_ref. Only then does PSS-78 apply, which does
 *  the temperature correction itself; a compensated reading taken for a raw one at 25 °C errs by up to 1.4 in SP.
 *  Source: ISO 7888:1985, linear compensation (from memory). The non-linear curve of the same standard is for natural
 *  fresh water and is no business of this function.
 *  Valid −2…40 °C for both temperatures, α 0…10 %/K, factor above zero; outside, or not finite: null. */
export function rawConductivity(
  compensated: MillisiemensPerCm,
  t90C: Celsius,
  { percentPerK, referenceC }: LinearCompensation,
): MillisiemensPerCm | null {
  if (!(compensated >= 0 && compensated < Infinity)) return refused();
  if (!temperatureInRange(t90C) || !temperatureInRange(referenceC)) return refused();
  if (!(percentPerK >= 0 && percentPerK <= 10)) return refused();
  const factor = 1 + (percentPerK / 100) * (t90C - referenceC);
  return factor > 0 ? millisiemensPerCm(compensated * factor) : refused();
}
