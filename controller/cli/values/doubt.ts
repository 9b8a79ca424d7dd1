import { type Doubt, halfWidth, standardDeviation } from "../../../shared/units/index.ts";
import type { Kind } from "./kind.ts";

/** A doubt as typed: a quantity, and after a colon whether it is a half-width or one standard deviation. The two
 *  differ by √3, so a doubt that does not say is refused. */
export const makeDoubtKind = <Q extends number>(kind: Kind<Q>): Kind<Doubt<Q>> => {
  const units: Record<string, (value: number) => Doubt<Q>> = {};
  const unclear: Record<string, string> = {};
  for (const [unit, make] of Object.entries(kind.units)) {
    units[`${unit}:half`] = (value) => halfWidth(make(value));
    units[`${unit}:k1`] = (value) => standardDeviation(make(value));
    unclear[unit] = "a half-width (± that much and never more) or one standard deviation? End it with :half or :k1.";
  }
  const example = kind.example.split(" ")[0]!;
  return { what: `doubt of a ${kind.what}`, units, unclear, example: `${example}:half or ${example}:k1` };
};
