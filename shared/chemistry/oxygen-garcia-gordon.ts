import { salinityInRange, temperatureInRange } from "../seawater/range.ts";
import { t68FromT90 } from "../seawater/temperature-scale.ts";
import type { Celsius, PracticalSalinity, Quantity } from "../units/index.ts";
import { refused } from "../units/index.ts";

export type MicromolesPerKilogram = Quantity<"µmol/kg">;

/** Oxygen [µmol per kg of sea water] at equilibrium with moist air at 101.325 kPa, from practical salinity and
 *  temperature [°C, ITS-90, converted to IPTS-68 as the GSW library does].
 *  Source: Garcia & Gordon 1992, Limnol. Oceanogr. 37, 1307–1312, table 1, the column fitted to the data of *Benson &
 *  Krause*, µmol/kg. The "combined fit" column beside it gives 0.036 more and must not be mixed in.
 *  Valid SP 0…42, the freezing point to 40 °C; refused below −2 °C and outside, or not finite: null.
 *  Check: SP 35 at t68 10 °C is 274.610 µmol/kg. */
export function oxygenSaturationUmolPerKg(SP: PracticalSalinity, t90C: Celsius): MicromolesPerKilogram | null {
  if (!salinityInRange(SP) || !temperatureInRange(t90C)) return refused();
  const t = t68FromT90(t90C);
  const Ts = Math.log((298.15 - t) / (273.15 + t));
  const lnC =
    5.80871 +
    Ts * (3.20291 + Ts * (4.17887 + Ts * (5.10006 + Ts * (-9.86643e-2 + Ts * 3.80369)))) +
    SP * (-7.01577e-3 + Ts * (-7.70028e-3 + Ts * (-1.13864e-2 + Ts * -9.51519e-3)) + SP * -2.75915e-7);
  return Math.exp(lnC) as MicromolesPerKilogram;
}
