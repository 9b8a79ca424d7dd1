import type { MillisiemensPerCm } from "./conductivity.ts";
import { millisiemensPerCm } from "./conductivity.ts";
import type { Millisiemens, PerCentimetre } from "./electrical.ts";
import { perCentimetre } from "./electrical.ts";

/** Conductivity [mS/cm] from the conductance between the electrodes [mS] and the cell constant [1/cm]: κ = K G.
 *  Source: definition. A conductance below zero, a constant not above zero, or not finite: null. */
export function conductivityFromConductance(G: Millisiemens, K: PerCentimetre): MillisiemensPerCm | null {
  return G >= 0 && G < Infinity && K > 0 && K < Infinity ? millisiemensPerCm(K * G) : null;
}

/** The cell constant [1/cm] that makes the probe read its standard right: K_new = K_old κ_standard / κ_read, where
 *  κ_standard is the standard's conductivity *at its own temperature* and κ_read is not compensated either.
 *  Source: common practice. A reading or standard not above zero, or not finite: null. */
export function calibratedCellConstant(
  K: PerCentimetre,
  standardMsPerCm: MillisiemensPerCm,
  readMsPerCm: MillisiemensPerCm,
): PerCentimetre | null {
  const positive = K > 0 && standardMsPerCm > 0 && readMsPerCm > 0;
  if (!positive || !(K < Infinity && standardMsPerCm < Infinity && readMsPerCm < Infinity)) return null;
  return perCentimetre((K * standardMsPerCm) / readMsPerCm);
}
