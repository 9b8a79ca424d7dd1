import type { ConductivityReading, Reading } from "../../../shared/contract/index.ts";
import { conductivityFromSalinity } from "../../../shared/seawater/index.ts";
import { celsius, practicalSalinityValue } from "../../../shared/units/index.ts";
import type { Random } from "./random.ts";

/** A conductivity cell with a thermometer of its own; it gives raw conductivity, once a second. */
export interface ConductivityProbe {
  /** What calibration left, as a factor. */
  readonly gain: number;
  cellMsPerCm: number;
  ownC: number;
  /** Percent a day, negative reads low, and what it has come to. */
  driftPercentPerDay: number;
  driftedPercent: number;
  offsetPercent: number;
  bubbling: boolean;
  ailment: "none" | "out-of-water" | "open" | "short" | "frozen";
  reported: ConductivityReading;
  samples: number;
}

/** τ 5–20 s, noise 0.2 %, fouling −0.2 % a week at the least, bubbles −5…−30 % (trade facts §10, from memory there). */
const LAG_S = 10;
const NOISE_SHARE = 0.002;
export const CLEAN_DRIFT_PERCENT_PER_DAY = -0.03;
const OWN_NOISE_K = 0.02;
/** Micro-bubbles after a start of the return pump: this much low at first, gone with this time constant. */
const START_BUBBLES_SHARE = 0.08;
const START_BUBBLES_S = 60;
const IN_AIR_MS_PER_CM = 0.02;

export function createConductivityProbe(gain: number): ConductivityProbe {
  return {
    gain,
    cellMsPerCm: 0,
    ownC: 0,
    driftPercentPerDay: CLEAN_DRIFT_PERCENT_PER_DAY,
    driftedPercent: 0,
    offsetPercent: 0,
    bubbling: false,
    ailment: "none",
    reported: { conductivityMsPerCm: 0, temperatureC: 0 },
    samples: 0,
  };
}

export interface Around {
  readonly salinity: number;
  readonly waterC: number;
  readonly roomC: number;
  /** How long the return pump has been running; null = it stands still and beats no air into the water. */
  readonly returnOnForS: number | null;
}

export function measure(probe: ConductivityProbe, around: Around, dtS: number, random: Random): void {
  const inAir = probe.ailment === "out-of-water";
  const trueMsPerCm = inAir ? IN_AIR_MS_PER_CM : conductivityOf(around.salinity, around.waterC);
  const follows = probe.samples === 0 ? 1 : 1 - Math.exp(-dtS / LAG_S);
  probe.cellMsPerCm += (trueMsPerCm - probe.cellMsPerCm) * follows;
  probe.ownC += ((inAir ? around.roomC : around.waterC) - probe.ownC) * follows;
  probe.driftedPercent += (probe.driftPercentPerDay * dtS) / 86_400;
  probe.samples += 1;
  if (probe.ailment === "frozen") return;
  const noise = 1 + NOISE_SHARE * random.normal();
  const scale = probe.gain * (1 + (probe.driftedPercent + probe.offsetPercent) / 100);
  probe.reported = {
    conductivityMsPerCm: Math.max(0, probe.cellMsPerCm * scale * noise * (1 - bubbles(probe, around, random))),
    temperatureC: probe.ownC + OWN_NOISE_K * random.normal(),
  };
}

export function readConductivity(probe: ConductivityProbe, ageMs: number): Reading<ConductivityReading> {
  const sample = probe.samples;
  if (probe.ailment === "open") return { value: null, fault: "open-circuit", ageMs, sample };
  if (probe.ailment === "short") return { value: null, fault: "short-circuit", ageMs, sample };
  return { value: probe.reported, fault: null, ageMs, sample };
}

function bubbles(probe: ConductivityProbe, around: Around, random: Random): number {
  if (probe.bubbling) return 0.05 + 0.25 * random.uniform();
  if (around.returnOnForS === null || around.returnOnForS > 10 * START_BUBBLES_S) return 0;
  return START_BUBBLES_SHARE * Math.exp(-around.returnOnForS / START_BUBBLES_S) * random.uniform();
}

/** Outside the range of the equation the simulated water keeps the conductivity of the nearest end. */
function conductivityOf(salinity: number, waterC: number): number {
  const inside = practicalSalinityValue(Math.min(42, Math.max(0, salinity)));
  return conductivityFromSalinity(inside, celsius(Math.min(40, Math.max(-2, waterC)))) ?? 0;
}
