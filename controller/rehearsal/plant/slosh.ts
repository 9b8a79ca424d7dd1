import type { Random } from "./random.ts";

/** The swing of the surface at the floats [mm]: a resonance near 0.7 Hz, stilled by the tube around them. */
export interface Slosh {
  nowMm: number;
  beforeMm: number;
}

/** *Common practice*: 1–3 mm in an open chamber (trade facts §10), about a quarter of it in a stilling tube. */
const DEVIATION_MM = 0.5;
const RESONANCE_HZ = 0.7;
const KEPT_PER_STEP = 0.8;
const STEP_S = 0.25;

const FIRST = 2 * KEPT_PER_STEP * Math.cos(2 * Math.PI * RESONANCE_HZ * STEP_S);
const SECOND = -KEPT_PER_STEP * KEPT_PER_STEP;
/** Stationary deviation of a second-order autoregression, by Yule and Walker. */
const DRIVE_MM = DEVIATION_MM * Math.sqrt(((1 + SECOND) * ((1 - SECOND) ** 2 - FIRST * FIRST)) / (1 - SECOND));

export const createSlosh = (): Slosh => ({ nowMm: 0, beforeMm: 0 });

/** One quarter of a second; the return pump is what keeps it going. */
export function swing(slosh: Slosh, random: Random, pumping: boolean): void {
  const nextMm = FIRST * slosh.nowMm + SECOND * slosh.beforeMm + (pumping ? DRIVE_MM : DRIVE_MM / 5) * random.normal();
  slosh.beforeMm = slosh.nowMm;
  slosh.nowMm = nextMm;
}
