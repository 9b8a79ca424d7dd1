import type { Kilograms, Litres, Millimetres } from "../units/index.ts";
import { kilograms, litres } from "../units/index.ts";
import { isPositive } from "./amount.ts";

/** Density of float glass. Common practice. */
const GLASS_KG_PER_M3 = 2500;

/** Outside measures of a rectangular tank without a lid, and the thickness of its panes. */
export type TankMeasures = {
  readonly length: Millimetres;
  readonly width: Millimetres;
  readonly height: Millimetres;
  readonly glass: Millimetres;
};

/** Mass of the glass [kg]: outside box less inside box, open at the top. Partitions come on top.
 *  Panes that leave no inside, or not finite: null. Check: 750 × 500 × 450 mm of 12 mm glass is 43.4 kg. */
export function glassMass({ length, width, height, glass }: TankMeasures): Kilograms | null {
  const inside = (length - 2 * glass) * (width - 2 * glass) * (height - glass);
  if (
    ![length, width, height, glass].every(isPositive) ||
    !(2 * glass < Math.min(length, width)) ||
    !(glass < height)
  ) {
    return null;
  }
  return kilograms((length * width * height - inside) * 1e-9 * GLASS_KG_PER_M3);
}

/** Volume inside the glass [L], to the brim: the gross volume. Check: the same tank holds 151.4 L. */
export function grossVolume({ length, width, height, glass }: TankMeasures): Litres | null {
  if (glassMass({ length, width, height, glass }) === null) return null;
  return litres((length - 2 * glass) * (width - 2 * glass) * (height - glass) * 1e-6);
}
