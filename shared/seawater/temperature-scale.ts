import type { Celsius } from "../units/index.ts";

/** IPTS-68 temperature [°C] from ITS-90 temperature [°C]: t68 = 1.00024 t90.
 *  The equations of state and of conductivity from 1978 to 1983 were fitted on the older scale; forgetting the
 *  conversion costs 0.005 in salinity at 25 °C. Source: Saunders 1990, WOCE Newsletter 10; as in TEOS-10.
 *  Valid −2…40 °C, to 0.5 mK. Converted here and nowhere else. The result is a bare number: it must not travel. */
export const t68FromT90 = (t90C: Celsius): number => 1.00024 * t90C;
