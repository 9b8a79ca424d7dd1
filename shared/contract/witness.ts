import type { WaterThermometer } from "./parts.ts";
import type { ProofPart } from "./proving.ts";
import type { Reason } from "./reasons.ts";

/**
 * What a small second file beside the durable memory still knows when the memory itself is lost. It gives nothing back
 * that a person has to look at; it keeps what would be more dangerous forgotten than remembered.
 */
export interface Witness {
  /** Parts that were proven, each with the fingerprint of its own settings and of its board's port. */
  readonly proven: { readonly [Part in ProofPart]?: { readonly part: string; readonly port: string } };
  /** Flow that the top-off pump was calibrated to, L/min, above 0; null = never calibrated. */
  readonly flowLPerMin: number | null;
  /** The highest number that a calibration ever had; 0 = none. */
  readonly calibrations: number;
  /** Locks that stood; null = none. */
  readonly topOffLock: Reason | null;
  readonly waterGuardLocked: boolean;
  readonly heatLock: Reason | null;
  /** The heater was found without effect, and nobody has seen the water follow it since. */
  readonly heaterNoEffect: boolean;
  /** The same of the second heater. */
  readonly secondHeatLock: Reason | null;
  readonly secondHeaterNoEffect: boolean;
  /** Thermometers that moved faster than water can, and were not believed again. */
  readonly outOfWater: readonly WaterThermometer[];
  /** Length of the hold that lasted, ms; 0 = none. Hands may be in. */
  readonly holdMs: number;
  readonly holdWithHeat: boolean;
  /** A hold was over, the water was low, and nobody had said why. */
  readonly question: boolean;
}
