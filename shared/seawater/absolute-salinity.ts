import type { GramsPerKilogram, PracticalSalinity } from "../units/index.ts";
import { gramsPerKilogram, practicalSalinityValue, refused } from "../units/index.ts";
import { SALTIEST_SP, salinityInRange } from "./range.ts";

/** Grams of salt per kilogram in standard sea water of SP 35, over 35. Source: Millero et al. 2008, Deep-Sea Res. I 55. */
export const GRAMS_PER_KILOGRAM_PER_SP = 35.16504 / 35;
/** Absolute salinity of the saltiest water these equations are trusted for [g/kg]. */
export const SALTIEST_SA = SALTIEST_SP * GRAMS_PER_KILOGRAM_PER_SP;

/** Absolute salinity [g/kg] from practical salinity, for water of the standard composition (reference salinity).
 *  Source: Millero, Feistel, Wright & McDougall 2008; TEOS-10 manual (2010), eq. 2.4.1. Valid SP 0…42; outside: null.
 *  A synthetic salt differs in composition, so its mass fraction is not known better than about 0.5 %.
 *  Check: SP 34.5487 is 34.711611927085727 g/kg (TEOS-10 check value). */
export function absoluteSalinity(SP: PracticalSalinity): GramsPerKilogram | null {
  return salinityInRange(SP) ? gramsPerKilogram(SP * GRAMS_PER_KILOGRAM_PER_SP) : refused();
}

/** Practical salinity from absolute salinity [g/kg]: the inverse. Valid SA 0…42.198 g/kg; outside: null. */
export function salinityFromAbsolute(SA: GramsPerKilogram): PracticalSalinity | null {
  return SA >= 0 && SA <= SALTIEST_SA ? practicalSalinityValue(SA / GRAMS_PER_KILOGRAM_PER_SP) : refused();
}
