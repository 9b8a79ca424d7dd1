export { absoluteSalinity, salinityFromAbsolute } from "./absolute-salinity.ts";
export { conductivityAt25, conductivityFromAt25 } from "./conductivity-at-25.ts";
export { conductivityFromSalinity } from "./conductivity-from-salinity.ts";
export { standardConductivity, type TabledStandard } from "./conductivity-standards.ts";
export { densityEos80 } from "./density-eos80.ts";
export { densityTeos10 } from "./density-teos10.ts";
export { heatCapacity, type JoulesPerKilogramKelvin } from "./heat-capacity.ts";
export { practicalSalinity } from "./practical-salinity.ts";
export { type Standing, salinityStanding } from "./range.ts";
export { type LinearCompensation, rawConductivity } from "./raw-conductivity.ts";
export {
  type SalinityDoubts,
  type SalinityUncertainty,
  type SalinityUncertaintyParts,
  salinityUncertainty,
} from "./salinity-uncertainty.ts";
export { salinityFromSpecificGravity, specificGravity } from "./specific-gravity.ts";
