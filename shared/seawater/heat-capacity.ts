import type { Celsius, GramsPerKilogram, Quantity } from "../units/index.ts";
import { kelvinFromCelsius, refused } from "../units/index.ts";
import { SALTIEST_SA } from "./absolute-salinity.ts";
import { temperatureInRange } from "./range.ts";

export type JoulesPerKilogramKelvin = Quantity<"J/(kg K)">;

/** Specific heat capacity at constant pressure [J/(kg K)], at the surface, from absolute salinity [g/kg] and
 *  temperature [°C, ITS-90]: cp = −T g_tt of the exact Gibbs function of TEOS-10.
 *  Source: IAPWS-08 (Feistel 2008) on the liquid water of IAPWS-09 (Feistel 2003).
 *  Valid SA 0…42.198 g/kg (SP 42), −2…40 °C; outside, or not finite: null.
 *  Check: SA 35.16504 at 0 °C is 3986.4525 (GSW 3.6.16; IAPWS-95 water gives 3986.486). */
export function heatCapacity(SA: GramsPerKilogram, t90C: Celsius): JoulesPerKilogramKelvin | null {
  if (!(SA >= 0 && SA <= SALTIEST_SA) || !temperatureInRange(t90C)) return refused();
  return (-kelvinFromCelsius(t90C) * gtt(SA, t90C)) as JoulesPerKilogramKelvin;
}

/** ∂²g/∂t² at the surface [J/(kg K²)], with y = t / 40 °C and x² = SA / 40.188617 g/kg. */
function gtt(SA: number, t: number): number {
  const y = t * 0.025;
  const x2 = SA * X2_PER_SA;
  const x = Math.sqrt(x2);
  return PER_KELVIN_SQUARED * (water(y) + x2 * (s2(y) + x * (s3(y) + x * s4(y))));
}

const X2_PER_SA = 35 / (35.16504 * 40);
/** y is in units of 40 °C, so each of the two derivatives brings one fortieth. */
const PER_KELVIN_SQUARED = 0.025 * 0.025;

const water = (y: number): number =>
  -24715.571866078 +
  y *
    (4420.4472249096725 +
      y * (-1778.231237203896 + y * (1160.5182516851419 + y * (-569.531539542516 + y * 128.13429152494615))));

const s2 = (y: number): number =>
  1760.062705994408 +
  y * (-1351.605895580406 + y * (1097.1125373015109 + y * (-433.20648175062206 + y * 63.905091254154904)));
const s3 = (y: number): number => -86.1329351956084 + y * (-60.136422517125 + y * 10.50720794170734);
const s4 = (y: number): number =>
  -137.1145018408982 + y * (296.20061691375236 + y * (-205.67709290374563 + y * 49.9394019139016));
