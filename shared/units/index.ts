export * from "./alkalinity.ts";
export * from "./conductivity.ts";
export * from "./length.ts";
export * from "./mass.ts";
export * from "./pressure.ts";
export type { Quantity } from "./quantity.ts";
export * from "./salinity.ts";
export * from "./temperature.ts";
export * from "./volume.ts";
