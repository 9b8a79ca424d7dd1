import type { Quantity } from "./quantity.ts";

/** Conductivity as the water has it at its own temperature, unless a name says "at 25". */
export type MillisiemensPerCm = Quantity<"mS/cm">;
export type MicrosiemensPerCm = Quantity<"µS/cm">;
export type SiemensPerMetre = Quantity<"S/m">;

export const millisiemensPerCm = (value: number): MillisiemensPerCm => value as MillisiemensPerCm;
export const microsiemensPerCm = (value: number): MicrosiemensPerCm => value as MicrosiemensPerCm;
export const siemensPerMetre = (value: number): SiemensPerMetre => value as SiemensPerMetre;

export const millisiemensFromMicrosiemens = (uS: MicrosiemensPerCm): MillisiemensPerCm => millisiemensPerCm(uS / 1000);
export const microsiemensFromMillisiemens = (mS: MillisiemensPerCm): MicrosiemensPerCm => microsiemensPerCm(mS * 1000);
export const millisiemensFromSiemensPerMetre = (s: SiemensPerMetre): MillisiemensPerCm => millisiemensPerCm(s * 10);
export const siemensPerMetreFromMillisiemens = (mS: MillisiemensPerCm): SiemensPerMetre => siemensPerMetre(mS / 10);
