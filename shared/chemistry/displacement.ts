import type { Kilograms, Litres } from "../units/index.ts";
import { litres } from "../units/index.ts";
import { isAmount } from "./amount.ts";

/** Density of the grain of aragonite, of which reef rock and sand are made: 2.78…2.87 for coral skeletons. */
const ARAGONITE_KG_PER_L = 2.8;

/** Water that soaked rock or sand displaces [L]: mass over the density of its grain, the pores being full. Air still
 *  trapped displaces more at first. Check: 20 kg displace 7.1 L. */
export function displacement(dryMass: Kilograms): Litres | null {
  return isAmount(dryMass) ? litres(dryMass / ARAGONITE_KG_PER_L) : null;
}
