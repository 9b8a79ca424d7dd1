import type { ReadingFault, ThermometerReading } from "../../../shared/contract/index.ts";
import type { Random } from "./random.ts";

/** A digital thermometer of 12 bits in a steel sleeve, asked once a second. */
export interface Thermometer {
  readonly lagS: number;
  /** What is left after proving. */
  readonly biasK: number;
  sleeveC: number;
  offsetK: number;
  ailment:
    | "none"
    | "out-of-water"
    | "frozen"
    | Extract<ReadingFault, "open-circuit" | "short-circuit" | "power-on-value" | "all-zero">;
  reportedC: number;
  samples: number;
}

/** τ 5–15 s in moving water, 60–180 s in air; noise 0.03 K, quantum 0.0625 K (trade facts §10, from memory there). */
const WATER_LAG_S = 8;
const AIR_LAG_S = 90;
const NOISE_K = 0.03;
const AIR_NOISE_K = 0.1;
const QUANTUM_K = 0.0625;

export const createThermometer = (celsius: number, biasK: number, place: "water" | "air"): Thermometer => ({
  lagS: place === "water" ? WATER_LAG_S : AIR_LAG_S,
  biasK,
  sleeveC: celsius,
  offsetK: 0,
  ailment: "none",
  reportedC: celsius,
  samples: 0,
});

/** One conversion: the sleeve follows what surrounds it, the chip adds noise and rounds. */
export function convert(thermometer: Thermometer, aroundC: number, roomC: number, dtS: number, random: Random): void {
  const inAir = thermometer.ailment === "out-of-water";
  const lagS = inAir ? AIR_LAG_S : thermometer.lagS;
  thermometer.sleeveC += ((inAir ? roomC : aroundC) - thermometer.sleeveC) * (1 - Math.exp(-dtS / lagS));
  thermometer.samples += 1;
  if (thermometer.ailment === "frozen") return;
  const noiseK = (inAir ? AIR_NOISE_K : NOISE_K) * random.normal();
  const seenC = thermometer.sleeveC + thermometer.biasK + thermometer.offsetK + noiseK;
  thermometer.reportedC = Math.round(seenC / QUANTUM_K) * QUANTUM_K;
}

export function readThermometer(thermometer: Thermometer, ageMs: number): ThermometerReading {
  const { ailment, samples: sample, reportedC } = thermometer;
  if (ailment === "none" || ailment === "out-of-water" || ailment === "frozen") {
    return { value: reportedC, fault: null, ageMs, sample };
  }
  return { value: null, fault: ailment, ageMs, sample };
}
