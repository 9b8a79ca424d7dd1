import type { ConductivityReading, Reading } from "../../shared/contract/reading.ts";
import { rawConductivity } from "../../shared/seawater/index.ts";
import type { ConductivityWiring } from "../../shared/settings/index.ts";
import { celsius, millisiemensPerCm, percentPerKelvin } from "../../shared/units/index.ts";

/**
 * Raw conductivity out of what the transmitter says, its compensation undone with the temperature that it measured
 * itself. Where that temperature is missing the compensation cannot be undone, and a guess would be off by 2 % a kelvin:
 * then there is no reading.
 */
export function conductivityReading(
  conductivity: Reading<number>,
  temperature: Reading<number> | null,
  compensation: ConductivityWiring["compensation"],
): Reading<ConductivityReading> {
  const age = {
    ageMs: Math.max(conductivity.ageMs, temperature?.ageMs ?? 0),
    sample: conductivity.sample,
  };
  if (conductivity.fault !== null) return { value: null, fault: conductivity.fault, ...age };
  if (temperature && temperature.fault !== null) return { value: null, fault: temperature.fault, ...age };
  const temperatureC = temperature?.value ?? null;
  const raw = compensation === "none" ? conductivity.value : undone(conductivity.value, temperatureC, compensation);
  if (raw === null) return { value: null, fault: "not-a-number", ...age };
  return { value: { conductivityMsPerCm: raw, temperatureC }, fault: null, ...age };
}

function undone(
  compensated: number,
  temperatureC: number | null,
  { percentPerK, referenceC }: Exclude<ConductivityWiring["compensation"], "none">,
): number | null {
  if (temperatureC === null) return null;
  return rawConductivity(millisiemensPerCm(compensated), celsius(temperatureC), {
    percentPerK: percentPerKelvin(percentPerK),
    referenceC: celsius(referenceC),
  });
}
