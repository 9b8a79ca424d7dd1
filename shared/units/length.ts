import type { Quantity } from "./quantity.ts";

export type Millimetres = Quantity<"mm">;
export type Inches = Quantity<"in">;
export type SquareMetres = Quantity<"m²">;

/** Exact by definition. */
export const MILLIMETRES_PER_INCH = 25.4;

export const millimetres = (value: number): Millimetres => value as Millimetres;
export const inches = (value: number): Inches => value as Inches;
export const squareMetres = (value: number): SquareMetres => value as SquareMetres;

export const millimetresFromInches = (inch: Inches): Millimetres => millimetres(inch * MILLIMETRES_PER_INCH);
export const inchesFromMillimetres = (mm: Millimetres): Inches => inches(mm / MILLIMETRES_PER_INCH);
/** The area of a rectangle from its two sides. */
export const rectangle = (length: Millimetres, width: Millimetres): SquareMetres =>
  squareMetres((length * width) / 1_000_000);
