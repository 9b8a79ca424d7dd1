import type { Celsius } from "../units/index.ts";
import { kelvinFromCelsius } from "../units/index.ts";

/** Temperature correction: how many times slower a membrane runs at temperature [°C] than at 25 °C,
 *  TCF = exp(K (1/T − 1/298.15)), K = 3020 below 25 °C and 2640 above.
 *  Source: membrane makers' tables (constants from memory). Valid 0…45 °C; outside, or not finite: null.
 *  Check: 1.711 at 10, 1.422 at 15, 1.189 at 20, 0.889 at 29 °C. */
export function temperatureCorrection(t90C: Celsius): number | null {
  if (!(t90C >= 0 && t90C <= 45)) return null;
  return Math.exp((t90C < 25 ? 3020 : 2640) * (1 / kelvinFromCelsius(t90C) - 1 / 298.15));
}
