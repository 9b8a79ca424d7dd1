/** What an amount of anything may be: zero or more, and finite. NaN and the infinities fail the comparison. */
export const isAmount = (value: number): boolean => value >= 0 && value < Infinity;

/** The same, for what must be there at all: a volume to divide by, a mass to be weighed. */
export const isPositive = (value: number): boolean => value > 0 && value < Infinity;
