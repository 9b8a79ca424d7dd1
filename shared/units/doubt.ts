/** How far a value may be off. A maker's "± 0.5" is a half-width: anywhere inside, nowhere outside. A repeated
 *  measurement's scatter is one standard deviation, k = 1. The two differ by √3, so each says which it is. */
export type Doubt<Q extends number> = { readonly value: Q; readonly as: "half-width" | "k=1" };

export const halfWidth = <Q extends number>(value: Q): Doubt<Q> => ({ value, as: "half-width" });
export const standardDeviation = <Q extends number>(value: Q): Doubt<Q> => ({ value, as: "k=1" });

/** Standard uncertainty of a doubt, in its own unit: a rectangular half-width a has the deviation a/√3.
 *  Source: JCGM 100:2008 (GUM), 4.3.7. */
export const standardUncertainty = (doubt: Doubt<number>): number =>
  doubt.as === "half-width" ? doubt.value / Math.sqrt(3) : doubt.value;
