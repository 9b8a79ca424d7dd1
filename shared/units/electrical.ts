import type { Quantity } from "./quantity.ts";

export type Ohms = Quantity<"Ω">;
/** Conductance between the electrodes of a cell, before its geometry is taken into account. */
export type Millisiemens = Quantity<"mS">;
/** Cell constant: conductivity over conductance. */
export type PerCentimetre = Quantity<"1/cm">;

export const ohms = (value: number): Ohms => value as Ohms;
export const millisiemens = (value: number): Millisiemens => value as Millisiemens;
export const perCentimetre = (value: number): PerCentimetre => value as PerCentimetre;
