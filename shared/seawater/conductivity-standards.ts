import type { Celsius, MillisiemensPerCm } from "../units/index.ts";
import { millisiemensPerCm, practicalSalinityValue, refused } from "../units/index.ts";
import { conductivityFromSalinity } from "./conductivity-from-salinity.ts";

/** Potassium chloride, µS/cm, by temperature [°C, ITS-90]; what dissolved air adds to the water is taken off already.
 *  Source: molality-based standards of the US national institute, as printed in the CRC Handbook, p. 5-73 (Wu, Koch and
 *  Pratt 1991; Pratt and others 2001). Uncertainty 0.04 %. */
const KCL: readonly (readonly [t90C: number, kcl001: number, kcl01: number])[] = [
  [0, 772.92, 7116.85],
  [5, 890.96, 8183.7],
  [10, 1013.95, 9291.72],
  [15, 1141.45, 10437.1],
  [18, 1219.93, 11140.6],
  [20, 1273.03, 11615.9],
  [25, 1408.23, 12824.6],
  [30, 1546.63, 14059.2],
  [35, 1687.79, 15316.0],
  [40, 1831.27, 16591.0],
];

/** Solutions of a known conductivity at every temperature. */
export type TabledStandard = "sea-water-35" | "kcl-0.1-molal" | "kcl-0.01-molal" | "kcl-0.1-molar";

/** Of 0.1 mol/L at 25 °C, as bottles and manuals of laboratory conductivity meters say: no primary source. */
const MOLAR_AT_25 = 12.88;
const AT_25 = 12.8246;

/** Conductivity [mS/cm] of a calibration standard at temperature [°C, ITS-90] and the pressure of a room.
 *  `sea-water-35`: practical salinity 35 by definition of the scale (PSS-78, UNESCO 44). `kcl-0.1-molal` and
 *  `kcl-0.01-molal`: mol per kg of water, by the table above, a parabola through its three nearest rows.
 *  `kcl-0.1-molar`: mol per litre, 12.88 mS/cm at 25 °C (common practice), with the temperature dependence of 0.1 mol/kg.
 *  Valid 0…40 °C, sea water as practicalSalinity; outside, or not finite: null.
 *  Check: SP 35 at 15 / 1.00024 °C is 42.914 mS/cm; 0.1 mol/kg at 25 °C is 12.8246 mS/cm. */
export function standardConductivity(standard: TabledStandard, t90C: Celsius): MillisiemensPerCm | null {
  if (!(t90C >= 0 && t90C <= 40)) return refused();
  switch (standard) {
    case "sea-water-35":
      return conductivityFromSalinity(practicalSalinityValue(35), t90C);
    case "kcl-0.01-molal":
      return millisiemensPerCm(fromTable(1, t90C) / 1000);
    case "kcl-0.1-molal":
      return millisiemensPerCm(fromTable(2, t90C) / 1000);
    case "kcl-0.1-molar":
      return millisiemensPerCm((MOLAR_AT_25 * fromTable(2, t90C)) / 1000 / AT_25);
  }
}

/** Lagrange's parabola through the three rows around the temperature. */
function fromTable(column: 1 | 2, t90C: number): number {
  const above = KCL.findIndex(([t]) => t >= t90C);
  const first = Math.min(KCL.length - 3, Math.max(0, above - 1));
  const rows = KCL.slice(first, first + 3);
  return rows.reduce((sum, row, index) => {
    const others = rows.filter((_, other) => other !== index);
    return sum + row[column] * others.reduce((product, [t]) => (product * (t90C - t)) / (row[0] - t), 1);
  }, 0);
}
