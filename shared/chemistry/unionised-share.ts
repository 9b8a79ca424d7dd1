import type { Fraction } from "../units/index.ts";
import { fraction } from "../units/index.ts";

/** f = 1 / (1 + 10^(pKa − pH)): the base's share of an acid–base pair. pH and pKa must be on one scale, which is why
 *  only the two files that pair them call this. Source: Henderson–Hasselbalch; any finite arguments. */
export const unionisedShare = (pH: number, pKa: number): Fraction => fraction(1 / (1 + 10 ** (pKa - pH)));
