import type { Quantity } from "../units/index.ts";

/** pH on the total hydrogen ion scale, that of sea-water buffers and of oceanography. */
export type PhTotal = Quantity<"pH total scale">;
/** pH as a glass electrode shows it that was calibrated in dilute (NBS, now NIST) buffers: what an aquarium meter
 *  shows. In sea water it reads some 0.13 above the total scale (from memory), near the free scale. */
export type PhNbs = Quantity<"pH NBS scale">;

export const phTotal = (value: number): PhTotal => value as PhTotal;
export const phNbs = (value: number): PhNbs => value as PhNbs;

/** Outside this no water is sea water, and a typing error is likelier. */
export const phInRange = (pH: number): boolean => pH >= 0 && pH <= 14;
