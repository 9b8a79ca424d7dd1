import type { Plumbing } from "./plumbing.ts";
import { SALT_G_PER_L } from "./water.ts";

/** What hands do to the reservoir. The tube's water counts as the reservoir's: they have one salinity. */

/** Fresh water in, up to the rim: whoever pours sees it. Returns what went in. */
export function refillReservoir(plumbing: Plumbing, litres: number): number {
  const inL = Math.max(0, Math.min(litres, plumbing.reservoirRimL - plumbing.reservoirL));
  plumbing.reservoirL += inL;
  return inL;
}

export function drainReservoir(plumbing: Plumbing): void {
  const heldL = plumbing.reservoirL + plumbing.tubeL;
  if (heldL > 0) plumbing.reservoirSaltG *= plumbing.tubeL / heldL;
  plumbing.reservoirL = 0;
}

export function fillReservoir(plumbing: Plumbing): void {
  plumbing.reservoirL = Math.max(plumbing.reservoirL, plumbing.reservoirFullL);
}

/** All its water exchanged for water of this salinity. */
export function saltReservoir(plumbing: Plumbing, salinity: number): void {
  plumbing.reservoirSaltG = (plumbing.reservoirL + plumbing.tubeL) * salinity * SALT_G_PER_L;
}
