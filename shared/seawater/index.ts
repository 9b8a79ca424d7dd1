export { absoluteSalinity, salinityFromAbsolute } from "./absolute-salinity.ts";
export { conductivityFromSalinity } from "./conductivity-from-salinity.ts";
export { densityEos80 } from "./density-eos80.ts";
export { practicalSalinity } from "./practical-salinity.ts";
export { type Standing, salinityStanding } from "./range.ts";
export { salinityFromSpecificGravity, specificGravity } from "./specific-gravity.ts";
