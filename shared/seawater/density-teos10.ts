import type { Celsius, GramsPerKilogram, KilogramsPerCubicMetre } from "../units/index.ts";
import { refused } from "../units/index.ts";
import { SALTIEST_SA } from "./absolute-salinity.ts";
import { temperatureInRange } from "./range.ts";

/** Density [kg/m³] at the surface (101 325 Pa) from absolute salinity [g/kg] and temperature [°C, ITS-90].
 *  The exact Gibbs function of TEOS-10, not the 75-term polynomial: ρ = 1 / g_p, so it adds no error of its own to
 *  the standard (0.004 kg/m³, k = 1); the polynomial would be up to 9e-4 away at the fresh and cold end.
 *  Source: IAPWS-08 (Feistel 2008, Deep-Sea Res. I 55, 1639–1672) on the liquid water of IAPWS-09 (Feistel 2003).
 *  Valid SA 0…42.198 g/kg (SP 42), −2…40 °C; outside, or not finite: null.
 *  Check: SA 35.16504 at 0 °C is 1028.1071846 (GSW 3.6.16). */
export function densityTeos10(SA: GramsPerKilogram, t90C: Celsius): KilogramsPerCubicMetre | null {
  if (!(SA >= 0 && SA <= SALTIEST_SA) || !temperatureInRange(t90C)) return refused();
  return (1e8 / gp(SA, t90C)) as KilogramsPerCubicMetre;
}

/** ∂g/∂p at the surface, 1e-8 m³/kg, with the paper's reduced variables: y = t / 40 °C and x² = SA / 40.188617 g/kg. */
function gp(SA: number, t: number): number {
  const y = t * 0.025;
  const x2 = SA * X2_PER_SA;
  const x = Math.sqrt(x2);
  return water(y) + x2 * (s2(y) + x * (s3(y) + x * (s4(y) + x * 36.0284195611086)));
}

const X2_PER_SA = 35 / (35.16504 * 40);

const water = (y: number): number =>
  100015.695367145 +
  y *
    (-270.983805184062 +
      y *
        (1455.0364540468 +
          y *
            (-672.50778314507 +
              y * (397.968445406972 + y * (-194.618310617595 + y * (63.5113936641785 + y * -9.63108119393062))))));

const s2 = (y: number): number =>
  -3310.49154044839 + y * (729.116529735046 + y * (-860.764303783977 + y * (694.244814133268 + y * -297.728741987187)));
const s3 = (y: number): number =>
  199.459603073901 + y * (-175.292041186547 + y * (383.058066002476 + y * (-460.319931801257 + y * 234.565187611355)));
const s4 = (y: number): number => -54.7919133532887 + y * -22.6683558712829;
