import { conductivityFromTds, milligramsPerLitreTds } from "../../shared/chemistry/index.ts";
import type { ConductivityReading, Reading } from "../../shared/contract/reading.ts";
import { rawConductivity } from "../../shared/seawater/index.ts";
import type { Compensation, TextConductivity } from "../../shared/settings/index.ts";
import { celsius, millisiemensPerCm, percentPerKelvin } from "../../shared/units/index.ts";
import type { Heard } from "../boards/index.ts";
import { reading } from "./reading.ts";
import { numberInText } from "./text.ts";

/**
 * Raw conductivity out of what the transmitter says, its compensation undone with the temperature that it measured
 * itself. Where that temperature is missing the compensation cannot be undone, and a guess would be off by 2 % a kelvin:
 * then there is no reading.
 */
export function conductivityReading(
  conductivity: Reading<number>,
  temperature: Reading<number> | null,
  compensation: Compensation,
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

/** mS/cm, compensated or not, from what an instrument wrote. */
export const textConductivityReading = (
  text: Heard<string>,
  { unit, tdsFactor }: Pick<TextConductivity["text"], "unit" | "tdsFactor">,
  nowMs: number,
): Reading<number> =>
  reading(text, nowMs, (written) => {
    const value = numberInText(written);
    return value === null ? null : MS_PER_CM_FROM[unit](value, tdsFactor);
  });

const MS_PER_CM_FROM: Record<
  TextConductivity["text"]["unit"],
  (value: number, tdsFactor: number | undefined) => number | null
> = {
  "mS/cm": (value) => value,
  "µS/cm": (value) => value / 1000,
  "S/m": (value) => value * 10,
  "mg/L TDS": (value, tdsFactor) => {
    const microsiemens = conductivityFromTds(milligramsPerLitreTds(value), tdsFactor ?? Number.NaN);
    return microsiemens === null ? null : microsiemens / 1000;
  },
};

function undone(
  compensated: number,
  temperatureC: number | null,
  { percentPerK, referenceC }: Exclude<Compensation, "none">,
): number | null {
  if (temperatureC === null) return null;
  return rawConductivity(millisiemensPerCm(compensated), celsius(temperatureC), {
    percentPerK: percentPerKelvin(percentPerK),
    referenceC: celsius(referenceC),
  });
}
